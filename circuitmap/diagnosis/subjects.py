"""What a case may be about, and what may need mending: the weights of all explanations, summed."""

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.diagnosis import SURE_ENOUGH, PartChance, Subject
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.weighing.weights import Weighing

MOST_SUBJECTS = 40
NEARLY_ALL = 0.98
LIKELY = 0.5
"""A switch that lights or runs something, so likely, is what the case is about with this share of what speaks for the
likeliest subject (judgement)."""


def parts_of(weighing: Weighing, faults: Sequence[Fault], at_most: float = SURE_ENOUGH) -> tuple[PartChance, ...]:
    """Every part with its probability over all explanations it occurs in, told as `at_most` so much, likeliest
    first."""
    numbers: dict[str, list[int]] = {}
    for number, fault in enumerate(faults):
        numbers.setdefault(fault.part, []).append(number)
    each = weighing.any_of_each(list(numbers.values())).tolist()
    return _in_order(faults, numbers, each, weighing.given_something.round(12), at_most)


def _in_order(
    faults: Sequence[Fault],
    numbers: Mapping[str, list[int]],
    each: Sequence[float],
    held: NDArray[np.float64],
    at_most: float,
) -> tuple[PartChance, ...]:
    """Parts by their chances, likeliest first; `held` is that of each fault."""
    chances = dict(zip(numbers, each, strict=True))
    order = sorted(chances, key=lambda part: (-round(chances[part], 12), part))
    return tuple(
        PartChance(
            part,
            min(chances[part], at_most),
            tuple(faults[n] for n in sorted(numbers[part], key=lambda n: -held[n])),
        )
        for part in order
    )


def subjects_of(weighing: Weighing, faults: Sequence[Fault], at_most: float = SURE_ENOUGH) -> tuple[Subject, ...]:
    """What the case may be about, likeliest first, each told as `at_most` so likely: everything that keeps one network
    awake is told together."""
    numbers: dict[str, list[int]] = {}
    for number, fault in enumerate(faults):
        numbers.setdefault(fault.about, []).append(number)
    numbers = _with_its_own(numbers, weighing, faults)
    chances = dict(zip(numbers, weighing.any_of_each(list(numbers.values())).tolist(), strict=True))
    order = sorted(chances, key=lambda about: (-round(chances[about], 12), about))[:MOST_SUBJECTS]
    held = weighing.given_something.round(12)
    parts: list[dict[str, list[int]]] = []
    for about in order:
        parts.append({})
        for number in numbers[about]:
            parts[-1].setdefault(faults[number].part, []).append(number)
    # All at once: each look at the weights costs more than what it adds up.
    each = iter(weighing.any_of_each([its for own in parts for its in own.values()]).tolist())
    return tuple(
        Subject(about, min(chances[about], at_most), _in_order(faults, own, [next(each) for _ in own], held, at_most))
        for about, own in zip(order, parts, strict=True)
    )


def _with_its_own(
    numbers: Mapping[str, list[int]], weighing: Weighing, faults: Sequence[Fault]
) -> dict[str, list[int]]:
    """Where one part alone, whatever its faults are about, is at least as likely as any subject, all of its faults are
    about it: a brake switch that lights its lamps and keeps a network awake is that switch. One that does nothing but
    keep something awake is told with what it keeps awake."""
    by_part: dict[str, list[int]] = {}
    for number, fault in enumerate(faults):
        by_part.setdefault(fault.part, []).append(number)
    spread = {
        part: its
        for part, its in by_part.items()
        if set(its) > set(numbers.get(part, ())) and (part in numbers or any(_turns_on(faults[n]) for n in its))
    }
    if not spread:
        return dict(numbers)
    each = weighing.any_of_each([*numbers.values(), *spread.values()]).round(12).tolist()
    highest = max(each[: len(numbers)])
    of_part = dict(zip(spread, each[len(numbers) :], strict=True))
    part = min(of_part, key=lambda name: (-of_part[name], name))
    turns_on = sum(weighing.given_something[n] for n in spread[part] if _turns_on(faults[n])) >= LIKELY
    if of_part[part] < (NEARLY_ALL * highest if turns_on else highest):
        return dict(numbers)
    its = set(spread[part])
    kept = {about: [n for n in group if n not in its] for about, group in numbers.items() if about != part}
    return {part: spread[part], **{about: group for about, group in kept.items() if group}}


def _turns_on(fault: Fault) -> bool:
    """Whether it is a switch's, and turns on more than the module that reads it."""
    by_switch = fault.kind in ("lamp", "wrong-input") and fault.part != fault.module
    return by_switch and any(flow.key.taken == "running" for flow in fault.brings)
