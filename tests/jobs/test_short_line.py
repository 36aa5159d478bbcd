"""One short line at the car is one entry of the card."""

import pytest

from circuitmap.failures import WrongUse
from circuitmap.jobs.short_line import entry_of
from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform

VAN = """\
platform "Marlow Linnet"
battery BAT 72Ah
box CAB "Cab fuse box"
fuse CAB.F14 15A mini, CAB.F22 20A mini, CAB.F30 30A mini, CAB.F31 10A mini, CAB.F40 60A bolted
fuse CAB.F41 empty
relay CAB.K4 make
module HEATER supply A.1 ground A.2
module LIFT supply 1 ground 2
network CHASSIS can members HEATER, LIFT
option TOW
switch DOORD positions shut, open closes 1 to case in open
"""


@pytest.fixture(scope="module")
def van() -> Platform:
    notation, problems = read_text(SourceFile("van.circuit", VAN))
    assert not problems
    return platform_of([notation])


@pytest.mark.parametrize(
    ("line", "fields"),
    [
        ("F22=0.46A", [("read", (("CAB.F22", "0.46A"),))]),
        ("F22=0.46A, F14=draws; total 1.85A",
         [("read", (("CAB.F22", "0.46A"), ("CAB.F14", "draws"))), ("total", "1.85A")]),
        ("F22 = 1.6mV total=0.5A", [("read", (("CAB.F22", "1.6mV"),)), ("total", "0.5A")]),
        ("locked", [("state", "locked")]),
        ("key on", [("state", "key on")]),
        ("zeroed", [("zeroed", "yes")]),
        ("looked", [("looked", "yes")]),
        ("relay K4 held", [("relays", (("CAB.K4", "held"),))]),
        ("input LIFT wrong", [("inputs", (("LIFT", "wrong"),))]),
        ("tested LIFT ground 0.03V", [("tested", (("LIFT ground", "0.03V"),))]),
        ("out LIFT; BAT=0.05A", [("out", ("LIFT",)), ("read", (("BAT", "0.05A"),))]),
        ("out F22 F14", [("out", ("CAB.F22", "CAB.F14"))]),
        ("out HEATER.A", [("out", ("HEATER.A",))]),
        ("back LIFT", [("back", ("LIFT",))]),
        ("network CHASSIS 2.5V", [("network", (("CHASSIS", "2.5V"),))]),
        ("scan silent LIFT unsteady HEATER", [("scan", (("silent", "LIFT"), ("unsteady", "HEATER")))]),
        ("codes U0140 back HEATER about LIFT", [("codes", ("U0140 back HEATER about LIFT",))]),
        ("log floor 0.05A peak 1.2A mean 0.31A period 10min",
         [("log", (("floor", "0.05A"), ("peak", "1.2A"), ("mean", "0.31A"), ("period", "10min")))]),
        ("option TOW", [("fitted", ("TOW",))]),
        ("without LIFT", [("absent", ("LIFT",))]),
        ("set DOORD open", [("stands", (("DOORD", "open"),))]),
        ("set DOORD=open", [("stands", (("DOORD", "open"),))]),
        ("remark it rained; all night", [("remark", "it rained; all night")]),
    ],
)  # fmt: skip
def test_lines(van: Platform, line: str, fields: list[tuple[str, object]]) -> None:
    assert list(entry_of(van, line).fields) == fields


def test_a_whole_row_in_one_line(van: Platform) -> None:
    line = entry_of(van, "CAB mV: all 0.0 except F22 0.6, not read F30; total 0.62")
    assert dict(line.fields) == {
        "read": (("CAB.F14", "0.0mV"), ("CAB.F31", "0.0mV"), ("CAB.F22", "0.6mV")),
        "total": "0.62A",
    }
    assert line.understood == ("No test points, so not counted as read: CAB.F40 (bolted). Clamp the wire.",)


def test_a_row_of_amperes_takes_every_fuse_but_the_empty_slot(van: Platform) -> None:
    read = dict(entry_of(van, "CAB A: all 0.00 except F22 0.45 F40 0.31").fields)["read"]
    assert read == (("CAB.F14", "0.00A"), ("CAB.F30", "0.00A"), ("CAB.F31", "0.00A"), ("CAB.F22", "0.45A"),
                    ("CAB.F40", "0.31A"))  # fmt: skip


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("", "nothing in this line"),
        ("loked", "loked is not understood"),
        ("F99=3A", "no part F99"),
        ("F22=3X", "X is not a unit"),
        ("F22=3A F22=4A", "stands twice"),
        ("locked; opened", "state stands twice"),
        ("CAB mV: all", "all needs a value"),
        ("CAB mV: all 0.0 except F22", "F22 has no value"),
        ("HEATER mV: all 0.0", "is not a box"),
        ("scan LIFT", "silent, unsteady or answers"),
        ("network CHASSIS loud", "awake, asleep"),
        ("codes X12", "not a trouble code"),
        ("out", "needs something"),
        ("remark", "needs something after it"),
        ("HEATER=1A", "not a place to read a current"),
    ],
)
def test_what_makes_no_sense_is_named(van: Platform, line: str, message: str) -> None:
    with pytest.raises(WrongUse, match=message):
        entry_of(van, line)
