"""The program in this process and the small van, as in the tests of the command line; and an end to every wait."""

import signal
import tempfile
from collections.abc import Iterator
from pathlib import Path
from types import FrameType

import pytest

from tests.cli.conftest import SMALL_VAN, circuitmap, van
from tests.robust.places import CARD
from tests.robust.running import SECONDS

__all__ = ["circuitmap", "van"]


@pytest.fixture(autouse=True)
def _nothing_hangs() -> Iterator[None]:
    """Whatever waits for a pipe in this process is woken: a test that hangs is one that fails."""
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


@pytest.fixture
def shop(monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A folder that anybody may enter, unlike those of the tests."""
    with tempfile.TemporaryDirectory() as room:
        shop = Path(room).resolve() / "shop"
        (shop / "van").mkdir(parents=True)
        Path(room).chmod(0o755)
        (shop / "van/van.circuit").write_text(SMALL_VAN)
        (shop / "van/more.circuit").write_text('lamp   MORE\nsheet "9" "More"\n')
        (shop / "chart.csv").write_text("CAB.F900;10A\n")
        (shop / "lines.txt").write_text("f2 more rd 1\n")
        (shop / "job.yaml").write_text(CARD)
        (shop / "base.circuit").write_text("fuse CAB.F1 10A mini\n")
        (shop / "night.csv").write_text("time,A\n18:00,0.5\n18:01,0.5\n18:02,0.4\n")
        (shop / "ours.circuit").write_text("fuse CAB.F1 20A mini\n")
        (shop / "theirs.circuit").write_text("fuse CAB.F1 10A mini\nfuse CAB.F2 10A mini\n")
        monkeypatch.chdir(shop)
        yield shop
