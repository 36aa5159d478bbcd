"""What of the sleeping vehicle is still to be read, or was read only with something out."""

from collections.abc import Collection, Iterable

from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.written_names import batteries_of
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import Fuse
from circuitmap.wiring.platform import Platform


def read_without(platform: Platform, since: Iterable[Reading], still_out: Collection[str]) -> tuple[Reading, ...]:
    """The latest readings of each battery asleep, made with something out that is still out."""
    its = (r for r in since if battery_read_at(platform, r.place) and r.speaks == "parked")
    return tuple({r.place: r for r in its if set(r.without) & set(still_out)}.values())


def batteries_unread(platform: Platform, evidence: Evidence, asleep: Iterable[Reading]) -> tuple[str, ...]:
    """Batteries that this car has, as far as is known, and that were not read asleep although another one was."""
    read = {battery_read_at(platform, reading.place) for reading in asleep}
    left = (name for name in batteries_of(platform) if name not in read and name not in evidence.absent)
    fitted = (n for n in left if holds(platform.parts[n].condition, evidence.options) == Answer.YES)
    return tuple(fitted) if read else ()


def read_again(evidence: Evidence) -> tuple[Reading, ...]:
    """Early readings with nothing out, at places where nothing has been read of the parked car since."""
    waiting: dict[str, list[Reading]] = {}
    for reading in evidence.readings:
        if reading.without or reading.in_use:
            continue
        if reading.speaks == "parked":
            waiting.pop(reading.place, None)
        else:
            waiting.setdefault(reading.place, []).append(reading)
    return tuple(reading for readings in waiting.values() for reading in readings[-1:])


def may_be_read(platform: Platform, hands_off: HandsOffMap, place: str) -> bool:
    """Whether anybody may be asked to read a place again."""
    is_fuse = isinstance(platform.parts.get(place), Fuse)
    return hands_off.may_touch(place) if is_fuse else hands_off.may_clamp(place)
