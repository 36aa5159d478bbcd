"""Volts that were measured and part none of the parts that could be at fault: why not."""

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.seen.points_probed import NEAR_GROUND, NEAR_PLUS
from circuitmap.diagnosis.seen.some_volts import is_some, loads_fed_at
from circuitmap.diagnosis.weighing.tables import Table
from circuitmap.evidence.checks_at_parts import PinVolts
from circuitmap.unknown import Unknown

Array = NDArray[np.float64]

SUPPOSED = 0.05
"""What is less likely than this, all of it together, explains no volts (judgement)."""
TELLS = 0.05
"""From this difference of the natural logarithm on, a reading tells faults apart (judgement)."""
LEFT = 0.01
"""Faults less likely than this together, whatever the volts were, are none of what may be wrong (judgement)."""


def silent_volts(
    volts: Iterable[PinVolts],
    table_of: Callable[[PinVolts], Table[object] | None],
    faults: Sequence[Fault],
    parked: Parked,
    chances: Array,
    relays: Collection[str] = (),
    tried: Iterable[Table[object] | None] = (),
) -> Iterator[Unknown]:
    """Each measured point whose volts part no part from another, with the reason: they are `between` ground and plus;
    they would be `alike` whatever is wrong; some come to a dead load, and nothing that is likely brings them (`unfed`);
    or, where what comes to a module's pin is on no sheet, it is `asked` to wake, or `not asked`, which tells only why
    it is awake. `chances` are those of the faults, of which what is ruled out by other things is parted by no volts any
    more; but what was out since rules out once more what the volts had parted already (`tried`, what each such try
    said). What was measured at the pins of one of `relays` is told by how that relay was found."""
    supply = parked.platform.supply_volts
    latest = [its for its in {(its.pin, its.without): its for its in volts}.values() if its.pin.part not in relays]
    tables = {one: table_of(one) for one in latest}
    may_be = _before_volts(tables.values(), tried, chances[: len(faults)])
    touched_by = {one: _touched(table, faults, may_be) for one, table in tables.items()}
    speaks = {(one.pin, _sign(one, supply)) for one, touched in touched_by.items() if touched}
    for one, touched in touched_by.items():
        sign = _sign(one, supply)
        if not touched and (one.pin, sign) in speaks:
            continue  # the same, once more
        if not touched and sign and one.without and (one.pin, -sign) in speaks:
            continue  # the signal went with what is out: it came from there
        brought = sum(float(chances[n]) for n in _brought_by(tables[one], faults))
        if brought < SUPPOSED and _comes_to_a_dead_load(one, parked):
            why = "unfed"
        elif not touched:
            why = "alike" if sign else "between"
        elif all(fault.undrawn and fault.has("inputs") and fault.part == one.pin.part for fault in touched):
            why = "asked" if sign > 0 else "not asked"
        else:
            continue
        out = f" (with {' and '.join(one.without)} out)" if one.without else ""
        yield Unknown("volts tell nothing", f"{one.pin}{out}", why, volts=one.volts)


def _comes_to_a_dead_load(one: PinVolts, parked: Parked) -> bool:
    if one.pin not in parked.circuit.number or not is_some(one, parked.platform.supply_volts):
        return False
    sound = parked.looked_at(parked.state, frozenset(one.without))
    return bool(loads_fed_at(parked, sound, one.pin))


def _brought_by(table: Table[object] | None, faults: Sequence[Fault]) -> list[int]:
    """The faults, by number, under which the volts are likelier than on a sound vehicle."""
    if table is None:
        return []
    told = table.log_chance[:, 0] - table.log_chance[0, 0] >= TELLS
    return [n for n in range(len(faults)) if told[table.columns[n]]]


def _sign(one: PinVolts, supply: float) -> int:
    """Plus (1), ground (-1), or neither (0)."""
    return 1 if one.volts >= NEAR_PLUS * supply else -1 if abs(one.volts) <= NEAR_GROUND * supply else 0


def _before_volts(
    tables: Iterable[Table[object] | None], tried: Iterable[Table[object] | None], chances: Array
) -> Array:
    """The chance of each fault with all volts and tries or, where that is more, without those that speak against it: a
    try that shows what others would have shown better."""
    against = np.zeros_like(chances)
    for table in tables:
        if table is not None:
            alone = table.log_chance[:, 0] - table.log_chance[0, 0]
            against += np.minimum(alone[table.columns[: len(chances)]], 0.0)
    for table in tried:
        if table is not None:
            alone = table.log_chance[:, 0] - table.log_chance[:, 0].max()
            against += alone[table.columns[: len(chances)]]
    return np.asarray(chances * np.exp(-np.maximum(against, -700.0)))


def _touched(table: Table[object] | None, faults: Sequence[Fault], may_be: Array) -> list[Fault]:
    """The faults under which the volts are likelier, or less likely, than on a sound vehicle; none where all of these
    are ruled out by other things."""
    if table is None:
        return []
    alone = table.log_chance[:, 0]
    told = abs(alone - alone[0]) >= TELLS
    numbers = [n for n, fault in enumerate(faults) if fault.odds > 0.0 and told[table.columns[n]]]
    return [faults[n] for n in numbers] if may_be[numbers].sum() >= LEFT else []
