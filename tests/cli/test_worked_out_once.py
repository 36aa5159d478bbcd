"""One command reads a card once, and works out a circuit and its feeding once: the values are passed on."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from circuitmap.circuit.feeding import feeding_of
from circuitmap.circuit.links import circuit_of
from circuitmap.evidence.job_card import read_card
from tests.cli.conftest import Run
from tests.work_done import calls_of, calls_of_each

SAMPLES = Path(__file__).parent.parent.parent / "sample_vehicles"
TRUCK = str(SAMPLES / "truck")
ASKED = (
    ("trace", TRUCK, "LIFT"),
    ("common", TRUCK, "F6", "F11", "F19", "--quiet", "F12"),
    ("diagram", TRUCK, "F6=0.6mV", "F11=0.3mV", "F24=0.5mV", "F40=0mV", "-o", "OUT.dot"),
    ("worksheet", TRUCK, "-o", "OUT.txt"),
)


@pytest.fixture
def card(tmp_path: Path) -> Path:
    """A card of the truck, a few lines long, alone in its folder."""
    path = tmp_path / "job.yaml"
    path.write_text(f"job: 1\nplatform: {TRUCK}\nentries:\n  - {{at: 10:00, state: locked}}\n", "utf-8")
    return path


@pytest.mark.parametrize("asked", ASKED, ids=lambda asked: asked[0])
def test_a_command_asks_once_what_feeds_what(asked: tuple[str, ...], circuitmap: Run, tmp_path: Path) -> None:
    words = [word.replace("OUT", str(tmp_path / "out")) for word in asked]
    assert calls_of_each((feeding_of, circuit_of), lambda: circuitmap(*words)) == (1, 1)


@pytest.mark.parametrize(
    ("function", "times"), [(read_card, 2), (circuit_of, 1)], ids=["the card as it was and as it is", "the circuit"]
)
def test_an_entry_is_added_with_one_look(
    function: Callable[..., object], times: int, circuitmap: Run, card: Path
) -> None:
    """The card is read as it stands, and once more with the entry, which proves that nothing else changed."""

    def add() -> None:
        ran = circuitmap("card", "add", str(card), "BAT=0.47A F6=0.6mV F12=0mV", "--at", "11:00")
        assert ran.code == 0, ran

    assert calls_of(function, add) == times


def test_an_entry_is_struck_with_one_look(circuitmap: Run, card: Path) -> None:
    struck = calls_of(read_card, lambda: circuitmap("card", "strike", str(card), "1", "wrong car"))
    assert struck == 2 and "struck" in card.read_text("utf-8")


def test_a_card_is_shown_and_asked_with_one_look(circuitmap: Run, card: Path) -> None:
    assert calls_of(read_card, lambda: circuitmap("card", "show", str(card))) == 1
    assert calls_of(read_card, lambda: circuitmap("suspects", TRUCK, "--card", str(card))) == 1


def test_a_report_works_out_one_circuit(circuitmap: Run, tmp_path: Path) -> None:
    """The card's standing, diagnosis and drawing are of one and the same car."""
    shutil.copytree(SAMPLES / "truck", tmp_path / "truck")
    card = next(iter(sorted((tmp_path / "truck" / "jobs").glob("*.yaml"))))
    made = tmp_path / "report.html"
    assert calls_of(circuit_of, lambda: circuitmap("report", str(card), "-o", str(made))) == 1
    assert made.exists()
