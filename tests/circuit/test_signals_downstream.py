"""A pin that was said to be a signal takes no current; a way that leads on to it is told all the same."""

from circuitmap.circuit.trace import Trace, trace
from circuitmap.reports.circuit.trace_json import trace_json
from circuitmap.reports.circuit.trace_text import trace_text

from .told import circuit

PANEL = """
battery BAT
fuse F1 60A, F28 5A
module U1 "panel" supply 15 ground 31 signal OP
output U1.D feeds from 15 "charge lamp"
alternator G1 "alternator" supply B ground M signal D
sensor B11 "oil pressure" signal S
ground GR
BAT.+ -> F1 -> F28 -> U1.15
F1 -> G1.B
U1.D -> G1.D
B11.S -> U1.OP
U1.31, G1.M, BAT.- -> GR
"""


def _traced(part: str, text: str = PANEL) -> tuple[Trace, str]:
    here = circuit(text)
    its = trace(here, part)
    return its, trace_text(here.platform, its, {})


def test_the_way_out_to_a_signal_is_shown() -> None:
    its, said = _traced("F28")
    assert "-> U1.D (on request) -> G1.D: alternator, signal pin" in " ".join(said.split())
    assert [str(end) for end in its.signals] == ["G1.D"]
    assert trace_json(circuit(PANEL).platform, its, {})["downstream"]["signals"] == ["G1.D"]


def test_a_signal_is_no_load() -> None:
    its, _ = _traced("F28")
    assert its.loads == ("U1",) and all(there.part != "G1" for there in its.downstream)


def test_a_signal_that_gets_no_plus_is_not_shown() -> None:
    """What a sensor reports comes from no battery."""
    its, said = _traced("F1")
    assert "B11" not in said and "U1.OP" not in said and [str(end) for end in its.signals] == ["G1.D"]


def test_it_is_shown_as_with_a_pin_that_takes_current() -> None:
    _, said = _traced("F28", PANEL.replace("signal D\n", "control D\n"))
    assert _traced("F28")[1].replace("signal pin", "control pin").splitlines()[-3:] == said.splitlines()[-3:]
