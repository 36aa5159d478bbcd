"""What nearly everything hangs on takes the draw away wherever it is taken: that proves nothing."""

import pytest

from circuitmap.notation.reading import read_text
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.standing_text import headline
from circuitmap.reports.job.tried_text import try_sentence
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.jobs.test_standing import standing


def behind_a_main_switch(fuses: int) -> Platform:
    text = """platform "P" sleep 5min..10min limit 30mA
battery B 95Ah
box F
ground G1
B.- -> G1
switch MAIN positions on, off closes 1 to 2 in on
splice SP
fuse FM 60A, FH 10A
B.+ -> MAIN.1
B.+ -> FH.1
FH.2 -> H.1
heater H supply 1 ground 2
H.2 -> G1
MAIN.2 -> FM.1
FM.2 -> SP
"""
    for n in range(1, fuses + 1):
        text += f"fuse F.F{n} 10A mini\nheater L{n} supply 1 ground 2\nSP -> F.F{n} -> L{n}.1\nL{n}.2 -> G1\n"
    return platform_of([read_text(SourceFile("p.circuit", text))[0]])


def card(out: str) -> tuple[str, ...]:
    return (
        "at: 10:00, state: locked, meter: low-current-clamp, resolution: 1mA",
        "at: 10:40, total: 0.302A",
        f"at: 10:45, out: [{out}]",
        "at: 11:20, total: 0.005A",
    )


@pytest.mark.parametrize(
    ("fuses", "out", "verdict"),
    [
        (8, "MAIN", "feeds-all"), (8, "FM", "feeds-all"), (8, "F.F3", "involved"), (8, "L3", "involved"),
        (8, "FH", "involved"), (1, "MAIN", "involved"),
    ],
)  # fmt: skip
def test_what_everything_hangs_on_is_never_called_involved(fuses: int, out: str, verdict: str) -> None:
    found = standing(behind_a_main_switch(fuses), *card(out))
    assert [(one.verdict, one.out) for one in found.tries] == [(verdict, (out,))]


def test_it_is_said_what_it_shows_all_the_same() -> None:
    its = behind_a_main_switch(8)
    found = standing(its, *card("MAIN"))
    assert headline(its, found).startswith("IT DRAWS 0.30 A") and not found.tries[0].needs
    assert "the draw lies behind it" in try_sentence(its, found.tries[0], Clock())
