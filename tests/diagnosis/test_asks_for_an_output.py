"""An output that is stuck and acts only through another module's output, which holds a relay: with any link of that
chain out it brings nothing, and both a try and its forecast know (worked out by hand on the drawn wires)."""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest

from circuitmap.diagnosis.car.picture import Flow
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.without import Without
from circuitmap.diagnosis.prepared import Prepared, prepared_for
from circuitmap.evidence.evidence import Evidence
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.wiring.parts import Fuse, Joint, Load, Relay, Switch
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_pins_that_give_both import SIDE_FLAP
from tests.diagnosis.test_wires_that_are_left import chances, told

CELLAR = """\
platform "Ostrel cellar cart" supply 12V return body sleep 5min..10min limit 40mA
naming SP* splice
battery BAT 70Ah
fuse F1 20A mini "chiller", F2 10A mini "chiller control", F3 10A mini "door controller", F4 10A mini "radio"
connector X5 "to the rear" cavities 4 at "behind the bulkhead"
module DOORM "door controller" supply 1 ground 2 asleep 2mA awake 60mA
output DOORM.6 feeds from 1 "asks for the chiller"
module CHILM "chiller controller" supply 1 ground 2 sense 4 asleep 3mA awake 50mA
output CHILM.7 grounds while 4 "chiller relay"
relay K1 "chiller relay" make running 150mA
load CHILL "chiller" running 100W
module RADIO "radio" supply 1 ground 2 asleep 2mA
ground G1, G2
BAT.- -> G1
BAT.+ -> F1 -> K1.30 in RD 2.5
K1.87 -> CHILL.1 in RD 2.5
CHILL.2 -> G1 in BN 2.5
BAT.+ -> F2 -> SP2 in RD 1
SP2 -> K1.86 in RD 1
SP2 -> X5.1 -> CHILM.1 in RD 1
K1.85 -> X5.2 -> CHILM.7 in BN/WH 0.5
CHILM.2 -> X5.4 -> G2 in BN 1
BAT.+ -> F3 -> DOORM.1 in RD 1
DOORM.2 -> G1 in BN 1
DOORM.6 -> X5.3 -> CHILM.4 in GY 0.5
BAT.+ -> F4 -> RADIO.1 in RD 1
RADIO.2 -> G1 in BN 1
"""
STARTED = """\
platform "Ostrel winch" supply 12V return body
battery BAT 70Ah
fuse F1 100A bolted "winch", F2 10A mini "winch switch"
connector X6 "winch switch" cavities 2
switch SW "winch switch" positions off, on closes 1 to 2 in on
motor WINCH "winch" supply B ground 31 control 50 running 90A
ground G1
BAT.- -> G1
BAT.+ -> F1 -> WINCH.B in RD 25
BAT.+ -> F2 -> SW.1 in RD 1
SW.2 -> X6.1 -> WINCH.50 in BU 1
WINCH.31 -> G1 in BK 25
"""
BETWEEN = """\
platform "Ostrel awning" supply 12V return body
battery BAT 70Ah
fuse F1 20A mini "awning"
module DRIVE "awning controller" supply 1 ground 2 sense 7 asleep 2mA
output DRIVE.3 feeds from 1 "out"
output DRIVE.4 grounds "in"
motor MOT "awning motor" running 5A
lamp LAMP "awning lamp" running 5W
switch SW "awning switch" positions off, on closes 1 to 2 in on
ground G1
BAT.- -> G1
BAT.+ -> F1 -> DRIVE.1 in RD 4
DRIVE.2 -> G1 in BN 4
DRIVE.3 -> MOT.1 in GN 2.5
MOT.2 -> DRIVE.4 in YE 2.5
DRIVE.3 -> LAMP.1 in GN 1
LAMP.2 -> G1 in BN 1
SW.2 -> DRIVE.7 in GY 0.5
"""
CHAIN = ("CHILM", "CHILM.4", "CHILM.7", "CHILM.2", "X5", "X5.1", "X5.2", "X5.3", "X5.4", "K1", "F2", "F3", "DOORM.1")
BESIDE = ("RADIO", "F4", "RADIO.1", "X5.9")
DRAWS = (
    "at: 08:00, state: locked, meter: clamp, resolution: 10mA, zeroed: yes",
    "at: 09:00, total: 8.49A, steady: yes, looked: yes",
    "at: 09:10, read: {F1: 8.33A, F2: 0.15A, F3: 0A, F4: 0A}",
)


@cache
def ready(text: str) -> Prepared:
    return prepared_for(circuit_from(text), {}, Evidence())


def stuck(contact: str, text: str = CELLAR) -> tuple[int, Fault]:
    its = (
        (n, fault) for n, fault in enumerate(ready(text).faults)
        if fault.kind == "contact" and fault.contact == contact and not fault.partly
    )  # fmt: skip
    return next(its)


def forecast(number: int, out: str, place: str = "BAT") -> float:
    know = ready(CELLAR).expectations
    numbers, left = know.left((out,), place)
    its = dict(zip(numbers.tolist(), left[0].tolist(), strict=True))
    return float(its.get(number, know.brought(place)[0, number]))


@pytest.mark.parametrize("out", CHAIN)
def test_with_a_link_of_the_chain_out_nothing_is_left(out: str) -> None:
    number, fault = stuck("DOORM.6")
    assert {flow.owner for flow in fault.brings} == {"K1", "CHILL"}
    assert ready(CELLAR).without((out,)).left_of(fault) == ()
    assert forecast(number, out) == 0.0


@pytest.mark.parametrize("out", BESIDE)
def test_with_anything_else_out_all_is_left(out: str) -> None:
    number, fault = stuck("DOORM.6")
    assert ready(CELLAR).without((out,)).left_of(fault) == fault.brings
    assert forecast(number, out) == sum(flow.mean for flow in fault.brings)


def test_the_asked_output_stuck_by_itself_does_not_hang_on_who_asks() -> None:
    _, fault = stuck("CHILM.7")
    for out in ("DOORM", "F3", "CHILM.4", "X5.3"):
        assert ready(CELLAR).without((out,)).left_of(fault) == fault.brings, out
    for out in ("CHILM.7", "X5.2", "X5.4", "F2"):
        assert ready(CELLAR).without((out,)).left_of(fault) == (), out


def test_no_change_with_the_asked_module_out_clears_who_asks() -> None:
    its = circuit_from(CELLAR)
    before = chances(told(its, *DRAWS)[0])
    assert before["DOORM"] > 0.1
    after = chances(told(
        its, *DRAWS, "at: 10:00, out: [CHILM]", "at: 10:30, total: 8.48A, steady: yes", "at: 10:31, back: [CHILM]",
    )[0])  # fmt: skip
    assert after.get("DOORM", 0.0) < 0.02 and after.get("CHILM", 0.0) < 0.02
    assert max(after, key=lambda name: after[name]).startswith("control wire of K1")


def test_what_waits_at_a_pin_hangs_on_what_comes_there() -> None:
    _, fault = (
        stuck("SW.1-2", STARTED)
        if any(f.contact == "SW.1-2" for f in ready(STARTED).faults)
        else next((n, f) for n, f in enumerate(ready(STARTED).faults) if f.part == "SW" and f.state is not None)
    )
    assert {flow.owner for flow in fault.brings} == {"WINCH"}
    for out in ("F1", "F2", "X6", "X6.1", "WINCH.50"):
        assert ready(STARTED).without((out,)).left_of(fault) == (), out


def test_what_its_state_turns_on_besides_stays_with_its_own_fault() -> None:
    """The motor needs both outputs, the lamp only one of them: with a third pin of the module out, both outputs that do
    not turn off still bring the motor alone."""
    (both,) = (its for its in ready(BETWEEN).faults if its.kind == "contact" and its.pin == "MOT")
    left = ready(BETWEEN).without(("DRIVE.7",)).left_of(both)
    assert [flow.owner for flow in left] == ["MOT"]


def single_outs(text: str) -> Iterator[str]:
    """Every part, plug, pin and cavity that can be out by itself."""
    its = ready(text).parked.circuit
    can_be_out = {
        name for name, part in its.platform.parts.items()
        if isinstance(part, Fuse | Load | Relay | Switch) or (isinstance(part, Joint) and part.kind == "connector")
    }  # fmt: skip
    yield from sorted(can_be_out)
    pins = {str(end) for end in its.number if end.part in can_be_out}
    yield from sorted(pins - {pin for pin in pins if isinstance(its.platform.parts[pin.rpartition(".")[0]], Fuse)})


def worked_out_afresh(without: Without, fault: Fault) -> set[tuple[str, str, float]]:
    """What a state brings with parts out, evaluated from nothing known of what is out."""
    assert fault.state is not None
    found = without.parked.brought_without(replace(fault.state), without.out, without.powered, without.asleep)
    return amounts(flow for flow in found if flow.owner in fault.owners)


def amounts(flows: Iterator[Flow] | tuple[Flow, ...]) -> set[tuple[str, str, float]]:
    return {(flow.owner, flow.key.taken, round(flow.mean, 9)) for flow in flows}


@pytest.mark.parametrize(
    "text",
    [CELLAR, CELLAR.replace("naming SP* splice\n", ""), STARTED, BETWEEN, SIDE_FLAP],
    ids=["cellar", "perhaps", "winch", "between", "flap"],
)
def test_for_every_single_thing_out_what_is_left_is_what_is_worked_out_afresh(text: str) -> None:
    its = ready(text)
    switched = [f for f in its.faults if f.state is not None and f.kind in ("contact", "coil", "chafed", "lamp")]
    changed = 0
    for out in single_outs(text):
        without = its.without((out,))
        for fault in switched:
            if without.parts.going_on(fault) is None or fault.partly:
                continue
            left = amounts(without.left_of(fault))
            assert left == worked_out_afresh(without, fault), (out, fault.identity)
            changed += left != amounts(fault.brings)
    assert changed > 0


def test_a_part_that_starts_something_by_its_own_pin_is_told_with_that_pin() -> None:
    its = circuit_from(CELLAR)
    text = " ".join(suspects_text(its.platform, told(its, *DRAWS[:2])[0]).split())
    assert "CHILM, by its pin 7, DOORM, by its pin 6" in text
