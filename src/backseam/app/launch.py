"""Starting the app: a socket on this machine only, the keys beside the book, the browser shown in."""

from __future__ import annotations

import os
import socket
import sys
import webbrowser
from collections.abc import Callable
from http.client import HTTPConnection, HTTPException
from pathlib import Path

import uvicorn

from backseam.app import keys as keyring
from backseam.app.guard import LARGEST_HEAD
from backseam.app.server import create
from backseam.ground.errors import OutputRefused
from backseam.ground.speech import PLAIN

HERE = "127.0.0.1"
NAME = "book.sqlite"


def usual_book() -> Path:
    """The job book in the user's data folder."""
    home = Path.home()
    if sys.platform == "win32":
        folder = Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local")
    elif sys.platform == "darwin":
        folder = home / "Library" / "Application Support"
    else:
        named = os.environ.get("XDG_DATA_HOME") or ""
        folder = Path(named) if Path(named).is_absolute() else home / ".local" / "share"
    return folder / "backseam" / NAME


def run(
    book: Path,
    port: int = 0,
    *,
    open_browser: bool = True,
    tell: Callable[[str], None] = print,
    workers: int = 2,
) -> None:
    """Serve one book until it is stopped. port: 0 takes the one of last time, if it is free.

    Where another start serves this book already, the browser is shown there instead.
    """
    book = book.absolute()
    _make_folder(book.parent)
    keys, last = keyring.kept(book)
    if last and port in (0, last) and served(keys, last):
        _show_other(last, keys, open_browser, tell)
        return
    bound = _bound(port, last)
    at = int(bound.getsockname()[1])
    token = keys.handed()
    app = create(book, port=at, keys=keys, workers=workers)
    keyring.keep(book, keys, at)
    address = f"http://{HERE}:{at}/enter?token={token}"
    server = _Server(_config(app), lambda: _shown(address, open_browser))
    tell(PLAIN.say("cli.app.serving", address=address, book=book))
    server.run(sockets=[bound])


class _Server(uvicorn.Server):
    """Says when it is ready."""

    def __init__(self, config: uvicorn.Config, ready: Callable[[], None]) -> None:
        super().__init__(config)
        self.ready = ready

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Listen, then show the browser in."""
        await super().startup(sockets)
        if not self.should_exit:
            self.ready()


def _config(app: object) -> uvicorn.Config:
    return uvicorn.Config(
        app,  # type: ignore[arg-type]
        http="h11",
        ws="none",
        lifespan="on",
        log_level="warning",
        access_log=False,
        server_header=False,
        date_header=True,
        proxy_headers=False,
        h11_max_incomplete_event_size=LARGEST_HEAD,
        timeout_keep_alive=30,
        timeout_graceful_shutdown=3,
        limit_concurrency=200,
    )


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        why = (error.strerror or "it cannot be made").lower()
        raise OutputRefused(PLAIN.say("cli.app.folder", folder=folder, why=why)) from None


def _bound(port: int, last: int) -> socket.socket:
    """A socket on this machine only: at the port asked for, else that of last time, else any."""
    for wanted in (port,) if port else (last, 0) if last else (0,):
        made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        if sys.platform != "win32":  # there it would let two listen at once
            made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            made.bind((HERE, wanted))
        except OSError:
            made.close()
            continue
        made.set_inheritable(True)
        return made
    raise OutputRefused(PLAIN.say("cli.app.port", port=port))


def served(keys: keyring.Keys, port: int) -> bool:
    """True if this very book is served there already: only its server can answer a token with the cookie."""
    line = HTTPConnection(HERE, port, timeout=2)
    try:
        line.request("GET", f"/enter?token={keys.handed()}")
        given = line.getresponse().getheader("set-cookie") or ""
    except (OSError, HTTPException):
        return False
    finally:
        line.close()
    return given.startswith(f"{keys.cookie_name(port)}={keys.cookie()};")


def _show_other(port: int, keys: keyring.Keys, open_browser: bool, tell: Callable[[str], None]) -> None:
    """The book is served already: show the way in there."""
    address = f"http://{HERE}:{port}/enter?token={keys.handed()}"
    tell(PLAIN.say("cli.app.there", address=address))
    _shown(address, open_browser)


def _shown(address: str, open_browser: bool) -> None:
    if open_browser:
        webbrowser.open(address)
