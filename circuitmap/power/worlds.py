"""Equipment that nobody mentioned and that parts a way: what comes with an option never conducts together with what
comes without it, or with another option that is never fitted beside it.

The bits of what supply and ground may reach are kept once for each world, that is each full choice of such options, one
field of bits beside the other. A link that its world does not have lets that field's bits not pass.
"""

from collections.abc import Iterable, Mapping
from itertools import product
from math import prod
from typing import NamedTuple

from circuitmap.wiring.fitting import Answer, Fitting, holds
from circuitmap.wiring.parts import Condition
from circuitmap.wiring.platform import Platform

MOST_WORLDS = 16
"""Full choices that are told apart, the options that part most links first (judgement: four options of one vehicle);
what the others part is taken to conduct together, perhaps."""
EVERY_BIT = -1
"""Lets all bits pass."""


class Worlds(NamedTuple):
    """`fields` is one in the lowest bit of each world's field, each of which is `width` bits wide; `choices` are the
    options that are told apart, as they stand in each world."""

    width: int
    choices: tuple[Mapping[str, bool], ...]
    fields: int
    fitting: Fitting

    def passing(self, condition: Condition) -> int:
        """The bits that a link with this condition lets pass."""
        if len(self.choices) < 2 or not condition:
            return EVERY_BIT
        field, bits = (1 << self.width) - 1, 0
        for n, choice in enumerate(self.choices):
            if holds(condition, {**self.fitting, **choice}) != Answer.NO:
                bits |= field << n * self.width
        return bits

    def in_any(self, bits: int) -> int:
        """The bits as they are in some world."""
        field, found = (1 << self.width) - 1, 0
        while bits > 0:
            found |= bits & field
            bits >>= self.width
        return found


def worlds_of(platform: Platform, conditions: Iterable[Condition], fitting: Fitting, width: int) -> Worlds:
    """The worlds that these conditions of links tell apart on a vehicle of which only `fitting` was said."""
    needs: dict[str, dict[bool, int]] = {}
    for condition in conditions:
        for need in condition:
            if need.option not in fitting:
                its = needs.setdefault(need.option, {})
                its[need.fitted] = its.get(need.fitted, 0) + 1
    found: list[tuple[int, tuple[Mapping[str, bool], ...]]] = []
    told: set[str] = set()
    for name in sorted(needs):
        option = platform.options.get(name)
        if name in told or option is None:
            continue
        together = [name, *(its for its in option.others if its not in fitting)]
        told.update(together)
        used = [its for its in together if its in needs]
        if len(together) > 1:
            one_of_them = tuple({other: other == there for other in together} for there in together)
            if len(used) > 1 or len(needs[name]) > 1:
                found.append((sum(sum(needs[its].values()) for its in used), one_of_them))
        elif len(needs[name]) > 1:
            found.append((sum(needs[name].values()), ({name: True}, {name: False})))
    found.sort(key=lambda its: (-its[0], sorted(its[1][0])))
    axes: list[tuple[Mapping[str, bool], ...]] = []
    for _, axis in found:
        if prod(map(len, axes)) * len(axis) <= MOST_WORLDS:
            axes.append(axis)
    choices = tuple({name: there for part in parts for name, there in part.items()} for parts in product(*axes))
    return Worlds(width, choices, sum(1 << n * width for n in range(len(choices))), fitting)
