"""What the batteries gave while something else was read: where one entry has both, that is the total of that moment."""

from collections.abc import Sequence

from circuitmap.evidence.job_card import Entry
from circuitmap.evidence.meters import Meter, read_with_step
from circuitmap.evidence.readings import Given
from circuitmap.evidence.written_readings import current_of, place_of
from circuitmap.failures import WrongUse
from circuitmap.wiring.parts import Battery
from circuitmap.wiring.platform import Platform


def given_in(platform: Platform, entry: Entry, batteries: Sequence[str], meter: Meter) -> tuple[Given, ...]:
    """What each battery gave by an entry, as its total or as a reading. What makes no sense is told elsewhere."""
    found: dict[str, Given] = {}
    told = [(pair.name.value, pair.value.value) for pair in entry.read]
    if entry.total is not None and len(batteries) == 1:
        told.append((batteries[0], entry.total.value))
    for name, amount in told:
        try:
            place = place_of(platform, name)
            if isinstance(platform.parts.get(place), Battery):
                amps, step = current_of(amount)
                found[place] = Given(place, amps, read_with_step(meter, step) if step > 0.0 else meter)
        except WrongUse:
            continue
    return tuple(found.values())
