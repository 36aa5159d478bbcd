"""Tries with which the draw went and came back, and by which nothing that is supposed would have changed. What a part
takes itself goes with it whatever is supposed."""

from collections.abc import Mapping, Sequence

import numpy as np

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.diagnosis import UnexplainedTry
from circuitmap.diagnosis.explaining.classes import FaultClass
from circuitmap.diagnosis.seen.observed import Observation, Tried
from circuitmap.diagnosis.weighing.of_two import as_weighed
from circuitmap.diagnosis.weighing.tables import Table
from circuitmap.diagnosis.weighing.weights import Together
from circuitmap.evidence.own_share import is_own_by_the_sheets
from circuitmap.wiring.parts import Load, Terminal

MOSTLY = 0.5
"""A try that less of the probability than this foretells is not explained (judgement)."""
NO_MORE_THAN_A_SLIP = float(np.log(2.0))
"""How much likelier than by a slip a try has to be to count as foretold, as a logarithm (judgement)."""

MORE_THAN_ANY_SLIP = float(np.log(0.05))
"""A try that a car with nothing wrong shows as often as this, as a logarithm, is no slip (judgement)."""


def unexplained_tries(
    tried: Sequence[Tried],
    by_label: Mapping[Observation, Table[Observation]],
    classes: Sequence[FaultClass],
    parked: Parked,
    together: Sequence[Together],
) -> tuple[UnexplainedTry, ...]:
    """The tries of which most of the probability, taken with all that was read, makes a slip."""
    found = []
    for one in tried:
        attempt, table = one.attempt, by_label.get(one)
        went = one.outcome in ("normal", "down") and not one.why_not and not attempt.turned
        if not went or not attempt.came_back or table is None or is_own_by_the_sheets(parked.platform, attempt):
            continue
        if not _is_foretold(table, classes, together):
            found.append(UnexplainedTry(one, _comes_through(parked, attempt.out)))
    return tuple(found)


def _is_foretold(table: Table[Observation], classes: Sequence[FaultClass], together: Sequence[Together]) -> bool:
    if float(table.log_chance[0, 0]) > MORE_THAN_ANY_SLIP:  # what sleeps behind what was out went with it
        return True
    slip = float(table.log_chance[0, 0]) + NO_MORE_THAN_A_SLIP
    foretold = 0.0
    for explanation in classes:
        columns = [int(table.columns[number]) for number in as_weighed(explanation.members[0], together)]
        if float(table.log_chance[columns[0], columns[1] if len(columns) > 1 else 0]) > slip:
            foretold += explanation.probability
    return foretold >= MOSTLY * sum(explanation.probability for explanation in classes)


def _comes_through(parked: Parked, out: Sequence[str]) -> tuple[str, ...]:
    from circuitmap.circuit.ways import Ways  # seldom needed, and slow to import

    ways = Ways(parked.circuit, parked.fitting, "supply")
    found: dict[str, None] = {}
    for name in out:
        part = parked.platform.parts.get(name)
        for pin in part.pins_with("supply") if isinstance(part, Load) else ():
            if Terminal(name, pin) in parked.circuit.number:
                for path in ways.to(Terminal(name, pin)).paths:
                    names = (link.part if link.output is None else link.contact for link in reversed(path.contacts))
                    found |= dict.fromkeys(names)
    return tuple(found)
