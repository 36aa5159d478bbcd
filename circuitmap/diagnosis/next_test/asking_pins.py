"""Pins at which an output is asked for: volts there part what asks from the output itself and from all that it holds,
with nothing parted."""

from collections.abc import Collection, Mapping, Sequence

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.seen.live_points import plus_at
from circuitmap.diagnosis.seen.pin_volts import pin_says
from circuitmap.diagnosis.seen.some_volts import LIVE
from circuitmap.wiring.parts import Terminal

WORTH_A_PROBE = 0.05
"""From this probability of what asks there, and of what does not, on, the volts are a step of their own (judgement)."""
MOST_WEIGHED = 60
"""How many faults, the likeliest, are looked at for that (judgement)."""


def asking_pins(
    weights: Sequence[float], faults: Sequence[Fault], parked: Parked, probed: Collection[str]
) -> list[str]:
    """The pins, not probed yet, of outputs that are on while something comes there, which some likely faults bring and
    others do not; not those that say of a switch what it does: their volts are a step anyway. What is hands-off is
    left alone."""
    pins = {
        Terminal(output.module, pin): None
        for output in parked.platform.outputs
        if output.when == "live"
        for pin in output.inputs
    }
    its = [pin for pin in pins if str(pin) not in probed and parked.circuit.hands_off.may_touch(str(pin))]
    its = [pin for pin in its if pin in parked.circuit.number and pin_says(parked, pin) is None]
    some = (n for n, weight in enumerate(weights) if weight > 0.0)
    likeliest = sorted(some, key=lambda n: -weights[n])[:MOST_WEIGHED] if its else []
    found = []
    for pin in its:
        if plus_at(parked, None, pin) >= LIVE:
            continue
        brought = sum(weights[n] for n in likeliest if brings_plus(parked, faults[n], pin))
        if WORTH_A_PROBE <= brought <= sum(weights[n] for n in likeliest) - WORTH_A_PROBE:
            found.append(str(pin))
    return sorted(found)


def brings_plus(parked: Parked, fault: Fault, pin: Terminal) -> bool:
    """Whether a fault makes a pin live that is not on a sound vehicle."""
    return fault.state is not None and plus_at(parked, fault, pin) >= LIVE


def seen_there(parked: Parked, faults: Mapping[int, Fault], pin: Terminal) -> tuple[dict[int, float], float]:
    """The chances of plus at a pin under these faults, by number, and that on a sound vehicle."""
    return {n: plus_at(parked, fault, pin) for n, fault in faults.items()}, plus_at(parked, None, pin)
