"""Which checks of the batteries were right: what was done already, and found right, is not asked for again."""

from collections.abc import Collection, Iterable

from circuitmap.battery.charge import Chemistry
from circuitmap.battery.checked import at_rest, while_charging
from circuitmap.evidence.battery_seen import BatterySeen, Check


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
