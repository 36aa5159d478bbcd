"""What a fuse should show with the car asleep: the currents of all that hangs on it."""

from collections.abc import Mapping

from circuitmap.circuit.feeding import Feeding
from circuitmap.evidence.fuse_drop import cold_resistance, millivolts_at
from circuitmap.power.expected import Expected
from circuitmap.quantities import Band
from circuitmap.wiring.parts import Fuse


def asleep_at_fuses(feeding: Feeding, expected: Expected) -> Mapping[str, Band]:
    """In A, by fuse. A part that may be fed by one fuse or another counts nothing at the low end, all at the high."""
    found: dict[str, Band] = {}
    for draw in expected.draws:
        ways = [path for taking in feeding.of_part.get(draw.part, ()) for path in taking.ways_ahead]
        for fuse in dict.fromkeys(fuse for path in ways for fuse in path.fuses):
            low = draw.amps.low if draw.surely and all(fuse in path.fuses for path in ways) else 0.0
            before = found.get(fuse, Band(0.0, 0.0))
            found[fuse] = Band(before.low + low, before.high + draw.amps.high)
    return found


def asleep_words(fuse: Fuse, amps: Band | None) -> str:
    """`0.0 to 0.3 mV`, or the current where no resistance of such a fuse is published; empty where nothing hangs on it
    that is known to take anything."""
    if amps is None or amps.high <= 0.0:
        return ""
    resistance = cold_resistance(fuse.style, fuse.rating) if fuse.kind == "fuse" else None
    if resistance is None:
        return f"up to {amps.high * 1000.0:.0f} mA"
    low, high = (f"{millivolts_at(value, resistance):.1f}" for value in amps)
    return f"{low} mV" if low == high else f"{low} to {high} mV"
