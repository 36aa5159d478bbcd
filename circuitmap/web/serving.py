"""Serve the page at one address until it is stopped; a taken port is one clear message."""

import asyncio
import errno
import socket
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import segno
import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

from circuitmap.failures import Failure, WrongUse
from circuitmap.flows.desk import Desk
from circuitmap.web.application import application
from circuitmap.web.asked import Bay
from circuitmap.web.grants import FILE_NAME, Grants

HEAD_SECONDS = 10.0
"""How long the first request of a connection may take to say what it wants."""
MOST_CONNECTIONS = 300
SWITCH_SECONDS = 0.001
"""How soon a thread lets go for another: an entry passes from thread to thread several times until it is taken."""
QUIET = 4
"""Modules of quiet round a QR code (ISO/IEC 18004, from memory)."""


class CannotServe(Failure):
    """The address cannot be had."""

    exit_code = 3


class _Patient(H11Protocol):
    """A connection that never says what it wants is closed: the server itself would wait for ever."""

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        super().connection_made(transport)
        self.loop.call_later(HEAD_SECONDS, self._let_go)

    def _let_go(self) -> None:
        asked = getattr(self, "cycle", None) is not None
        if not asked and not self.transport.is_closing():
            self.transport.close()


def grants_of(root: Path) -> Grants:
    """The phones of a shop's folder, or of the folder in which a card lies."""
    return Grants((root if root.is_dir() else root.parent) / FILE_NAME)


def serve(root: Path, address: str, port: int, names: Sequence[str], say: Callable[[str], None]) -> None:
    """Serve until stopped. `say` gets the address, and each code to pair with, to be shown."""
    desk = Desk(root)
    desk.cards()
    listening = _bound(address, port)
    port = int(listening.getsockname()[1])
    base = f"http://{f'[{address}]' if ':' in address else address}:{port}/"

    def show(code: str) -> None:
        say("\n".join(shown_code(f"{base}#pair={code}")))

    app = application(Bay(desk, grants_of(root), port, show, tuple(names)))
    config = uvicorn.Config(
        app,
        http=_Patient, log_config=None, access_log=False, server_header=False, date_header=False, ws="none",
        proxy_headers=False,
        limit_concurrency=MOST_CONNECTIONS, timeout_graceful_shutdown=1, timeout_keep_alive=20, lifespan="on",
    )  # fmt: skip
    sys.setswitchinterval(SWITCH_SECONDS)
    say(f"The bay page: {base}  (Ctrl-C stops it)\nTo type in a platform, at a PC: {base}typing")
    with listening:
        uvicorn.Server(config).run(sockets=[listening])


def _bound(address: str, port: int) -> socket.socket:
    """A socket at this address and no other. Raises CannotServe, WrongUse for what is no address."""
    try:
        family, *_, where = socket.getaddrinfo(address, port, type=socket.SOCK_STREAM, flags=socket.AI_NUMERICHOST)[0]
    except (OSError, OverflowError, UnicodeError):
        raise WrongUse(f"{address} is no address.", "Give that of this machine, such as 192.168.1.20.") from None
    listening = socket.socket(family, socket.SOCK_STREAM)
    try:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind(where)
        listening.listen(128)
    except OSError as error:
        listening.close()
        if error.errno == errno.EADDRINUSE:
            advice = f"Is a bay page open already? Another one: --port {port + 1 if port < 65_535 else port - 1}"
            raise CannotServe(f"Port {port} of {address} is taken.", advice) from None
        raise CannotServe(f"{address}, port {port}, cannot be had: {error.strerror}.") from None
    return listening


def shown_code(url: str) -> Iterator[str]:
    """The address as a QR code in half blocks, light on dark, and as text."""
    modules = segno.make(url, error="m", micro=False).matrix_iter(scale=1, border=QUIET)
    rows = [[bool(module) for module in row] for row in modules]
    rows += [[False] * len(rows[0])] if len(rows) % 2 else []
    yield "To pair a phone, scan this within 10 minutes; each code is good for one phone:"
    for upper, lower in zip(rows[::2], rows[1::2], strict=True):
        yield "".join(_HALVES[above, below] for above, below in zip(upper, lower, strict=True))
    yield url


_HALVES = {(False, False): "█", (False, True): "▀", (True, False): "▄", (True, True): " "}
"""By whether the upper and the lower module are dark: what is light is drawn."""
