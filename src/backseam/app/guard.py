"""Who may speak to the app: this browser, through this address, and nobody else.

Plain ASGI, outside every route, so that no route can be forgotten. In this order: the address in the target, the
size of the head, the Host, where an unsafe request comes from, the cookie, the size of the body. What is turned away
never reaches a route. Each check is a function of its own, so that a test can switch it off and see what breaks.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Awaitable, Callable, Iterable, MutableMapping
from dataclasses import dataclass, field
from hmac import compare_digest
from typing import Any

from backseam.app.keys import Keys
from backseam.ground.speech import PLAIN

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]
Headers = list[tuple[bytes, bytes]]

SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
METHODS = SAFE | {"POST", "PUT", "DELETE", "PATCH"}
ENTRY = "/enter"

LARGEST_BODY = 100_000_000  # bytes of one request
LARGEST_JSON = 8_000_000  # bytes of one that is not an upload
LARGEST_HEAD = 16_000  # bytes of all its headers
LONGEST_TARGET = 4_000  # bytes of its address
SECONDS = 60.0  # for a body to come in

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data: blob:",
        "font-src 'self'",
        "connect-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
EVERYWHERE = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
}


@dataclass(frozen=True)
class Turned:
    """A request turned away: status, and the key of its sentence in the words of the API."""

    status: int
    key: str


class TooMuchError(Exception):
    """A body that is too long or too slow."""

    def __init__(self, turned: Turned) -> None:
        super().__init__(turned.key)
        self.turned = turned


@dataclass
class Guard:
    """Stands in front of the whole app. keys: cookie and launch tokens; seconds: for a body to come in."""

    app: App
    port: int
    keys: Keys
    seconds: float = SECONDS
    checks: tuple[Callable[[Guard, Scope], Turned | None], ...] = field(default=())

    def __post_init__(self) -> None:
        self.checks = self.checks or (target, head, host, origin, entrance)
        self.hosts = frozenset(f"{name}:{self.port}".encode() for name in ("127.0.0.1", "localhost", "[::1]"))

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request; also what is no request is answered for."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            await send({"type": "websocket.close", "code": 1008})
            return
        with_headers = _with_headers(send, scope)
        for check in self.checks:
            turned = check(self, scope)
            if turned is not None:
                await _refuse(turned, scope, with_headers)
                return
        try:
            body = await read_body(scope, receive, self.seconds)
        except TooMuchError as much:
            await _refuse(much.turned, scope, with_headers)
            return
        await self.app(scope, _again(body, receive), with_headers)


# --- the checks, each alone --------------------------------------------------------------------------------------


def target(_: Guard, scope: Scope) -> Turned | None:
    """The address: a plain path, without anything that a file system would read as more than a name."""
    raw = bytes(scope.get("raw_path") or scope["path"].encode("utf-8", "surrogateescape"))
    if len(raw) + len(scope.get("query_string", b"")) > LONGEST_TARGET:
        return Turned(414, "long_address")
    path = scope["path"]
    if not path.startswith("/") or scope["method"] not in METHODS:
        return Turned(400, "address")
    parts = path.split("/")
    odd = any(ord(sign) < 32 or sign in "\\\x7f" or "\ud800" <= sign <= "\udfff" for sign in path)
    if (
        odd
        or ".." in parts
        or "." in parts
        or path.startswith("//")
        or b"%" in path.encode("utf-8", "replace")
    ):
        return Turned(404, "no_such_page")
    return None


def head(_: Guard, scope: Scope) -> Turned | None:
    """The size of the head."""
    size = sum(len(name) + len(value) + 4 for name, value in scope["headers"])
    return Turned(431, "large_head") if size > LARGEST_HEAD else None


def host(guard: Guard, scope: Scope) -> Turned | None:
    """The Host: exactly one, exactly ours. Stops a name that someone else lets point to this machine."""
    hosts = _values(scope, b"host")
    return None if len(hosts) == 1 and hosts[0] in guard.hosts else Turned(421, "host")


def origin(guard: Guard, scope: Scope) -> Turned | None:
    """Where a request that changes something comes from: a page of ours."""
    if scope["method"] in SAFE:
        return None
    sites = _values(scope, b"sec-fetch-site")
    if sites:
        return None if sites == [b"same-origin"] else Turned(403, "origin")
    named = _values(scope, b"origin")
    ours = [b"http://" + one for one in _values(scope, b"host")]
    return None if len(named) == 1 and named == ours else Turned(403, "origin")


def entrance(guard: Guard, scope: Scope) -> Turned | None:
    """The cookie; only the way in needs none."""
    if scope["path"] == ENTRY and scope["method"] == "GET":
        return None
    wanted = guard.keys.cookie_name(guard.port)
    given = [value for name, value in _cookies(scope) if name == wanted]
    known = len(given) == 1 and compare_digest(given[0].encode(), guard.keys.cookie().encode())
    return None if known else Turned(401, "entrance")


async def read_body(scope: Scope, receive: Receive, seconds: float) -> bytes:
    """The whole body, counted while it comes in. Raises TooMuchError."""
    most = LARGEST_BODY if is_upload(scope) else LARGEST_JSON
    for said in _values(scope, b"content-length"):
        if not said.isdigit() or len(said) > 12 or int(said) > most:
            raise TooMuchError(Turned(413, "large_body"))
    parts: list[bytes] = []
    size = 0
    try:
        async with asyncio.timeout(seconds):
            while True:
                message = await receive()
                if message["type"] == "http.disconnect":
                    raise TooMuchError(Turned(400, "cut_off"))
                size += len(message.get("body", b""))
                if size > most:
                    raise TooMuchError(Turned(413, "large_body"))
                parts.append(message.get("body", b""))
                if not message.get("more_body", False):
                    return b"".join(parts)
    except TimeoutError:
        raise TooMuchError(Turned(408, "slow_body")) from None


def is_upload(scope: Scope) -> bool:
    """True for a form with files."""
    return any(value.lower().startswith(b"multipart/form-data") for value in _values(scope, b"content-type"))


# --- what goes back ----------------------------------------------------------------------------------------------


def _with_headers(send: Send, scope: Scope) -> Send:
    """Every answer with the headers that keep it to itself."""
    keep = scope["path"].startswith("/static/")

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers: Headers = [
                (name, value)
                for name, value in message.get("headers", [])
                if name.lower().decode("latin-1") not in EVERYWHERE and name.lower() != b"server"
            ]
            headers += [(name.encode(), value.encode()) for name, value in EVERYWHERE.items()]
            if not any(name.lower() == b"cache-control" for name, _ in headers):
                headers.append((b"cache-control", b"no-cache" if keep else b"no-store"))
            message = {**message, "headers": headers}
        await send(message)

    return sending


async def _refuse(turned: Turned, scope: Scope, send: Send) -> None:
    text = PLAIN.say(f"api.guard.{turned.key}")
    if scope["path"].startswith("/api/") or scope["method"] not in ("GET", "HEAD"):
        kind = "application/json"
        refusal = {"code": turned.key, "text": text, "where": [], "remedy": ""}
        body = json.dumps(refusal, ensure_ascii=False).encode()
    else:
        kind, body = "text/plain; charset=utf-8", (text + "\n").encode()
    headers = [
        (b"content-type", kind.encode()),
        (b"content-length", str(len(body)).encode()),
        (b"connection", b"close"),
    ]
    await send({"type": "http.response.start", "status": turned.status, "headers": headers})
    await send({"type": "http.response.body", "body": b"" if scope["method"] == "HEAD" else body})


def _again(body: bytes, receive: Receive) -> Receive:
    """The body as one message; after it whatever else comes in."""
    given = False

    async def receiving() -> Message:
        nonlocal given
        if given:
            return await receive()
        given = True
        return {"type": "http.request", "body": body, "more_body": False}

    return receiving


def _values(scope: Scope, name: bytes) -> list[bytes]:
    return [value for key, value in scope["headers"] if key.lower() == name]


def _cookies(scope: Scope) -> Iterable[tuple[str, str]]:
    for line in _values(scope, b"cookie"):
        for part in line.decode("latin-1").split(";"):
            name, _, value = part.strip().partition("=")
            yield name, value
