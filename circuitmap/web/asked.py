"""Who asks, and what was said: a paired phone, an object in JSON, texts and numbers within their limits."""

import asyncio
import json
from collections.abc import Callable, Mapping
from concurrent.futures import Executor, ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from circuitmap.failures import Failure, WrongUse
from circuitmap.flows.desk import Desk
from circuitmap.flows.platforms_there import PlatformsThere
from circuitmap.flows.typing_desk import TypingDesk
from circuitmap.web.grants import Grants

BODY_SECONDS = 10.0
"""How long the body of a request may take."""

ShowCode = Callable[[str], None]


@dataclass
class Bay:
    """What the addresses share. `show` prints a code to pair with; `port` tells cookies of two bays apart."""

    desk: Desk
    grants: Grants
    port: int
    show: ShowCode
    names: tuple[str, ...] = ()
    writing: Executor = field(default_factory=lambda: ThreadPoolExecutor(1, "writing"))
    answering: Executor = field(default_factory=lambda: ThreadPoolExecutor(1, "answering"))
    beside: Executor = field(default_factory=lambda: ThreadPoolExecutor(1, "beside"))
    """What nobody waits for with a meter in hand: reports, drawings, platforms, what is worked out ahead."""

    at_the_desk: Executor = field(default_factory=lambda: ThreadPoolExecutor(1, "typing"))
    """What somebody types in waits for nobody at a car."""

    def __post_init__(self) -> None:
        self.platforms = PlatformsThere(self.desk.root)
        self.typing = TypingDesk(PlatformsThere(self.desk.root))

    @property
    def cookie(self) -> str:
        return f"bay{self.port}"


class NotPaired(Failure):
    """Whoever asks has no token that is known."""


def owner_of(bay: Bay, request: Request) -> str:
    """Whose phone asks. Raises NotPaired."""
    owner = bay.grants.owner_of(request.cookies.get(bay.cookie, ""))
    if owner is None:
        raise NotPaired("This phone is not paired: scan the code that circuitmap bay shows.")
    return owner


async def failed(request: Request, failure: Exception) -> Response:
    """A failure as an answer with its reason."""
    assert isinstance(failure, Failure)
    status = 401 if isinstance(failure, NotPaired) else 400 if isinstance(failure, WrongUse) else 409
    return JSONResponse({"why": " ".join(filter(None, (failure.message, failure.advice)))}, status)


async def said_in(request: Request) -> Mapping[str, Any]:
    """The object in the body."""
    try:
        said = json.loads(await asyncio.wait_for(request.body(), BODY_SECONDS))
    except TimeoutError:
        raise WrongUse("It took too long to arrive.") from None
    except (ValueError, RecursionError):
        raise WrongUse("This is no JSON.") from None
    if not isinstance(said, dict):
        raise WrongUse("An object is expected.")
    return said


def text_in(said: Mapping[str, Any], key: str, most: int) -> str:
    value = said.get(key, "")
    if not isinstance(value, str) or len(value) > most:
        raise WrongUse(f"{key} is a text of at most {most:,} characters.")
    return value


def texts_in(said: Mapping[str, Any], key: str, most: int) -> list[str]:
    value = said.get(key, [])
    if not isinstance(value, list) or len(value) > most or not all(isinstance(its, str) for its in value):
        raise WrongUse(f"{key} is a list of at most {most:,} texts.")
    return value


def number_in(said: Mapping[str, Any], key: str) -> int:
    value = said.get(key, 0)
    if not isinstance(value, int) or isinstance(value, bool) or not 0 <= value < 10**15:
        raise WrongUse(f"{key} is a number.")
    return value


async def run_in(pool: Executor, what: Callable[..., Any], *about: Any) -> Any:
    return await asyncio.get_running_loop().run_in_executor(pool, what, *about)
