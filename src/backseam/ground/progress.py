"""Long work says how far it is and asks whether to stop; the core never prints."""

from __future__ import annotations

from typing import Protocol

from backseam.ground.errors import Stopped


class Progress(Protocol):
    """What a door hands to long work."""

    def at(self, done: int, total: int, doing: str) -> None:
        """`done` of `total` steps are behind us; `doing` names the one at hand."""
        ...

    def stop_asked(self) -> bool:
        """True once the person wants the work to end."""
        ...


class Silent:
    """The default: says nothing, never stops."""

    def at(self, done: int, total: int, doing: str) -> None:
        """Keep quiet."""

    def stop_asked(self) -> bool:
        """Never."""
        return False


SILENT: Progress = Silent()


def step(progress: Progress, done: int, total: int, doing: str) -> None:
    """Report one step, and raise `Stopped` if the person asked for it."""
    if progress.stop_asked():
        raise Stopped(f"Stopped at step {done} of {total}: {doing}.")
    progress.at(done, total, doing)
