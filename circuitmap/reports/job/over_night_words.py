"""What a fall of the volts at rest over a night means, in words."""

from collections.abc import Iterable, Iterator, Mapping

from circuitmap.battery.checked import of_one
from circuitmap.battery.over_night import LITTLE, Fell, fell_over_night
from circuitmap.battery.parked_time import draw_that_explains, usable_charge
from circuitmap.evidence.battery_seen import BatterySeen
from circuitmap.evidence.over_night import Stood
from circuitmap.jobs.intake import Intake
from circuitmap.quantities import Band
from circuitmap.reports.words.parked_time_words import parked_time_words

_TABLE = {
    "flooded": "Where the table of its charge (published, naming BCI) is steepest",
    "agm": "Where the table of its charge (published, in bands) is steepest",
}
"""Only these types have one."""


def over_night_sentences(checks: Iterable[BatterySeen], intake: Intake) -> Iterator[str]:
    """For each battery that was read at rest again after a night: how far it fell, and what that says of a draw."""
    for check in _latest(checks).values():
        its = fell_of(check, intake)
        if its is not None and check.stood is not None and check.volts is not None:
            yield " ".join(_words(check, check.stood, check.volts, its, intake))


def fell_of(check: BatterySeen, intake: Intake) -> Fell | None:
    """What the night before a reading at rest says; None where there was none, or volts say nothing."""
    if check.stood is None or check.volts is None:
        return None
    of_it = intake.at(check.battery)
    each = of_one(check.stood.volts) / check.stood.volts if check.stood.volts else 1.0
    # How full it is now, by these volts, is what the complaint is reckoned from, as all its other figures are.
    return fell_over_night(
        of_one(check.stood.volts), of_one(check.volts), check.stood.step * each, check.stood.minutes / 60.0,
        of_it.battery, _needed(of_it),
    )  # fmt: skip


def _needed(intake: Intake) -> Band | None:
    usable = usable_charge(intake.battery)
    if usable is None or intake.flat_after is None or usable.ampere_hours.low <= 0.0:
        return None
    return draw_that_explains(usable, intake.flat_after)


def _latest(checks: Iterable[BatterySeen]) -> Mapping[str, BatterySeen]:
    return {check.battery: check for check in checks if check.stood is not None}


def _words(check: BatterySeen, stood: Stood, volts: float, its: Fell, intake: Intake) -> Iterator[str]:
    two = ", each 12 V battery by itself" if of_one(volts) != volts else ""
    rose = volts > stood.volts + 1e-9
    lost = "nothing lost" if its.volts <= 1e-9 else f"{float(f'{its.volts:.3g}'):g} V lost{two}"
    hours = parked_time_words(Band(stood.minutes / 60.0, stood.minutes / 60.0)).removeprefix("about ")
    yield (
        f"{check.battery} at rest {stood.volts:g} V, and {volts:g} V {hours} later with all connected: {lost}"
        f"{' (it rose: it had not settled yet)' if rose else ''}."
    )
    if its.share is not None:
        mean = f", a mean draw of {its.amps:.2f} A at the most" if its.amps is not None else ""
        yield f"{_TABLE[intake.at(check.battery).battery.chemistry]} that is {its.share:.0%} of its charge{mean}."
    match its.says:
        case "held":
            flat = intake.flat_after
            days = f"goes flat in {parked_time_words(flat)}" if flat is not None else "empties it in days"
            yield f"No draw was there by which it {days}; a small one is not ruled out."
        case "cannot-tell":
            yield (
                f"That is little ({LITTLE:g} V; common practice, no source), but such a draw could be what the "
                "complaint takes: a night of volts cannot tell here."
            )
        case "fell" | "fell-enough":
            enough = ", and may be all that the complaint takes" if its.says == "fell-enough" else ""
            yield (
                f"It lost its charge, by a draw or by itself{enough} (over {LITTLE:g} V; common practice, no source): "
                "another night with its leads off tells which."
            )
    yield "Rough: after a charge, or in the cold, volts settle and fall with no draw."
