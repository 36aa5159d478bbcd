"""Fuses that share a current, and a module that makes its own voltage."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.circuit.trace import trace
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.diagnosis.faults.candidates import faults_of
from circuitmap.diagnosis.faults.without import Without
from circuitmap.diagnosis.seen.choosing_readings import chosen_from
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.flows.questions import platform_from
from circuitmap.power.carried import carried
from circuitmap.power.evaluate import evaluate
from circuitmap.power.state import VehicleState
from circuitmap.source import SourceFile

SIDE_BY_SIDE = """
battery BAT
ground G1
bar B1 feeds F1, F2, F3
fuse F1 10A, F2 10A, F3 10A
splice SP1
relay K1 make
lamp L1 running 8A
load R running 1A
BAT.- -> G1
BAT.+ -> B1
F1, F2 -> SP1
SP1 -> K1.30
K1.87 -> L1 -> G1
F3 -> R -> G1
"""

CONVERTER = """
battery BAT 24V
platform "t" supply 24V return wired
ground N1 wired
ground N2 wired
fuse F1 25A, F2 15A
module CONV supply IN ground 31 sense EN
output CONV.OUT feeds 12V from IN while EN
load RADIO running 4A
BAT.- -> N1
N1 -> N2
BAT.+ -> F1 -> CONV.IN
BAT.+ -> CONV.EN
CONV.31 -> N2
CONV.OUT -> F2 -> RADIO -> N2
"""


def parked_of(text: str) -> Parked:
    return Parked(circuit_of(platform_from((SourceFile("t.circuit", text),))), {})


CHART = """
battery BAT
ground G1
bar B1 feeds F1, F2, F3, F4
fuse F1 10A, F2 10A, F3 10A, F4 10A
module M supply A0, A1 ground 31
module N
lamp L
BAT.- -> G1
BAT.+ -> B1
F1 feeds M, N
F2 feeds M, N
F1 feeds L
F3 feeds L
F4 feeds N
"""


@pytest.mark.parametrize("fuse", ["F1", "F2", "F3", "F4"])
def test_rows_of_a_chart_that_name_one_load_are_feeds_of_their_own(fuse: str) -> None:
    """Two rows that name one module mean two of its pins, as long as nobody says more: what is added behind one of
    their fuses flows there alone."""
    parked = parked_of(CHART)
    assert not PlaceTree(parked).joined
    assert trace(parked.circuit, fuse).side_by_side == ()
    assert any(its.kind == "added" and its.about == fuse for its in faults_of(parked))


def test_a_chart_that_feeds_fuses_joins_them() -> None:
    """What a row says of two fuses is one piece of metal before them; behind them they are joined by wires."""
    wired = SIDE_BY_SIDE.replace("bar B1 feeds F1, F2, F3", "bar B1").replace(
        "BAT.+ -> B1", "BAT feeds B1\nB1 feeds F1, F2, F3"
    )
    assert PlaceTree(parked_of(wired)).joined["F1"] == "F1 and F2"


def test_fuses_side_by_side_are_one_place() -> None:
    parked = parked_of(SIDE_BY_SIDE)
    tree = PlaceTree(parked)
    assert tree.joined["F1"] == tree.joined["F2"] == "F1 and F2"
    assert "F3" not in tree.joined
    assert tree.above("F1 and F2") == ("BAT",)


@pytest.mark.parametrize(
    ("readings", "amps", "draws"),
    [
        (("F1=0.0mV", "F2=0.0mV"), None, False),
        (("F1=0.0mV", "F2=0.4mV"), None, True),
        (("F1=0A", "F2=1.5A"), 1.5, True),
    ],
    ids=str,
)
def test_what_two_fuses_show_is_what_they_show_together(
    readings: tuple[str, ...], amps: float | None, draws: bool
) -> None:
    """Of which style they are no sheet says: that they show nothing is told all the same."""
    parked = parked_of(SIDE_BY_SIDE)
    typed = TypedEvidence(readings=("BAT=1.5A", *readings), meter="clamp")
    chosen = chosen_from(evidence_typed(parked.platform, typed).readings, PlaceTree(parked))
    together = chosen.latest["F1 and F2"]
    assert (together.amps, together.shows_current) == (amps, draws)
    assert not chosen.set_aside


def test_one_of_two_that_share_a_current_says_little_alone() -> None:
    parked = parked_of(SIDE_BY_SIDE)
    typed = TypedEvidence(readings=("BAT=1.5A", "F1=0.0mV"), meter="clamp")
    chosen = chosen_from(evidence_typed(parked.platform, typed).readings, PlaceTree(parked))
    assert [one.why for one in chosen.set_aside] == ["shared-batteries"]


def test_a_chafed_wire_behind_both_goes_on_until_both_are_out() -> None:
    parked = parked_of(SIDE_BY_SIDE)
    (chafed,) = (f for f in faults_of(parked) if f.kind == "chafed" and f.part.startswith("wiring behind F1"))
    assert chafed.part == "wiring behind F1 and F2"
    for out in (("F1",), ("F2",), ("F3",)):
        assert Without(parked, out).left_of(chafed) == chafed.brings
    assert Without(parked, ("F1", "F2")).left_of(chafed) == ()


def test_before_a_converter_flows_as_much_less_as_the_voltage_is_higher() -> None:
    parked = parked_of(CONVERTER)
    powered = evaluate(parked.circuit, VehicleState())
    amps = {place.names: place.amps.low for place in carried(powered, {})}
    assert amps["F2",] == pytest.approx(4.0)
    assert amps["F1",] == pytest.approx(2.0)
    (chafed,) = (f for f in faults_of(parked) if f.kind == "chafed" and f.part == "wiring behind F2")
    behind, before = chafed.brings
    assert (behind.way.places, before.way.places) == (("F2",), ("F1", "BAT"))
    assert before.mean == pytest.approx(behind.mean / 2.0)
    assert PlaceTree(parked).above("F2") == ()


def test_what_a_converter_feeds_returns_to_it() -> None:
    circuit = parked_of(CONVERTER).circuit
    (way,) = trace(circuit, "RADIO").ground
    assert str(way.end) == "CONV.31"
    assert all(step.end.part != "N1" for step in way.steps)
    assert str(trace(circuit, "CONV").ground[0].end) != "CONV.31"
