"""The checks of a battery as sentences, each with what it says."""

from collections.abc import Container, Iterable, Iterator

from circuitmap.battery.charge import Chemistry
from circuitmap.battery.checked import WHILE_CHARGED, Says, at_rest, while_charging
from circuitmap.evidence.battery_seen import BatterySeen, fails_charged
from circuitmap.jobs.against_limit import against_limit
from circuitmap.jobs.standing import JobStanding
from circuitmap.quantities import Band

_WORDS: dict[Says, str] = {
    "full": "charged (12.5 V or more; common practice, no source)",
    "not-full": "not full: charge it before it is tested (12.5 V or more is charged; common practice, no source)",
    "empty": "empty, or one cell is shorted: charge it, and read it again after a day (common practice, no source)",
    "says-nothing": "the volts of a lithium battery say nothing of its charge",
    "charged": "it is being charged",
    "not-charged": "it is not charged: look at the wires on both sides, and at what charges it",
    "overcharged": "it is charged too high: look at what steers its charging",
    "passed": "passed",
    "failed": "failed: charge it and test it again; if it fails charged, renew it",
}


def says_of(check: BatterySeen, chemistry: Chemistry) -> tuple[Says, Band | None]:
    """What a check says, and for volts at rest the charge they stand for."""
    if check.check == "test":
        return ("passed" if check.passed else "failed"), None
    assert check.volts is not None
    return at_rest(check.volts, chemistry) if check.check == "rest" else (while_charging(check.volts), None)


def drawing_at(standing: JobStanding) -> tuple[str, ...]:
    """The batteries that give more than their limit, by what was read last of the vehicle as it came in."""
    above = (n for n, r in standing.totals.items() if against_limit(r, standing.limits.at(r.place)) == "above")
    return () if standing.mended else tuple(above)


def old_sentences(checks: Iterable[BatterySeen], chemistry: Chemistry) -> Iterator[str]:
    """What was found at a battery that was renewed since."""
    for check in latest_of(checks):
        says, _ = says_of(check, chemistry)
        what = (
            f"{check.volts:g} V {'at rest' if check.check == 'rest' else 'while charging'}"
            if check.volts
            else f"test {says}"
        )
        yield f"The old {check.battery}, renewed since: {what}."


def check_sentences(checks: Iterable[BatterySeen], chemistry: Chemistry, drawing: Container[str] = ()) -> Iterator[str]:
    """The latest of each check at each battery; `drawing` are those that give more than their limit."""
    checks = list(checks)
    for check in latest_of(checks):
        says, charge = says_of(check, chemistry)
        full = f", about {charge.high:.0%} full" if charge is not None else ""
        match check.check:
            case "rest":
                leaks = check.charged and says in ("not-full", "empty")
                words = "though it had been charged, so it does not hold its charge" if leaks else _WORDS[says]
                yield f"{check.battery} at rest {check.volts:g} V{full}: {words}."
            case "charging":
                held = f" ({WHILE_CHARGED.low:g} to {WHILE_CHARGED.high:g} V for 12 V; common practice, no source)"
                yield f"{check.battery} while charging {check.volts:g} V: {_WORDS[says]}{held}."
            case "test":
                renew = says == "failed" and fails_charged(checks, check.battery)
                words = "failed, and charging it did not help: renew it" if renew else _WORDS[says]
                yield f"{check.battery}, battery test: {words}."
                if says == "failed" and check.battery in drawing:
                    yield f"The draw at {check.battery} is there all the same: it is hunted by itself."


def latest_of(checks: Iterable[BatterySeen]) -> list[BatterySeen]:
    return list({(check.battery, check.check): check for check in checks}.values())
