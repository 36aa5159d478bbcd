"""The readings of the whole current that say whether the vehicle draws, battery by battery."""

from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import JobCard
from circuitmap.evidence.log_states import without_single_states
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.jobs.against_limit import against_limit, held_amps
from circuitmap.jobs.limits import Limits
from circuitmap.wiring.platform import Platform


def total_of(platform: Platform, card: JobCard, asleep: list[Reading], limits: Limits) -> Reading | None:
    """The reading that says whether the vehicle draws: of several batteries the one that gives most, each by its latest
    reading; an earlier log above the limit outweighs a later look at a moment when nothing was drawn."""
    latest = latest_at_each(platform, card, asleep).values()
    if not latest:
        return None
    order = ("no-current", "charging", "within", "cannot-tell", "above")
    most = max(latest, key=lambda r: (order.index(against_limit(r, limits.at(r.place))), held_amps(r) or 0.0))
    if against_limit(most, limits.at(most.place)) == "above":
        return most
    logs = [r for r in asleep if r.log is not None and against_limit(r, limits.at(r.place)) == "above"]
    return logs[-1] if logs else most


def latest_at_each(platform: Platform, card: JobCard, asleep: list[Reading]) -> dict[str, Reading]:
    """The latest reading of each battery's whole current."""
    batteries = dict.fromkeys(battery_read_at(platform, reading.place) for reading in asleep)
    latest = {
        name: _latest_total(
            card, without_single_states(r for r in asleep if battery_read_at(platform, r.place) == name)
        )
        for name in batteries
    }  # fmt: skip
    return {name: reading for name, reading in latest.items() if reading is not None}


def _latest_total(card: JobCard, totals: list[Reading]) -> Reading | None:
    """The last reading of the whole current. Where one entry has both posts of two batteries in series, the minus post
    counts: it also carries what is taken from the tap, which the lower battery gives."""
    if not totals:
        return None
    last = totals[-1]
    entry = next(
        (e for e in card.entries if last.span is not None and e.span.start <= last.span.start < e.span.end), None
    )
    if entry is None:
        return last
    together = [r for r in totals if r.span is not None and entry.span.start <= r.span.start < entry.span.end]
    return next((r for r in reversed(together) if r.place.endswith(".-")), last)


def had_gone(evidence: Evidence, asleep: list[Reading], total: Reading | None) -> Reading | None:
    """What was read last, with everything in, where the `total` was read, if the draw had gone by then although nothing
    was mended."""
    last = next((r for r in reversed(asleep) if total is not None and r.place == total.place), None)
    its = [one for one in evidence.gone if last is not None and one.covers(last.span)]
    return last if its and not all(one.is_back for one in its) else None
