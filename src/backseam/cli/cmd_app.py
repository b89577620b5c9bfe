"""`backseam app`: the workshop app in the browser, on this machine only."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter, validators

from backseam.cli.options import help_of
from backseam.ground.speech import PLAIN


def app(
    *,
    book: Annotated[Path | None, Parameter(help=help_of("book"), show_default=False)] = None,
    port: Annotated[
        int | None,
        Parameter(help=help_of("port"), validator=validators.Number(gte=1024, lte=65535), show_default=False),
    ] = None,
    no_browser: Annotated[
        bool, Parameter(name="--no-browser", negative=(), help=help_of("no_browser"), show_default=False)
    ] = False,
    salvage: Annotated[Path | None, Parameter(help=help_of("salvage"), show_default=False)] = None,
) -> int:
    """Serve the job book to this machine's browser until Ctrl-C."""
    from importlib import import_module

    launch = import_module("backseam.app.launch")  # a door opens a door only here
    named = book or launch.usual_book()
    if salvage is not None:
        return _salvage(named, salvage)
    launch.run(named, port or 0, open_browser=not no_browser)
    return 0


def _salvage(damaged: Path, fresh: Path) -> int:
    """What can still be read of a damaged book, into a new one; the damaged one is not touched."""
    from backseam.store.salvage import salvage

    told = salvage(damaged, fresh)
    counts = {"whole": len(told.whole), "older": len(told.older), "lost": len(told.lost)}
    print(PLAIN.say("cli.app.salvaged", fresh=str(fresh), **counts))
    return 1 if told.lost else 0
