"""What may come in at all: judged by the head of a request, before anything of it is read.

A page of another site can make a browser send requests here, under our address or under a name of its own that it has
pointed to it. So the Host must be an address, or a name that was given; what changes something must come from a page of
ours, and be JSON. `Sec-Fetch-Site` is not sent over plain http: it is looked at, never relied on.
"""

import asyncio
import ipaddress
from collections.abc import Awaitable, Callable, Iterable, MutableMapping
from contextlib import suppress
from typing import Any, NamedTuple

from circuitmap.flows.logs_beside import LARGEST_LOG
from circuitmap.jobs.photo import LARGEST_PHOTO

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]
Headers = Iterable[tuple[bytes, bytes]]

LARGEST_BODY = 64_000
"""Bytes; a photo may have more (`jobs/photo.py`), and so may a log (`flows/logs_beside.py`)."""
LARGEST_TYPED = 900_000
"""The same for a sheet that is typed in, its text twice over, with all that JSON escapes."""
LONGEST_PATH = 200
READ_AWAY = 4 * LARGEST_PHOTO
READ_AWAY_SECONDS = 5.0
"""How much, and for how long, is read of what is refused. A connection that is closed with something unread in it is
reset, and a phone that is still sending then loses the answer that says why (RFC 9112, 9.6)."""

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; connect-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
POLICY_OF_A_FILE = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; sandbox"
"""For the report and the drawing, which bring their own style and run nothing."""
POLICY_OF_TYPING = POLICY + "; frame-src 'self'"
"""For the typing page, which shows a PDF of ours in a frame."""
POLICY_OF_A_PAPER = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src 'self'; object-src 'self'; frame-ancestors 'self'"
)
"""For a scan or PDF, which the browser's own viewer shows inside that frame."""


class Refusal(NamedTuple):
    status: int
    why: str


def why_refused(method: str, path: bytes, headers: Headers, names: Iterable[str]) -> Refusal | None:
    """None for a request that may come in. `names` are the host names, besides addresses, that are ours."""
    said: dict[bytes, list[bytes]] = {}
    for key, value in headers:
        said.setdefault(key.lower(), []).append(value)
    hosts = said.get(b"host", [])
    host = hosts[0].decode("latin-1") if len(hosts) == 1 else ""
    if not _is_ours(host, names):
        return Refusal(403, "This address is not ours: open the one that circuitmap bay shows.")
    if len(path) > LONGEST_PATH or any(odd in path for odd in (b"..", b"\\", b"%", b"//", b"\0")):
        return Refusal(404, "There is no such page.")
    if method in ("GET", "HEAD"):
        return None
    if method != "POST":
        return Refusal(405, "Only GET and POST.")
    site = said.get(b"sec-fetch-site", [b"same-origin"])
    if said.get(b"origin") != [f"http://{host}".encode("latin-1")] or site not in ([b"same-origin"], [b"none"]):
        return Refusal(403, "This comes from another page.")
    kind = said.get(b"content-type", [b""])
    wanted, words = (b"image/jpeg", "Only a JPEG.") if _is_photo(path) else (b"application/json", "Only JSON.")
    if _is_log(path):
        wanted, words = b"text/csv", "Only a recorder's csv."
    if len(kind) != 1 or kind[0].split(b";")[0].strip().lower() != wanted:
        return Refusal(415, words)
    length = said.get(b"content-length", [])
    if len(length) > 1 or not all(value.isdigit() for value in length):
        return Refusal(400, "How long is it?")
    if length and int(length[0]) > largest_at(path):
        return Refusal(413, f"More than {largest_at(path):,} bytes.")
    return None


def largest_at(path: bytes) -> int:
    """The most bytes that a body sent there may have."""
    if _is_photo(path):
        return LARGEST_PHOTO
    if _is_log(path):
        return LARGEST_LOG
    return LARGEST_TYPED if _is_typing(path) else LARGEST_BODY


def _is_photo(path: bytes) -> bool:
    return _is_beside(path, b"photos")


def _is_log(path: bytes) -> bool:
    return _is_beside(path, b"logs")


def _is_beside(path: bytes, what: bytes) -> bool:
    return path.startswith(b"/jobs/") and path.count(b"/") == 4 and path.split(b"/")[3] == what


def _is_typing(path: bytes) -> bool:
    return path.startswith(b"/platforms/") and path.count(b"/") == 5 and path.split(b"/")[3] == b"typing"


def _is_ours(host: str, names: Iterable[str]) -> bool:
    """Whether a Host is an address, `localhost`, or one of `names`, with or without a port."""
    name, port = host, ""
    if host.startswith("[") and "]" in host:
        name, _, port = host[1:].partition("]")
        port = port.removeprefix(":")
    elif host.count(":") == 1:
        name, _, port = host.partition(":")
    if port and not (port.isascii() and port.isdigit()):
        return False
    if name.casefold() in {"localhost", *(its.casefold() for its in names)}:
        return True
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True


class TooMuch(Exception):
    """More was sent than was said, or than may be sent; `comes` is whether there is more of it."""

    def __init__(self, comes: bool) -> None:
        super().__init__()
        self.comes = comes


class Guard:
    """Stands before the application: refuses, counts what is read, and adds to each answer what a browser may do."""

    def __init__(self, app: App, names: Iterable[str]) -> None:
        self.app, self.names = app, tuple(names)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        path = scope.get("raw_path") or scope["path"].encode()
        refusal = why_refused(scope["method"], path, scope["headers"], self.names)
        if refusal is not None:
            await _read_away(receive)
            await _refuse(send, refusal)
            return
        seen, most = 0, largest_at(path)

        async def counted() -> Message:
            nonlocal seen
            message = await receive()
            seen += len(message.get("body", b""))
            if seen > most:
                raise TooMuch(message.get("more_body", False))
            return message

        async def guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = _with_policy(message["headers"])
            await send(message)

        try:
            await self.app(scope, counted, guarded)
        except TooMuch as too_much:
            if too_much.comes:
                await _read_away(receive)
            await _refuse(send, Refusal(413, f"More than {most:,} bytes."))


def _with_policy(headers: Iterable[tuple[bytes, bytes]]) -> list[tuple[bytes, bytes]]:
    kept = list(headers)
    known = {key.lower() for key, _ in kept}
    more = (
        (b"content-security-policy", POLICY.encode()),
        (b"x-content-type-options", b"nosniff"),
        (b"referrer-policy", b"same-origin"),
        (b"cache-control", b"no-store"),
    )
    return kept + [(key, value) for key, value in more if key not in known]


async def _refuse(send: Send, refusal: Refusal) -> None:
    body = refusal.why.encode()
    headers = [(b"content-type", b"text/plain; charset=utf-8"), (b"content-length", str(len(body)).encode())]
    headers.append((b"connection", b"close"))
    await send({"type": "http.response.start", "status": refusal.status, "headers": _with_policy(headers)})
    await send({"type": "http.response.body", "body": body})


async def _read_away(receive: Receive) -> None:
    left = READ_AWAY
    with suppress(TimeoutError):
        async with asyncio.timeout(READ_AWAY_SECONDS):
            while left > 0:
                message = await receive()
                if message["type"] != "http.request" or not message.get("more_body", False):
                    return
                left -= len(message.get("body", b""))
