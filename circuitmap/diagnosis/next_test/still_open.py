"""What is still open, and what is sure enough to be mended: what the choice of steps begins from."""

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.explaining.listing import Listed
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.next_test.done import Done
from circuitmap.diagnosis.next_test.leading_part import LIKELY
from circuitmap.diagnosis.next_test.predicting import DOUBTFUL, Predictions

Array = NDArray[np.float64]

MEND_AT = 0.95
"""From this probability of one part on, it is proven (out, in, out) rather than looked for any further."""

MISREAD_IF = 0.5
"""Below this chance of the same again what leads takes a reading for misread (judgement)."""


def only_joining(listed: Listed, faults: Sequence[Fault]) -> frozenset[int]:
    """The faults by which batteries are joined, and nothing is taken, where nearly all of the probability has one of
    them beside another fault: what there is to look for is what takes the current."""
    named = {*listed.first.tolist(), *listed.second.tolist()} - {-1}
    joins = [n for n in named if faults[n].brings and all(flow.joins_batteries for flow in faults[n].brings)]
    if not joins:
        return frozenset()
    its = np.zeros(len(faults) + 1, dtype=bool)  # no second fault: -1, the last
    its[joins] = True
    one_of_them = its[listed.first] != its[listed.second]
    beside = one_of_them & (listed.second >= 0)
    if listed.weights[beside].sum() < MEND_AT * listed.weights.sum():
        return frozenset()
    return frozenset(joins)


def unexplained_networks(awake: Iterable[str], listed: Listed, faults: Sequence[Fault]) -> tuple[str, ...]:
    """The networks seen awake that most of the probability does not wake."""
    found = []
    for network in sorted(awake):
        wakes = np.array([network in fault.wakes for fault in faults] + [False])  # no second fault: -1, the last
        woken = listed.weights[wakes[listed.first] | wakes[listed.second]].sum()
        if woken < LIKELY * listed.weights.sum():
            found.append(network)
    return tuple(found)


def zeros_in_doubt(predictions: Predictions) -> list[str]:
    """Places that were read once and showed nothing, though nearly all that is left has current there: a second look
    parts nobody, but it is owed to the reading."""
    found = []
    weights = predictions.listed.weights
    for place in (name for name in predictions.readings if name not in predictions.setting.shown):
        again = predictions.reads_again(place)
        if again[0] < 0.5 and float((weights * again).sum()) <= DOUBTFUL * float(weights.sum()):
            found.append(place)
    return found


def not_explained(predictions: Predictions) -> list[str]:
    """Places that were read to carry more than is normal, and that most of what is left can only call misread: what
    leads rests on that, and a second look says so, or that something else draws there."""
    return [
        place
        for place in predictions.unexplained(undrawn=True)
        if place in predictions.readings and predictions.reads_again(place)[0] < MISREAD_IF
    ]


def to_mend(weights: Array, parts: Sequence[frozenset[str]], done: Done, faults: Sequence[Fault]) -> str:
    """The part that is nearly sure; nothing that is not known can be mended. One that was out by itself, and left
    something that draws, is known: then the other of the two is looked for."""
    by_part: dict[str, float] = {}
    two = sum(weight for its_parts, weight in zip(parts, weights.tolist(), strict=True) if len(its_parts) > 1)
    known = {part for out in done.tried if len(out) == 1 for part in out} if two >= MEND_AT * weights.sum() else set()
    for its_parts, weight in zip(parts, weights.tolist(), strict=True):
        for part in its_parts - known:
            by_part[part] = by_part.get(part, 0.0) + weight
    for fault in faults:
        if fault.kind == "none-of-these":
            by_part.pop(fault.part, None)
    if not by_part:
        return ""
    part = min(by_part, key=lambda p: (-by_part[p], p))
    return part if by_part[part] >= MEND_AT else ""
