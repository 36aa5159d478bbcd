"""Volts that were measured and part none of the parts that could be at fault: why not."""

from collections.abc import Callable, Iterable, Iterator, Sequence

from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.seen.points_probed import NEAR_GROUND, NEAR_PLUS
from circuitmap.diagnosis.weighing.tables import Table
from circuitmap.evidence.checks_at_parts import PinVolts
from circuitmap.unknown import Unknown
from circuitmap.wiring.platform import Platform

TELLS = 0.05
"""From this difference of the natural logarithm on, a reading tells faults apart (judgement)."""


def silent_volts(
    volts: Iterable[PinVolts],
    table_of: Callable[[PinVolts], Table[object] | None],
    faults: Sequence[Fault],
    platform: Platform,
) -> Iterator[Unknown]:
    """Each measured point whose volts part no part from another, with the reason: they are `between` ground and plus;
    they would be `alike` whatever is wrong; or, where what comes to a module's pin is on no sheet, it is `asked` to
    wake, or `not asked`, which tells only why it is awake."""
    supply = platform.supply_volts
    touched_by = {
        one: _touched(table_of(one), faults) for one in {(its.pin, its.without): its for its in volts}.values()
    }
    speaks = {(one.pin, _sign(one, supply)) for one, touched in touched_by.items() if touched}
    for one, touched in touched_by.items():
        sign = _sign(one, supply)
        if not touched and (one.pin, sign) in speaks:
            continue  # the same, once more
        if not touched:
            why = "alike" if sign else "between"
        elif all(fault.undrawn and fault.has("inputs") and fault.part == one.pin.part for fault in touched):
            why = "asked" if sign > 0 else "not asked"
        else:
            continue
        yield Unknown("volts tell nothing", str(one.pin), why, volts=one.volts)


def _sign(one: PinVolts, supply: float) -> int:
    """Plus (1), ground (-1), or neither (0)."""
    return 1 if one.volts >= NEAR_PLUS * supply else -1 if abs(one.volts) <= NEAR_GROUND * supply else 0


def _touched(table: Table[object] | None, faults: Sequence[Fault]) -> list[Fault]:
    """The faults under which the volts are likelier, or less likely, than on a sound vehicle."""
    if table is None:
        return []
    alone = table.log_chance[:, 0]
    told = abs(alone - alone[0]) >= TELLS
    return [fault for n, fault in enumerate(faults) if fault.odds > 0.0 and told[table.columns[n]]]
