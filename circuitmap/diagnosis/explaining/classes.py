"""Explanations that cannot be told apart, taken together."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.fault_kinds import Kind
from circuitmap.diagnosis.weighing.decibans import NATS_TO_DECIBANS
from circuitmap.diagnosis.weighing.weights import Weighing

Array = NDArray[np.float64]

SAME_WITHIN = 0.05
"""How many decibans may lie between explanations, at every reading, that count as alike."""
PAIRS_ALIKE = 0.5
"""How many decibans may lie between pairs, over all readings, that count as alike."""
MOST_PAIRS = 12
MOST_CLASSES_PAIRED = 60
MOST_MEMBERS = 60
"""How many pairs are listed of two classes whose members cannot be told apart."""


class FaultClass(NamedTuple):
    """Single faults of one kind that every reading treats alike, likeliest first, or one pair of such classes.

    `probability` is the one given that something is wrong. `rows` are the rows of the heaviest member (two for a pair).
    """

    kinds: tuple[Kind, ...]
    members: tuple[tuple[int, ...], ...]
    probability: float
    rows: tuple[int, ...]


def classes_of(weighing: Weighing, faults: Sequence[Fault]) -> tuple[FaultClass, ...]:
    """All single classes and the likeliest pairs, likeliest first."""
    rows = representatives(weighing, faults)
    by_class: dict[tuple[Kind, int], list[int]] = {}
    for number, fault in enumerate(faults):
        if weighing.odds[number] > 0.0:
            by_class.setdefault((fault.kind, int(rows[number])), []).append(number)
    singles = weighing.singles / weighing.something
    found = []
    for (kind, _), members in by_class.items():
        members.sort(key=lambda n: (-singles[n], faults[n].identity))
        heaviest = int(weighing.row_of[members[0]])
        probability = float(singles[members].sum())
        found.append(FaultClass((kind,), tuple((n,) for n in members), probability, (heaviest,)))
    found += _pairs(weighing, faults, list(by_class.values()))

    def rank(one: FaultClass) -> tuple[float, int, tuple[str, ...]]:
        return (-round(one.probability, 12), len(one.kinds), faults[one.members[0][0]].identity)

    return tuple(sorted(found, key=rank))


def representatives(weighing: Weighing, faults: Sequence[Fault]) -> NDArray[np.intp]:
    """For each fault the first row of its kind that is within a twentieth of a deciban at every reading."""
    size = len(weighing.log_single)
    said = np.zeros((size, len(weighing.tables)))
    for n, table in enumerate(weighing.tables):
        columns = np.zeros(size, dtype=np.intp)
        columns[weighing.row_of] = table.columns
        columns[0] = 0
        said[:, n] = NATS_TO_DECIBANS * table.log_chance[columns, 0]
    result = np.array(weighing.row_of[: len(faults)])
    by_kind: dict[str, dict[int, int]] = {}
    rows = result.tolist()
    for fault, row in zip(faults, rows, strict=True):
        by_kind.setdefault(fault.kind, {})[row] = row
    for chosen in by_kind.values():
        its = np.array(list(chosen))
        left = np.arange(len(its))
        while len(left):  # the first of those left, and all that are like it
            near = (np.abs(said[its[left]] - said[its[left[0]]]) <= SAME_WITHIN).all(axis=1)
            chosen |= dict.fromkeys(its[left[near]].tolist(), int(its[left[0]]))
            left = left[~near]
    result[:] = [by_kind[fault.kind][row] for fault, row in zip(faults, rows, strict=True)]
    return result


def _pairs(weighing: Weighing, faults: Sequence[Fault], classes: list[list[int]]) -> list[FaultClass]:
    """The likeliest pairs of classes, among those that are in any pair worth telling."""
    held = weighing.given_something
    classes = sorted(classes, key=lambda members: -float(held[members].sum()))[:MOST_CLASSES_PAIRED]
    upper = np.triu(weights_of_pairs(weighing, classes)) / weighing.something
    order = np.argsort(-upper, axis=None, kind="stable")[:MOST_PAIRS]
    found = []
    for flat in order:
        a, b = divmod(int(flat), len(classes))
        probability = float(max(upper[a, b], 0.0))
        both = _members(classes[a], classes[b], weighing)
        if probability <= 0.0 or not both:
            continue
        heads = both[0]
        kinds = (faults[heads[0]].kind, faults[heads[1]].kind)
        rows_of_heads = tuple(int(weighing.row_of[n]) for n in heads)
        found.append(FaultClass(kinds, both, probability, rows_of_heads))
    return found


def weights_of_pairs(weighing: Weighing, groups: list[list[int]]) -> Array:
    """Weight of two faults, one out of each of two groups that share none; on the diagonal both out of one."""
    used = np.flatnonzero(np.bincount(np.concatenate([weighing.row_of[members] for members in groups])))
    place = np.zeros(len(weighing.log_single), dtype=np.intp)
    place[used] = np.arange(len(used))
    chance = weighing.chance_pair[np.ix_(used, used)]
    everyone = np.concatenate(groups).astype(np.intp)
    group = np.repeat(np.arange(len(groups)), [len(members) for members in groups])
    rows = place[weighing.row_of[everyone]]
    size = len(groups) * len(used)
    odds = np.bincount(group * len(used) + rows, weighing.odds[everyone], size).reshape(len(groups), len(used))
    squares = np.bincount(group, np.square(weighing.odds[everyone]) * np.diag(chance)[rows], len(groups))
    mass = odds @ chance @ odds.T
    np.fill_diagonal(mass, np.maximum(np.diag(mass) - squares, 0.0) / 2.0)
    group_of = {number: n for n, members in enumerate(groups) for number in members}
    for pair in weighing.together:
        if pair.first in group_of and pair.second in group_of:
            a, b = sorted((group_of[pair.first], group_of[pair.second]))
            mass[a, b] += weighing.mended(pair)
    return np.asarray(mass)


def _members(first: list[int], second: list[int], weighing: Weighing) -> tuple[tuple[int, int], ...]:
    """The pairs with one fault of each class that the readings treat alike, likeliest first; no more than are worth
    listing. Two faults that nothing tells apart alone may well be told apart beside a third."""
    some, others = np.array(first[:MOST_MEMBERS]), np.array(second[:MOST_MEMBERS])
    a, b = (grid.reshape(-1) for grid in np.meshgrid(some, others, indexing="ij"))
    if first is second:
        a, b = a[a < b], b[a < b]
    before = weighing.odds[a] * weighing.odds[b]
    weight = before * weighing.chance_pair[weighing.row_of[a], weighing.row_of[b]]
    number = {pair: n for n, pair in enumerate(zip(a.tolist(), b.tolist(), strict=True))} if weighing.together else {}
    for joint in weighing.together if number else ():
        n = number.get((joint.first, joint.second), number.get((joint.second, joint.first)))
        if n is not None:
            weight[n] += weighing.mended(joint)
    if not weight.size or weight.max() <= 0.0:
        return ()
    chance = np.divide(weight, before, out=np.zeros_like(weight), where=before > 0.0)
    order = np.lexsort((b, a, -weight))
    alike = order[chance[order] >= chance[order[0]] * 10.0 ** (-PAIRS_ALIKE / 10.0)]
    return tuple(zip(a[alike].tolist(), b[alike].tolist(), strict=True))[:MOST_MEMBERS]
