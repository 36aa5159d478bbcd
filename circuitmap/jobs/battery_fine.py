"""What the checks of the batteries came to so far: what was done already is not asked for again, and what failed after
charging is an answer."""

from collections.abc import Collection, Iterable
from typing import Literal, NamedTuple

from circuitmap.battery.charge import Chemistry
from circuitmap.battery.checked import at_rest, while_charging
from circuitmap.evidence.battery_seen import BatterySeen, Check, fails_charged
from circuitmap.evidence.entry_clock import first_day, minute_of
from circuitmap.evidence.job_card import Entry
from circuitmap.evidence.on_charger import OnCharger
from circuitmap.failures import WrongUse

Charger = Literal["", "on", "came-off"]
"""Nothing said, on the charger now, or off it after long enough with nothing checked since."""


class BatterySoFar(NamedTuple):
    """`fine` are the kinds of check that were right at each battery that was read; `worn` the batteries that failed
    their test although they had been charged; `leaks` others that were low at rest although they had been charged, with
    no test passed since; `failed` others that failed their test, uncharged as far as is known."""

    fine: frozenset[Check] = frozenset()
    worn: tuple[str, ...] = ()
    leaks: tuple[str, ...] = ()
    failed: tuple[str, ...] = ()
    charger: Charger = ""


NOTHING_CHECKED = BatterySoFar()


def battery_so_far(
    checks: Collection[BatterySeen], batteries: Collection[str], chemistry: Chemistry, live: Collection[Entry]
) -> BatterySoFar:
    latest = {(check.battery, check.check): check for check in checks}
    names = dict.fromkeys(check.battery for check in checks)
    worn = tuple(name for name in names if fails_charged(checks, name))
    tests = {name: latest[name, "test"].passed for name in names if (name, "test") in latest}
    rests = {name: latest[name, "rest"] for name in names if (name, "rest") in latest}
    low = (n for n, its in rests.items() if its.charged and its.volts is not None and not _is_fine(its, chemistry))
    leaks = tuple(name for name in low if name not in worn and name not in tests and chemistry != "lithium")
    failed = tuple(name for name, passed in tests.items() if not passed and name not in worn)
    return BatterySoFar(fine_checks(checks, batteries, chemistry), worn, leaks, failed, _charger(live))


def _charger(live: Collection[Entry]) -> Charger:
    its, now, checked, first = OnCharger(), None, False, first_day(live)
    for entry in live:
        try:
            now = minute_of(entry.at.value, now, first) if entry.at is not None else now
        except WrongUse:
            continue  # told as a mistake of the card
        came_off = its.charged_at
        if entry.state is not None:
            its.state(entry.state.value, now)
        checked = checked and came_off == its.charged_at
        checked = checked or any(pair.name.value in ("rest", "test") for pair in entry.battery)
    if its.on_at is not None:
        return "on"
    return "came-off" if its.had_charged(now) and not checked else ""


def fine_checks(checks: Iterable[BatterySeen], batteries: Collection[str], chemistry: Chemistry) -> frozenset[Check]:
    """The kinds of check that were right at each of the `batteries`, by the latest of it there."""
    latest = {(check.battery, check.check): check for check in checks}
    fine = {which for which, check in latest.items() if _is_fine(check, chemistry)}
    return frozenset(kind for _, kind in latest if batteries and all((name, kind) in fine for name in batteries))


def _is_fine(check: BatterySeen, chemistry: Chemistry) -> bool:
    if check.check == "test":
        return bool(check.passed)
    if check.volts is None:
        return False
    if check.check == "rest":
        return at_rest(check.volts, chemistry)[0] == "full"
    return while_charging(check.volts) == "charged"
