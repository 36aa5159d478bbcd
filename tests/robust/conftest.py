"""The program in this process, and the small van, as the tests of the command line have them; and an end to every wait."""

import signal
from collections.abc import Iterator
from types import FrameType

import pytest

from tests.cli.conftest import circuitmap, van
from tests.robust.running import SECONDS

__all__ = ["circuitmap", "van"]


@pytest.fixture(autouse=True)
def _nothing_hangs() -> Iterator[None]:
    """Whoever waits for a pipe in this process is woken: a test that hangs is one that fails."""
    if not hasattr(signal, "setitimer"):
        yield
        return

    def wake(number: int, frame: FrameType | None) -> None:
        pytest.fail("hung")

    before = signal.signal(signal.SIGALRM, wake)
    signal.setitimer(signal.ITIMER_REAL, 4 * SECONDS)
    yield
    signal.setitimer(signal.ITIMER_REAL, 0)
    signal.signal(signal.SIGALRM, before)
