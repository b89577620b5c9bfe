"""`backseam app`: the workshop app in the browser, on this machine only."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter, validators

from backseam.cli.options import help_of


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
) -> int:
    """Serve the job book to this machine's browser until Ctrl-C."""
    from importlib import import_module

    launch = import_module("backseam.app.launch")  # a door opens a door only here
    launch.run(book or launch.usual_book(), port or 0, open_browser=not no_browser)
    return 0
