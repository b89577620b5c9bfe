"""The keys of the house: the cookie of the browser, and the tokens that give it out once.

The secret lies beside the book, readable by its owner only, with the port it was last served at: so a page that is
open goes on when the app is started again, and a second start can show the way into the first.
"""

from __future__ import annotations

import json
import os
import secrets
from dataclasses import dataclass, field
from hashlib import sha256
from hmac import compare_digest, new
from pathlib import Path
from time import time

BITS = 256
LASTS = 120.0  # seconds a token from another start is good for


@dataclass
class Keys:
    """The secret of one book. spent: tokens that were used; token: given at the start, good once;
    born: seconds, when the server began: what was handed out before, its predecessor may have spent."""

    secret: bytes = field(default_factory=lambda: secrets.token_bytes(BITS // 8), repr=False)
    token: str = field(default="", repr=False)
    spent: set[str] = field(default_factory=set, repr=False)
    born: int = field(default_factory=lambda: int(time()))

    @staticmethod
    def cookie_name(port: int) -> str:
        """Cookies take no notice of ports, so the name does."""
        return f"backseam_{port}"

    def cookie(self) -> str:
        """The value of the cookie: 256 bits."""
        return self._signed("cookie")

    def handed(self, now: float | None = None) -> str:
        """A fresh token for another window, good once and for two minutes."""
        begun = f"{int(now if now is not None else time())}-{secrets.token_hex(8)}"
        return f"{begun}-{self._signed(begun)}"

    def taken(self, token: str, now: float | None = None) -> bool:
        """True if the token lets in; then it is spent."""
        if not token or len(token) > 200 or token in self.spent:
            return False
        good = compare_digest(token.encode(), self.token.encode()) or self._lasts(token, now)
        if good:
            self.spent.add(token)
        return good

    def _lasts(self, token: str, now: float | None) -> bool:
        begun, _, sign = token.rpartition("-")
        if not begun or not compare_digest(sign.encode(), self._signed(begun).encode()):
            return False
        made = int(begun.partition("-")[0])
        age = (now if now is not None else time()) - made
        return made >= self.born and -5 < age < LASTS

    def _signed(self, what: str) -> str:
        return new(self.secret, what.encode(), sha256).hexdigest()


def beside(book: Path) -> Path:
    """Where the keys of a book lie."""
    return book.with_name(f".{book.name}.keys")


def kept(book: Path) -> tuple[Keys, int]:
    """The keys of a book, made if there are none, and the port it was last served at (0: never)."""
    try:
        held = json.loads(beside(book).read_bytes())
        secret, port = bytes.fromhex(held["secret"]), int(held["port"])
    except (OSError, ValueError, KeyError, TypeError):
        return Keys(), 0
    return (Keys(secret), port) if len(secret) == BITS // 8 and 0 <= port < 65536 else (Keys(), 0)


def keep(book: Path, keys: Keys, port: int) -> None:
    """Write the keys beside the book, for its owner only. A place that cannot be written to is no matter."""
    place = beside(book)
    written = json.dumps({"secret": keys.secret.hex(), "port": port}).encode()
    part = place.with_name(f"{place.name}.{os.getpid()}.part")
    try:
        handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        with os.fdopen(handle, "wb") as file:
            file.write(written)
        os.replace(part, place)
    except OSError:
        part.unlink(missing_ok=True)
