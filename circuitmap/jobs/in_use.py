"""What was read with the key on: how much the vehicle takes as it is used, and what of it goes by which fuse.

Such a current is no draw of the parked vehicle, and nothing that takes it is at fault for it. But it empties the
battery as well, and where nothing is found to draw, it may be all there is.
"""

from collections.abc import Sequence
from typing import NamedTuple

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.seen.figures_that_fit import FigureFits, figures_at, taken_in_use
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import Entry
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.weather_words import WORDS, words_of
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.wiring.parts import Fuse

PARKED = frozenset(
    ("asleep", "locked", "morning", "mornings", "night", "nights", "overnight", "parked", "standing", "stands", "stood",
     "weekend", "weekends")
)  # fmt: skip
"""Words that say that it happens while nobody uses the vehicle (our own choice)."""
OF_WEATHER = frozenset[str]().union(*WORDS.values())


class FuseInUse(NamedTuple):
    """What was read at a fuse with the key on. `fits`: what behind it takes just that by what was typed in, each way
    in which that can be; where there is none, `behind` has what is typed in there at all."""

    reading: Reading
    fits: tuple[FigureFits, ...]
    behind: tuple[str, ...]


class LookInUse(NamedTuple):
    """A total with the key on, None where only fuses were read; `at` as the card has it, `remark` what was written down
    of how it was set since the look before."""

    total: Reading | None
    at: str
    remark: str
    fuses: tuple[FuseInUse, ...]


def looks_in_use(circuit: Circuit, entries: Sequence[Entry], evidence: Evidence) -> tuple[LookInUse, ...]:
    """The looks with the key on, everything in, in their order. A fuse belongs to the total of its own entry, or else
    to the last one since the key was turned. `entries` are those that count."""
    used = [r for r in evidence.readings if r.in_use and not r.without and r.span is not None and r.log is None]
    found: list[LookInUse] = []
    remarks: list[str] = []
    begins = True
    for entry in entries:
        if entry.state is not None:
            remarks, begins = [], True
        remarks += [entry.remark.value.rstrip(".")] if entry.remark is not None else []
        its = [r for r in used if r.span is not None and entry.span.start <= r.span.start < entry.span.end]
        totals = [r for r in its if battery_read_at(circuit.platform, r.place)]
        fuses = tuple(_fuse(circuit, r, evidence) for r in its if r not in totals and r.amps is not None)
        at = entry.at.value if entry.at is not None else ""
        for total in totals:
            found.append(LookInUse(total, at, "; ".join(remarks), fuses if total is totals[0] else ()))
            remarks = []
        if fuses and not totals and not begins:
            found[-1] = found[-1]._replace(fuses=(*found[-1].fuses, *fuses))
        elif fuses and not totals:
            found.append(LookInUse(None, at, "; ".join(remarks), fuses))
            remarks = []
        begins = begins and not (totals or fuses)
    return tuple(found)


def _fuse(circuit: Circuit, reading: Reading, evidence: Evidence) -> FuseInUse:
    if not isinstance(circuit.platform.parts.get(reading.place), Fuse):
        return FuseInUse(reading, (), ())
    fits = taken_in_use(circuit, reading, evidence.options, evidence.absent)
    behind = () if fits else _behind(circuit, reading.place, evidence)
    return FuseInUse(reading, tuple(fits), behind)


def _behind(circuit: Circuit, fuse: str, evidence: Evidence) -> tuple[str, ...]:
    its = (one.part for one in figures_at(circuit, fuse, evidence.options))
    return tuple(dict.fromkeys(name for name in its if name not in evidence.absent))


def most_and_least(looks: Sequence[LookInUse], above: float) -> tuple[LookInUse, LookInUse | None] | None:
    """The look that took most, if that is more than a parked vehicle may take, `above` A, and the one of those after it
    that took least, if that is less."""
    read = [(one, amps) for one in looks if (amps := _amps(one)) > above]
    if not read:
        return None
    most, its = max(read, key=lambda pair: pair[1])
    later = [pair for pair in read[read.index((most, its)) + 1 :] if pair[1] < its]
    return most, min(later, key=lambda pair: pair[1])[0] if later else None


def _amps(look: LookInUse) -> float:
    return look.total.amps or 0.0 if look.total is not None else 0.0


def is_of_use(happens_when: str) -> bool:
    """Whether what the driver says of when it happens may be how the vehicle is used: nothing of the weather, and
    nothing of a vehicle that stands unused."""
    return bool(happens_when) and not words_of(happens_when) & (PARKED | OF_WEATHER)
