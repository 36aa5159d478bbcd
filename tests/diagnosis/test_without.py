"""What is left with parts out: judged for a try that was made, predicted for one that was not, and the two agree."""

from collections.abc import Iterator
from functools import cache

import numpy as np
import pytest

from circuitmap.diagnosis.explaining.listing import Listed
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.without import Out
from circuitmap.diagnosis.next_test.as_weighed import JointFaults
from circuitmap.diagnosis.next_test.expectations import NOTHING, Expectations, Moments, moments_of
from circuitmap.diagnosis.next_test.predicting import Predictions, Setting
from circuitmap.diagnosis.prepared import Prepared, prepared_for
from circuitmap.evidence.evidence import Evidence
from circuitmap.wiring.parts import Battery, Fuse, Load
from tests.diagnosis.cards import circuit
from tests.diagnosis.test_joint import NOTATION as TWO_AT_ONCE
from tests.diagnosis.test_netting import circuit as circuit_from

VEHICLES = ("motorcycle", "motorhome", "truck", "van")

TWO_PLUGS = """
platform "Marlow Linnet" supply 12V return body
battery BAT 72Ah
bar B1 feeds F1, F2
fuse F1 10A mini, F2 10A mini
module HEATER supply A.1 ground A.2 asleep 1mA awake 90mA..110mA
module LOCKS supply 1 ground 2 asleep 1mA awake 40mA..60mA
network BODY can members HEATER (B.7, B.8), LOCKS
sheet "1"
BAT.+ -> B1
BAT.- -> case
F1 -> HEATER.A.1
HEATER.A.2, LOCKS.2 -> case
F2 -> LOCKS.1
"""


@cache
def ready_for(name: str) -> Prepared:
    return prepared_for(circuit(name), {}, Evidence())


def outs_of(ready: Prepared) -> Iterator[tuple[str, ...]]:
    """Every fifth fuse and load by itself, their plugs, and some pairs: fewer would do, and all would take minutes."""
    parts = ready.parked.platform.parts
    names = [part.name for part in parts.values() if isinstance(part, Fuse | Load)][::5]
    for name in names:
        yield (name,)
    plugs = {f"{load}.{plug}" for load in names for plug in getattr(parts[load], "plugs", ())}
    for plug in sorted(plugs):
        yield (plug,)
    yield from zip(names[::4], names[1::4], strict=False)


def predicted(know: Expectations, number: int, out: tuple[str, ...], place: str) -> Moments:
    numbers, left = know.left(out, place)
    its = dict(zip(numbers.tolist(), left.T.tolist(), strict=True))
    return Moments(*its.get(number, know.brought(place)[:, number].tolist()))


def judged(ready: Prepared, fault: Fault, out: tuple[str, ...], place: str) -> Moments:
    left = ready.without(out).left_of(fault)
    return moments_of(flow for flow in left if place in ready.tree.way_places(flow.way.places))


def total_of(ready: Prepared) -> str:
    batteries = sorted(part.name for part in ready.parked.platform.parts.values() if isinstance(part, Battery))
    return ready.tree.joined.get(batteries[0], batteries[0])


@pytest.mark.parametrize("name", VEHICLES)
def test_what_takes_a_current_of_its_own_is_judged_as_it_was_predicted(name: str) -> None:
    """Where something is woken or switched, a try is judged by the circuit with the parts out; no forecast goes that
    far."""
    ready = ready_for(name)
    place = total_of(ready)
    lost = 0
    for out in outs_of(ready):
        for number, fault in enumerate(ready.faults):
            if fault.state is None:
                before, after = predicted(ready.expectations, number, out, place), judged(ready, fault, out, place)
                assert before == pytest.approx(after, abs=1e-9), (out, fault.identity)
                lost += after == NOTHING
    assert lost > 0


@pytest.mark.parametrize("name", VEHICLES)
def test_whatever_ends_is_at_an_end_for_both_and_what_is_not_touched_stays_for_both(name: str) -> None:
    ready = ready_for(name)
    place = total_of(ready)
    ended = 0
    for out in outs_of(ready):
        parts, without = Out(ready.parked.platform, out, ready.parked.own_battery), ready.without(out)
        for number, fault in enumerate(ready.faults):
            before = predicted(ready.expectations, number, out, place)
            if parts.going_on(fault) is None:
                assert before == NOTHING == judged(ready, fault, out, place)
                ended += 1
            elif not without.touches(fault):
                assert before == pytest.approx(judged(ready, fault, out, place), abs=1e-9), (out, fault.identity)
    assert ended > 0


def test_a_plug_with_the_pins_of_the_network_ends_it_for_both() -> None:
    """Its supply is in the other plug: it draws on and keeps nobody awake."""
    ready = prepared_for(circuit_from(TWO_PLUGS), {}, Evidence())
    numbers = {fault.identity[:2]: n for n, fault in enumerate(ready.faults)}
    awake, by_itself = numbers["keeps-awake", "HEATER"], numbers["by-itself", "HEATER"]
    other = numbers["keeps-awake", "LOCKS"]
    out = ("HEATER.B",)
    assert judged(ready, ready.faults[awake], out, "BAT") == NOTHING
    assert predicted(ready.expectations, awake, out, "BAT") == NOTHING
    assert predicted(ready.expectations, other, out, "BAT").mean > 0.0
    assert predicted(ready.expectations, by_itself, out, "BAT").mean > 0.0
    assert predicted(ready.expectations, by_itself, ("HEATER.A",), "BAT") == NOTHING


def test_of_two_at_once_the_one_that_goes_on_is_left_for_both() -> None:
    """With the heater out, the relay is still stuck: the towing module sleeps, and is fed. With the relay out, the
    heater is still awake."""
    ready = prepared_for(circuit_from(TWO_AT_ONCE), {}, Evidence())
    stuck, keeps = (
        next(n for n, f in enumerate(ready.faults) if f.kind == kind and f.part == part)
        for kind, part in (("contact", "K1"), ("keeps-awake", "HEATER"))
    )
    number = next(t.as_fault for t in ready.together if {t.first, t.second} == {stuck, keeps})
    both = ready.joint[number - len(ready.faults)]
    know = Expectations(ready.parked, ready.tree, (*ready.faults, *ready.joint))
    for out, left in ((("HEATER",), stuck), (("K1",), keeps)):
        before = predicted(know, number, out, "BAT")
        assert before == pytest.approx(judged(ready, both, out, "BAT"), abs=1e-9)
        assert before == pytest.approx(predicted(know, left, out, "BAT"), abs=1e-9)
        assert 0.0 < before.mean < know.brought("BAT")[0, number]


def test_what_two_at_once_bring_together_is_predicted_of_both_at_once() -> None:
    """The towing module is fed by one and kept awake by the other: without its fuse that current is gone."""
    ready = prepared_for(circuit_from(TWO_AT_ONCE), {}, Evidence())
    pair = next(
        t for t in ready.together if {ready.faults[t.first].part, ready.faults[t.second].part} == {"K1", "HEATER"}
    )
    two = Listed(np.array([pair.second]), np.array([pair.first]), np.array([1.0]))
    joint = JointFaults(
        Expectations(ready.parked, ready.tree, ready.joint),
        {frozenset((pair.first, pair.second)): pair.as_fault - len(ready.faults)},
        {frozenset((pair.first, pair.second)): pair.as_fault},
    )
    setting = Setting("BAT", 0.5, 0.03, 0.01, frozenset())
    pull = [ready.handling.action("pull-fuses", ("F3",))]
    ((_, names, chances),) = Predictions(ready.expectations, ready.faults, two, setting, joint=joint).of_all(pull)
    assert names[int(chances[0].argmax())] == "down"
    apart = Predictions(ready.expectations, ready.faults, two, setting).of_all(pull)
    assert all(names[int(chances[0].argmax())] == "stays" for _, names, chances in apart)
