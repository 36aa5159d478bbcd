"""The checks of a battery as sentences, each with what it says."""

from collections.abc import Iterable, Iterator

from circuitmap.battery.charge import Chemistry
from circuitmap.battery.checked import WHILE_CHARGED, Says, at_rest, while_charging
from circuitmap.evidence.battery_seen import BatterySeen
from circuitmap.quantities import Band

_WORDS: dict[Says, str] = {
    "full": "charged (12.5 V or more; common practice, no source)",
    "not-full": "not full: charge it before it is tested (12.5 V or more is charged; common practice, no source)",
    "empty": "empty, or one cell is shorted: charge it, and read it again after a day (common practice, no source)",
    "says-nothing": "the volts of a lithium battery say nothing of its charge",
    "charged": "it is charged",
    "not-charged": "it is not charged: look at the wires on both sides, and at what charges it",
    "overcharged": "it is charged too high: look at what steers its charging",
    "passed": "passed",
    "failed": "failed: charge it and test it again; if it fails charged, renew it. A draw there is all the same",
}


def says_of(check: BatterySeen, chemistry: Chemistry) -> tuple[Says, Band | None]:
    """What a check says, and for volts at rest the charge they stand for."""
    if check.check == "test":
        return ("passed" if check.passed else "failed"), None
    assert check.volts is not None
    return at_rest(check.volts, chemistry) if check.check == "rest" else (while_charging(check.volts), None)


def check_sentences(checks: Iterable[BatterySeen], chemistry: Chemistry) -> Iterator[str]:
    """The latest of each check at each battery."""
    for check in latest_of(checks):
        says, charge = says_of(check, chemistry)
        full = f", about {charge.high:.0%} full" if charge is not None else ""
        match check.check:
            case "rest":
                yield f"{check.battery} at rest {check.volts:g} V{full}: {_WORDS[says]}."
            case "charging":
                held = f" ({WHILE_CHARGED.low:g} to {WHILE_CHARGED.high:g} V for 12 V; common practice, no source)"
                yield f"{check.battery} while charging {check.volts:g} V: {_WORDS[says]}{held}."
            case "test":
                yield f"{check.battery}, battery test: {_WORDS[says]}."


def latest_of(checks: Iterable[BatterySeen]) -> list[BatterySeen]:
    return list({(check.battery, check.check): check for check in checks}.values())
