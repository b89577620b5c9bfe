"""How far long work is: one line on the error stream, and only if a person looks at it."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from time import monotonic

from backseam.ground.progress import SILENT, Progress

QUIET = 0.3  # seconds before the first word
WIDTH = 70


class _Line:
    """Rewrites one line."""

    def __init__(self) -> None:
        self.began = monotonic()
        self.shown = False

    def at(self, done: int, total: int, doing: str) -> None:
        """Show the step, once the work has lasted long enough to be worth a word."""
        if monotonic() - self.began < QUIET:
            return
        text = f"{doing} ({done} of {total})" if total else doing
        sys.stderr.write(f"\r{text[:WIDTH]:<{WIDTH}}")
        sys.stderr.flush()
        self.shown = True

    def stop_asked(self) -> bool:
        """A person stops with Ctrl-C, which comes by itself."""
        return False

    def clear(self) -> None:
        """Leave no trace."""
        if self.shown:
            sys.stderr.write(f"\r{'':<{WIDTH}}\r")
            sys.stderr.flush()


@contextmanager
def line() -> Iterator[Progress]:
    """A progress line for the time of the work."""
    if not sys.stderr.isatty():
        yield SILENT
        return
    shown = _Line()
    try:
        yield shown
    finally:
        shown.clear()
