"""What a converter makes: the volts behind it, and the current before it.

Source: Ohm's law and watts before = watts behind, by hand beside each number; the reference of the notation, Outputs. What
a converter holds and loses is judgement (`volts/net.py`).
"""

import math
from dataclasses import replace

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.dead.probed_through import probed_through
from circuitmap.dead.probes import steps_for, volts_with
from circuitmap.dead.without import interrupted_one_by_one
from circuitmap.failures import WrongUse
from circuitmap.flows.volts import bad_places_typed
from circuitmap.power.evaluate import Powered
from circuitmap.power.functions import function_named
from circuitmap.power.joined import joined_batteries
from circuitmap.power.state_for import StateFor
from circuitmap.quantities import Band
from circuitmap.reports.volts.volts_text import volts_text
from circuitmap.volts.answer import VoltsThere
from circuitmap.volts.expected_volts import AskedVolts, ExpectedVolts, expected_volts
from circuitmap.volts.net import NoBattery, net_of
from circuitmap.volts.nominal import nominal_volts
from circuitmap.volts.operating import Solver, usual_values
from circuitmap.wiring.parts import Terminal
from tests.power.vehicle import live, vehicle

TEXT = """
platform "Two volts" supply 24V return wired
battery A 24V
fuse F1 20A regular "converter", F2 10A regular "pad", F3 10A regular "wake-up", F4 10A regular "tap"
module PSU supply 1 ground 2 sense 3
output PSU.4 feeds 12V from 1 while 3
heater PAD running 4A
lamp TAP running 1A
switch RUN positions off, on closes 1 to 2 in on
switch TON positions off, on closes 1 to 2 in on
A.+ -> F1 in RD 6 length 1m
F1 -> PSU.1 in RD 2.5 length 8m
A.+ -> F3 -> RUN.1 in RD 1
RUN.2 -> PSU.3 in RD 1
PSU.4 -> SP in RD 2.5 length 10m
splice SP
SP -> F2 -> PAD.1 in RD 2.5 length 5m
SP -> F4 -> TON.1 in RD 1
TON.2 -> TAP.1 in RD 1
PAD.2 -> PSU.2 in BK 2.5 length 15m
TAP.2 -> PSU.2 in BK 1
PSU.2 -> A.- in BK 6 length 1m
"""
CIRCUIT = vehicle(TEXT)
METRE = 0.00798
"""Ohms of a metre of 2.5 mm2 (IEC 60228 class 5, seen)."""


def on(circuit: Circuit = CIRCUIT, **switches: str) -> Powered:
    return live(circuit, switches={"RUN": "on", **switches})


def asked(powered: Powered, point: str, *, saw: dict[str, float] | None = None, bad: dict[str, float] | None = None,
          running: tuple[str, ...] = ("PAD",)) -> ExpectedVolts:  # fmt: skip
    def at(name: str) -> Terminal:
        part, _, pin = name.partition(".")
        return Terminal(part, pin)

    readings = {at(name): volts for name, volts in (saw or {}).items()}
    places = {at(name): ohms for name, ohms in (bad or {}).items()}
    found = expected_volts(powered, AskedVolts(at(point), running, {}, readings, {}, places))
    assert not isinstance(found, NoBattery)
    return found


def usual(found: ExpectedVolts, point: str) -> float:
    return next(its.bounds.usual for its in found.way if str(its.terminal) == point)


def amps(found: ExpectedVolts, point: str) -> float:
    return next(its.amps for its in found.way if str(its.terminal) == point)


def test_behind_it_are_its_volts_less_what_the_wires_lose() -> None:
    """12 V over a pad of 12 V / 4 A = 3 ohm, 35 m of 2.5 mm2, 20 mohm inside the converter, 7 mohm of a 10 A fuse."""
    there = 12.0 * (3.0 + 15 * METRE) / (3.0 + 35 * METRE + 0.02 + 0.007)
    found = asked(on(), "PAD.1")
    assert usual(found, "PAD.1") == pytest.approx(there, abs=0.04)
    across = usual(found, "PAD.1") - usual(found, "PAD.2")
    assert across == pytest.approx(12.0 * 3.0 / (3.0 + 35 * METRE + 0.027), abs=0.04)


def test_before_it_flows_what_the_watts_behind_it_take() -> None:
    """Watts at its pins: 12 V x 3.63 A = 44 W; at some 25.1 V that is 1.74 A."""
    found = asked(on(), "PAD.1")
    behind = amps(found, "PAD.1")
    assert behind == pytest.approx(12.0 / (3.0 + 35 * METRE + 0.027), rel=0.01)
    there = usual(found, "PSU.1")
    assert amps(found, "F1.1") == pytest.approx(12.0 * behind / there, rel=0.01)
    assert 24.5 < there < usual(found, "A.+") < 25.3


@pytest.mark.parametrize("tap", ["off", "on"])
def test_watts_before_are_watts_behind_whatever_hangs_there(tap: str) -> None:
    powered = on(TON=tap)
    net = net_of(powered, ("PAD",), {})
    assert not isinstance(net, NoBattery)
    found = Solver(net).solve(usual_values(net))
    (n,) = (n for n, its in enumerate(net.cells) if its.one_way)
    before = net.takers[net.cells[n].before]
    across = (found.volts[before.a] or 0.0) - (found.volts[before.b] or 0.0)
    assert found.settled and found.taken[net.cells[n].before] * across == pytest.approx(12.0 * found.given[n], rel=1e-6)
    assert found.given[n] == pytest.approx(3.63 + (1.0 if tap == "on" else 0.0), abs=0.08)


def test_a_bad_place_before_it_shows_behind_it_only_open() -> None:
    sound = usual(asked(on(), "PAD.1"), "PAD.1")
    worse = asked(on(), "PAD.1", bad={"F1.2": 0.5})
    at = {str(point): volts for point, volts in worse.supposed.at} if worse.supposed else {}
    assert at["PAD.1"] == pytest.approx(sound, abs=0.01)
    assert at["PSU.1"] is not None and 25.2 - at["PSU.1"] == pytest.approx(0.5 * 1.77 + 0.15, abs=0.1)
    gone = asked(on(), "PAD.1", bad={"F1.2": math.inf})
    at = {str(point): volts for point, volts in gone.supposed.at} if gone.supposed else {}
    assert all(abs(at[its] or 0.0) < 0.01 for its in ("PSU.1", "PSU.4", "PAD.1"))
    starved = asked(on(), "PAD.1", bad={"F1.2": 40.0})
    at = {str(point): volts for point, volts in starved.supposed.at} if starved.supposed else {}
    assert abs(at["PAD.1"] or 0.0) < 0.5, "over 40 ohm no 44 W come at 12 V or more"


def test_what_shows_nothing_points_before_it_too() -> None:
    sound = asked(on(), "PAD.1", saw={"PAD.1": 12.1}).pointing
    assert sound is not None and sound.sound > 0.6
    found = asked(on(), "PAD.1", saw={"PAD.1": 0.0})
    assert found.pointing is not None and found.foreground is not None
    links = CIRCUIT.links
    told = {
        links[found.foreground.resistances[n].link].part: place
        for place in found.pointing.places if place.chance > 0.05 for n in place.numbers
    }  # fmt: skip
    assert {"F1", "F2"} <= set(told) and math.isinf(told["F1"].ohms)
    low = asked(on(), "PAD.1", saw={"PAD.1": 9.5}).pointing
    assert low is not None and found.foreground is not None
    before = [n for n, r in enumerate(found.foreground.resistances) if links[r.link].part == "F1"]
    assert sum(its.chance for its in low.places if its.numbers[0] in before) < 0.01
    assert [
        str(links[what.link].a) for what in asked(on(), "PAD.1").what_if if what.open is not None and what.open < 0.1
    ]


def test_the_current_before_it_has_bounds_by_what_hangs_behind() -> None:
    """At the most 1.1 x 4 A at 13.8 V, a quarter of it lost: 13.8 / 2.73 x 13.8 x 1.25 / 24 = 3.6 A over some 80 mohm."""
    found = asked(on(), "PSU.1", running=("PAD",))
    most = next(its.bounds.most for its in found.way if str(its.terminal) == "PSU.1")
    assert usual(found, "PSU.1") - most.low == pytest.approx((25.2 - 24.4) + 0.1 * (3.6 - 1.75), abs=0.15)


def test_nothing_flows_back_into_it_from_a_battery_behind() -> None:
    """Typed at 12 V it gives nothing beside a charged battery of 12.6 V. At 13.2 V, over 0.100 ohm, beside 12.6 V over
    0.0225 ohm and a load of 3.1 ohm: (131.1 + 560) / (9.93 + 44.4 + 0.32) = 12.64 V at the splice, so 5.6 A from it."""
    text = (
        TEXT + "battery B 12V\nfuse FB 30A regular\nB.+ -> FB -> SP in RD 6 length 1m\nB.- -> PSU.2 in BK 6 length 1m\n"
    )
    for typed, given in ((12.0, 0.0), (13.2, 5.6)):
        powered = on(vehicle(text.replace("feeds 12V", f"feeds {typed:g}V")))
        found = asked(powered, "PAD.1")
        net = found.net
        solved = Solver(net).solve(usual_values(net))
        flows = [its for its, cell in zip(solved.given, net.cells, strict=True) if cell.one_way]
        assert flows == [pytest.approx(given, abs=0.2 if given else 1e-6)]
        assert all(abs(its) < 12 for its in solved.given)
        assert 11.4 < usual(found, "PAD.1") < 12.8
        read_charging = next(its.bounds.most for its in found.way if its.terminal.part == "PAD")
        assert read_charging.high > 13.0, "while it charges, all stands higher"


def test_what_is_not_known_of_it_is_told() -> None:
    from circuitmap.reports.volts.rests_on import rests_on

    told = " ".join(rests_on(asked(on(), "PAD.1")))
    assert "PSU.4: taken to hold 11.5 to 13.8 V" in told and "how much it can give" in told
    text = TEXT + "battery B 12V\nfuse FB 30A regular\nB.+ -> FB -> SP\nB.- -> PSU.2\n"
    assert "PSU.4: gives nothing" in " ".join(rests_on(asked(on(vehicle(text)), "PAD.1")))


def test_each_place_has_the_volts_of_what_feeds_it() -> None:
    volts, number = nominal_volts(CIRCUIT), CIRCUIT.number
    told = {
        f"{part}.{pin}": volts[number[Terminal(part, pin)]]
        for part, pin in (("PSU", "1"), ("PSU", "3"), ("PSU", "4"), ("PAD", "1"), ("TAP", "1"), ("F4", "2"))
    }
    assert told == {"PSU.1": 24, "PSU.3": 24, "PSU.4": 12, "PAD.1": 12, "TAP.1": 12, "F4.2": 12}


def test_a_probe_behind_it_is_judged_by_its_volts() -> None:
    sound = on()
    found = interrupted_one_by_one(sound, ["PAD"])
    names = {"F1", "F2", "PAD"}
    suspects = [its for its in found.without if its.name in names]
    steps = {str(s.point): s for s in steps_for(found, suspects, volts_with(found, ["PAD"], suspects), ()) if s.point}
    at_fuse = dict(zip((its.name for its in suspects), steps["F2.1"].shown, strict=True))
    assert at_fuse == {"F1": "ground", "F2": "plus", "PAD": "plus"}
    assert steps["F2.1"].nominal == 12 and steps["F1.2"].nominal == 24
    shown = dict(zip((its.name for its in suspects), steps["F2.1"].volts, strict=True))
    assert 11.0 < (shown["PAD"] or 0.0) < 12.1
    dead = function_named(CIRCUIT, "PAD")
    assert dead is not None
    through = probed_through(CIRCUIT, {Terminal("F2", "1"): 12.0, Terminal("F2", "2"): 0.2}, (dead,))
    assert through is not None and through.name == "F2", "12 of 12 V are all there is"


def test_without_a_converter_nothing_is_different() -> None:
    plain = vehicle(TEXT.replace("feeds 12V from 1", "feeds from 1"))
    found = asked(on(plain), "PAD.1")
    assert all(not its.one_way for its in found.net.cells) and not found.foreground.idle  # type: ignore[union-attr]
    assert 23.0 < usual(found, "PAD.1") < 25.0
    assert replace(found.foreground, idle=()).converts is False  # type: ignore[type-var]
    assert Band(*(nominal_volts(plain)[n] for n in (0, len(plain.nodes) - 1))) == Band(24.0, 24.0)


def test_it_feeds_a_battery_and_joins_none() -> None:
    text = TEXT + "battery B 12V\nfuse FB 30A regular\nB.+ -> FB -> SP\nB.- -> PSU.2\n"
    assert not joined_batteries(on(vehicle(text)))
    plain = text.replace("feeds 12V from 1", "feeds from 1")
    assert [its.batteries for its in joined_batteries(on(vehicle(plain)))] == [("A", "B")]


def test_what_was_asked_for_stands_before_the_sound_vehicle() -> None:
    found = asked(on(), "PAD.1", bad={"F2.2": 0.5})
    state = StateFor(on(), (), (), False)
    text = volts_text(CIRCUIT.platform, VoltsThere(state, Terminal("PAD", "1"), ("PAD",), found, None))
    assert text.index("IF  F2.2 +0.5 ohm") < text.index("EXPECT") < text.index("THE WAY")
    assert " PAD.1 <-" in text.split("EXPECT")[0] and "EXPECT     Without that, sound: 1" in text


@pytest.mark.parametrize("written", ["F2-PAD=0.5ohm", "F2->PAD=open"])
def test_a_wire_is_named_by_an_end_of_it(written: str) -> None:
    with pytest.raises(WrongUse) as told:
        bad_places_typed(CIRCUIT.platform, [written])
    assert "A wire has no name of its own" in told.value.advice
    with pytest.raises(WrongUse) as other:
        bad_places_typed(CIRCUIT.platform, ["NOTHING=open"])
    assert "wire" not in other.value.advice
