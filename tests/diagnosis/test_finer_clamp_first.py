"""A display of which one step is about the limit: a finer clamp comes before every other step (common practice, no
source)."""

import pytest

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.flows.questions import platform_from
from circuitmap.reports.bay.steps import tap_of
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.reports.words.cautions import cautions_of
from circuitmap.source import SourceFile
from tests.diagnosis.test_wires_that_are_left import told

MOPED = """\
platform "Moped" supply 12V sleep 1min..2min limit 3mA
battery B 11Ah
fuse F1 20A mini "all"
module CLK "clock" supply 1 ground 2 asleep 1mA awake 100mA
alternator REG "rectifier" supply 1 ground 2
socket US "socket" supply 1 ground 2
ground G1
B.+ -> F1 -> CLK.1
B.+ -> REG.1
B.+ -> US.1
CLK.2 -> G1
REG.2 -> G1
US.2 -> G1
B.- -> G1
"""
READ = "at: 09:40, total: {total}, read: {{F1: {at_f1}}}, steady: yes"


def circuit(limit: str = "3mA") -> Circuit:
    return circuit_of(platform_from((SourceFile("m.circuit", MOPED.replace("limit 3mA", f"limit {limit}")),)))


@pytest.mark.parametrize(
    ("limit", "step", "total", "at_f1", "again"),
    [
        ("3mA", "10mA", "0.03A", "0.00A", ("B", "F1")),  # three steps of a display of which one is over the limit
        ("12mA", "10mA", "0.03A", "0.00A", ("B", "F1")),  # one step is hardly below it
        ("3mA", "10mA", "0.03A", "0.03A", ("B",)),  # F1 shows it all
        ("20mA", "10mA", "0.03A", "0.00A", ()),  # half of it: what is normal can be told
        ("3mA", "1mA", "32mA", "1mA", ()),
        ("3mA", "10mA", "0.30A", "0.00A", ()),  # thirty steps: this display follows it, too
    ],
)
def test_the_finer_clamp_is_next_where_one_step_is_about_the_limit(
    limit: str, step: str, total: str, at_f1: str, again: tuple[str, ...]
) -> None:
    """By hand: the clock takes 1 mA; of 30 mA in steps of 10 mA up to 10 mA may be anywhere and show nothing."""
    its = circuit(limit)
    locked = f"at: 09:00, state: locked, meter: clamp, resolution: {step}, zeroed: yes"
    found, _ = told(its, locked, READ.format(total=total, at_f1=at_f1))
    finer = [test for test in found.tests.choices if test.action.doing == "finer-clamp"]
    said = " ".join(suspects_text(its.platform, found).split())
    if not again:
        assert not finer and "finer clamp" not in said
        return
    assert finer == [found.tests.choices[0]] and finer[0].action.parts == again
    assert "again with a finer clamp (a low-current clamp, to 1 mA)" in said and "No other test" not in said
    codes = {one.code for one in cautions_of(its.platform, found.switching, finer[0].action)}
    assert {"battery", "zero-first"} <= codes
    assert not tap_of(finer[0], "").lines
