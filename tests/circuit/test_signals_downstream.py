"""A pin that was said to be a signal takes no current; a way that leads on to it is told all the same."""

from circuitmap.circuit.trace import Trace
from circuitmap.flows.questions import bench_with, trace
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
    traced = trace(bench_with(here, {}), part)
    return traced.trace, trace_text(here.platform, traced.trace, traced.fed)


def test_the_way_out_to_a_signal_is_shown() -> None:
    its, said = _traced("F28")
    assert "-> U1.D (on request) -> G1.D: alternator, signal pin" in " ".join(said.split())
    assert [str(end) for end in its.signals] == ["G1.D"]
    assert trace_json(circuit(PANEL).platform, its, {})["downstream"]["signals"] == ["G1.D"]


def test_how_long_a_module_runs_on_is_said_where_it_works_something() -> None:
    text = PANEL.replace("signal OP\n", "signal OP run-on 5min\n").replace("signal D\n", "control D\n")
    assert "It runs on for 5 min." in " ".join(_traced("U1", text)[1].split())
    assert "runs on for 5 min" in " ".join(_traced("G1", text)[1].split("WORKED BY")[1].split())
    assert "runs on" not in _traced("G1")[1]


def test_what_comes_through_no_fuse_is_told_with_its_battery() -> None:
    text = (
        "battery BAT\nbattery AUX\nfuse F1 60A, F28 5A\nlamp L1\nground GR\nAUX.+ -> S.1\nBAT.+ -> F1 -> T.1\n"
        "switch S positions off, on closes 1 to 2 in on\nswitch T positions off, on closes 1 to 2 in on\n"
        "S.2, T.2 -> F28\nF28 -> L1 -> GR\nAUX.-, BAT.- -> GR\n"
    )
    said = " ".join(_traced("F28", text)[1].split())
    assert "through F1, and from AUX through no fuse" in said


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
