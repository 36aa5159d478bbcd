"""One short line at the car is one entry of the card."""

import pytest

from circuitmap.failures import WrongUse
from circuitmap.jobs.line_so_far import CarOnCard
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
lamp DOME
connector X20
CAB.F22 -> X20.8 -> DOME in RD 1 code "31-7"
network BODY can members HEATER
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
        ("input LIFT wrong, K4 right", [("inputs", (("LIFT", "wrong"), ("CAB.K4", "right")))]),
        ("input K4 right LIFT wrong K4 right", [("inputs", (("CAB.K4", "right"), ("LIFT", "wrong")))]),
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
        ("network CHASSIS 2.5V BODY asleep", [("network", (("CHASSIS", "2.5V"), ("BODY", "asleep")))]),
        ("network CHASSIS 2.5 V, BODY=awake", [("network", (("CHASSIS", "2.5V"), ("BODY", "awake")))]),
        ("network CHASSIS awake; network BODY awake", [("network", (("CHASSIS", "awake"), ("BODY", "awake")))]),
        ("found DOME burning", [("found", (("DOME", "burning"),))]),
        ("found dome lit, LIFT and HEATER hot", [("found", (("DOME", "burning"), ("LIFT", "warm"), ("HEATER", "warm")))]),
        ("found chafed wire at X20.8", [("found", (("X20.8", "chafed"),))]),
        ("found 31-7 chafed", [("found", (("31-7", "chafed"),))]),
        ("found water in X20", [("found", (("X20", "wet"),))]),
        ("found a smell at LIFT", [("found", (("LIFT", "smells"),))]),
        ("found CHASSIS rubbed", [("found", (("CHASSIS", "chafed"),))]),
        ("out F22: gone", [("out", ("CAB.F22",)), ("change", "gone")]),
        ("out F22 F14: no change", [("out", ("CAB.F22", "CAB.F14")), ("change", "no change")]),
        ("out F22, F14; less", [("out", ("CAB.F22", "CAB.F14")), ("change", "less")]),
        ("out F22, unchanged", [("out", ("CAB.F22",)), ("change", "no change")]),
        ("back F22: there again", [("back", ("CAB.F22",)), ("change", "again")]),
        ("still there", [("change", "no change")]),
        ("battery rest 12.45V", [("battery", (("rest", "12.45V"),))]),
        ("battery 12.45V at rest, charging 14.2 test failed",
         [("battery", (("rest", "12.45V"), ("charging", "14.2V"), ("test", "failed")))]),
        ("battery BAT rest=12.45V", [("battery", (("place", "BAT"), ("rest", "12.45V")))]),
        ("fitted COOLER from F22", [("added", (("COOLER", "CAB.F22"),))]),
        ("fitted COOLER from BAT; COOLER=1.6A", [("added", (("COOLER", "BAT"),)), ("read", (("COOLER", "1.6A"),))]),
        ("own-battery HEATER", [("own-battery", ("HEATER",))]),
        ("turned DOORD shut", [("turned", (("DOORD", "shut"),))]),
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
        ("found", "found needs something after it"),
        ("found DOME", "what was found, and where"),
        ("found wet", "what was found, and where"),
        ("found nobody wet", "no part nobody"),
        ("found LIFT burning", "LIFT is no lamp"),
        ("found DOME wet, DOME burning", "found DOME stands twice"),
        ("network CHASSIS awake, CHASSIS asleep", "network CHASSIS stands twice"),
        ("battery", "battery needs something"),
        ("battery rest", "rest:"),
        ("battery test 12.4", "fine or bad"),
        ("battery rest 12.4V rest 12.5V", "battery rest stands twice"),
        ("battery LIFT rest 12.4V", "LIFT is not a battery"),
        ("fitted COOLER", "fed from where"),
        ("fitted tow cooler from BAT", "one word"),
        ("fitted lift from BAT", "LIFT is on the sheets already"),
        ("fitted COOLER from F99", "no part F99"),
        ("back all", "nothing is out"),
        ("turned LIFT on", "not a switch with positions"),
    ],
)
def test_what_makes_no_sense_is_named(van: Platform, line: str, message: str) -> None:
    with pytest.raises(WrongUse, match=message):
        entry_of(van, line)


@pytest.mark.parametrize(
    ("line", "written", "told"),
    [
        ("F22 1.6", "1.6mV", "F22 1.6 has no unit: written down as 1.6mV, millivolts across the fuse."),
        ("F31 12", "12mV", "millivolts across the fuse"),
        ("F31 12.25", "12.25mV", "millivolts across the fuse"),
        ("F40 14.6", "14.6A", "F40 14.6 has no unit: written down as 14.6A, amperes."),
        ("CAB 0.9", "0.9A", "amperes"),
        ("BAT 0.47", "0.47A", "amperes"),
        ("BAT 30", "30A", "amperes"),
    ],
)
def test_a_number_alone_is_what_is_read_at_its_place_and_that_is_told(
    van: Platform, line: str, written: str, told: str
) -> None:
    """12.25 A would blow a fuse of 10 A; nothing can be read across a bolted fuse; no battery has 0.47 V or 30 V."""
    found = entry_of(van, line)
    assert dict(found.fields)["read"][0][1] == written
    assert len(found.understood) == 1 and told in found.understood[0]


@pytest.mark.parametrize(
    ("line", "message", "advice"),
    [
        ("F22 0.46", "amperes, or millivolts", "Write CAB.F22=0.46A or CAB.F22=0.46mV."),
        ("BAT 12.4", "amperes, or its volts", "Write BAT=12.4A, or battery rest 12.4V."),
    ],
)
def test_a_number_that_may_be_two_things_is_asked(van: Platform, line: str, message: str, advice: str) -> None:
    with pytest.raises(WrongUse, match=message) as refused:
        entry_of(van, line)
    assert refused.value.advice == advice


def test_back_all_is_everything_that_is_out_by_the_card(van: Platform) -> None:
    car = CarOnCard(out=("LIFT", "CAB.F22"))
    assert entry_of(van, "back all: again", car=car).fields == (("back", ("LIFT", "CAB.F22")), ("change", "again"))


def test_what_is_on_no_sheet_is_named_like_any_other_part(van: Platform) -> None:
    car = CarOnCard(added=("COOLER",))
    fields = entry_of(van, "out cooler; found cooler warm; tested cooler feed 0.05V", car=car).fields
    assert fields == (("out", ("COOLER",)), ("found", (("COOLER", "warm"),)), ("tested", (("COOLER feed", "0.05V"),)))


def test_a_switch_that_stood_otherwise_was_turned(van: Platform) -> None:
    """Only the card can tell whether it was turned or stood so all along; where it cannot, both are told."""
    turned = entry_of(van, "set DOORD shut", car=CarOnCard(stand={"DOORD": "open"}))
    assert turned.fields == (("turned", (("DOORD", "shut"),)),)
    assert "stood at open by the card" in turned.understood[0]
    stands = entry_of(van, "set DOORD open")
    assert stands.fields == (("stands", (("DOORD", "open"),)),)
    assert "turned DOORD open" in stands.understood[0]
