"""How likely each thing is what is interrupted, given what works and what does not, and what a probe showed.

One thing, or two: two at once are rarer, and are told by their groups, each with its own chance, never as pairs (of two
faults the pair in first place is right in 2 to 3 %, both groups are among the first four in 95 %).
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from itertools import combinations
from typing import NamedTuple

from circuitmap.dead.breaks import KIND_SHARE, Break
from circuitmap.dead.without import Interrupted, Waiting
from circuitmap.power.functions import functions_of
from circuitmap.wiring.parts import WORKS_EITHER_WAY, Part

TOLD_DEAD_BUT_WORKS = 0.03
TOLD_WORKS_BUT_DEAD = 0.01
SEEN_TO_WORK_BUT_DEAD = 0.001
TWO_AT_ONCE = 0.07
NOTHING_WRONG = 0.02
"""How often somebody is told wrong, two things are interrupted at once, and nothing is (judgement). Whoever says of one
and the same load that it works in one position and not in another has tried both."""
MOST_PAIRED = 60
"""Groups that are looked at two by two: the likeliest by themselves (judgement)."""
_OF_EACH = 8


class ToldLoads(NamedTuple):
    """What is said to be dead, and said to work, by its number among `functions_of`. `tried`: what works in
    one position, and is dead in another."""

    dead: tuple[int, ...]
    works: tuple[int, ...]
    tried: frozenset[int] = frozenset()

    def wrong_of(self, works: int) -> float:
        """How often what is said to work is dead all the same."""
        return SEEN_TO_WORK_BUT_DEAD if works in self.tried else TOLD_WORKS_BUT_DEAD


class Signature(NamedTuple):
    """What of all that was told is dead with something interrupted: surely, perhaps for one reason, or perhaps each by
    itself (see `DeadWithout`)."""

    kills: frozenset[int] = frozenset()
    weakens: frozenset[int] = frozenset()
    perhaps: frozenset[Waiting] = frozenset()

    @property
    def touched(self) -> frozenset[int]:
        return self.kills.union(self.weakens, *(one.loads for one in self.perhaps))

    def beside(self, other: "Signature") -> "Signature":
        """Both at once."""
        kills = self.kills | other.kills
        return Signature(kills, (self.weakens | other.weakens) - kills, self.perhaps | other.perhaps)


class Group(NamedTuple):
    """Things that nothing told apart yet: the same loads die without each of them. `chance` is that one of them is
    interrupted, be it alone or beside something else; `alone` that it is the only thing. `against`: what is said to
    work and would be dead; `leaves`: what is said to be dead and would still work."""

    breaks: tuple[Break, ...]
    kills: frozenset[int]
    chance: float
    alone: float
    against: frozenset[int] = frozenset()
    leaves: frozenset[int] = frozenset()


class WeighedBreaks(NamedTuple):
    """Groups, likeliest first. `two` is the chance of two things at once, `wrong` that nothing is interrupted and what
    was told is wrong; `odds` the chance of each single thing, being the only one. `one_fits`: some single thing makes
    dead what is said to be dead and nothing that is said to work."""

    groups: tuple[Group, ...]
    two: float
    wrong: float
    odds: Mapping[Break, float]
    one_fits: bool


def weights_of(found: Interrupted) -> dict[Break, float]:
    """The share of each thing before anything was seen: that of its kind, split among all of its kind there are."""
    links = found.sound.circuit.links
    parts = Counter(part.kind for part in found.sound.circuit.platform.parts.values())
    counts: Counter[str] = Counter(its.kind for its in found.without)
    everywhere = {
        "fuse": parts["fuse"] + parts["link"] + parts["breaker"],
        "wire": sum(link.wire is not None for link in links),
        "cavity": sum(link.kind == "cavity" for link in links),
        "contact": sum(link.kind == "contact" for link in links),
        "output": sum(link.kind == "output" for link in links),
        "coil": sum(link.kind == "coil" for link in links),
        "ground": parts["ground"],
        "load": len(found.sound.plan.loads),
        "interface": sum(len(its.members) for its in found.sound.circuit.platform.networks.values()),
        "network": len(found.sound.circuit.platform.networks),
    }
    parts_of = found.sound.circuit.platform.parts
    return {
        its: (LAMPS if its.kind == "load" and _is_lamp(parts_of, its.name) else 1.0)
        * KIND_SHARE[its.kind]
        / max(everywhere.get(its.kind, 0), counts[its.kind], 1)
        for its in found.without
    }


LAMPS = 5.0
"""A filament burns out more often than a motor or a heater does (judgement)."""


def _is_lamp(parts: Mapping[str, Part], name: str) -> bool:
    part = parts.get(name) or parts.get(name.rpartition(".")[0])
    return part is not None and part.kind == "lamp"


def weighed(found: Interrupted, told: ToldLoads, seen: Mapping[Break, float]) -> WeighedBreaks:
    """The chance of each group. `seen` is how well what a probe showed fits each thing, as a factor."""
    base = weights_of(found)
    total = sum(base.values()) or 1.0
    watched = frozenset((*told.dead, *told.works))
    by_signature: dict[Signature, list[Break]] = {}
    for its, without in found.without.items():
        perhaps = frozenset(one for one in without.perhaps if one.loads & watched)
        signature = Signature(without.kills & watched, without.weakens & watched, perhaps)
        if signature.touched & set(told.dead):  # what leaves all of these alive explains nothing
            by_signature.setdefault(signature, []).append(its)
    base = {its: share * _unmentioned(found, its, watched) for its, share in base.items()}
    weight = {
        signature: sum(base[its] * seen.get(its, 1.0) for its in breaks) / total
        for signature, breaks in by_signature.items()
    }
    alone = {signature: (1 - TWO_AT_ONCE) * its * _fits(told, signature) for signature, its in weight.items()}
    two = 0.0
    with_others = dict.fromkeys(weight, 0.0)
    paired = sorted(weight, key=lambda its: -weight[its] * _fits_some(told, its.touched))[:MOST_PAIRED]
    for load in told.dead:  # each of the dead has its own, however unlikely it is beside the others
        its_own = sorted((its for its in weight if load in its.kills), key=lambda its: -weight[its])[:_OF_EACH]
        paired += [its for its in its_own if its not in paired]
    for a, b in combinations(paired, 2):
        both = TWO_AT_ONCE * 2 * weight[a] * weight[b] * _fits(told, a.beside(b))
        two += both
        with_others[a] += both
        with_others[b] += both
    mean_seen = sum(base[its] * seen.get(its, 1.0) for its in found.without) / total
    wrong = NOTHING_WRONG * mean_seen * _fits(told, Signature())
    whole = sum(alone.values()) + two + wrong or 1.0
    groups = []
    for signature, breaks in by_signature.items():
        chance = (alone[signature] + with_others[signature]) / whole
        ordered = sorted(breaks, key=lambda its: -base[its] * seen.get(its, 1.0))
        against, leaves = signature.kills & set(told.works), frozenset(told.dead) - signature.touched
        groups.append(Group(tuple(ordered), signature.kills, chance, alone[signature] / whole, against, leaves))
    groups.sort(key=lambda its: -its.chance)
    odds = {}
    for signature, breaks in by_signature.items():
        its_weight = weight[signature]
        for its in breaks:
            share = base[its] * seen.get(its, 1.0) / total / its_weight if its_weight else 0.0
            odds[its] = alone[signature] / whole * share
    one_fits = any(weight[its] and _may_be_all(told, its) for its in by_signature)
    return WeighedBreaks(tuple(groups), two / whole, wrong / whole, odds, one_fits)


def _may_be_all(told: ToldLoads, its: Signature) -> bool:
    """Whether one thing can be all there is: it touches all of the dead, kills nothing that works, and of what goes
    together nothing is said to work while some is dead."""
    dead, works = set(told.dead), set(told.works)
    together = (its.weakens, *(one.loads for one in its.perhaps))
    return dead <= its.touched and not its.kills & works and not any(one & dead and one & works for one in together)


def _unmentioned(found: Interrupted, its: Break, watched: frozenset[int]) -> float:
    """What would also be dead and nobody spoke of speaks a little against a thing; who says that the screens are dead
    would have said that the whole cab is."""
    parts, functions = found.sound.circuit.platform.parts, functions_of(found.sound.circuit)
    spoken_of = {functions[n].part for n in watched if n < len(functions)}
    others = sum(
        n < len(functions)
        and functions[n].kind == "load"
        and functions[n].part not in spoken_of
        and parts[functions[n].part].kind in WORKS_EITHER_WAY
        for n in found.without[its].kills
    )
    return float(max(NOT_SPOKEN_OF**others, _LEAST_UNMENTIONED))


NOT_SPOKEN_OF, _LEAST_UNMENTIONED = 0.95, 0.2
"""For each lamp, motor or heater that would be dead, too, and that nobody spoke of; and at the least (judgement)."""


def _fits(told: ToldLoads, its: Signature) -> float:
    """How well these being dead fits what was told. What may be dead for one unknown reason is dead, or works, all of
    it: half and half. Of outputs that may wait for a message each does so by itself."""
    works = _fits_if(told, its.kills, its.perhaps)
    if not its.weakens:
        return works
    return (works + _fits_if(told, its.kills | its.weakens, its.perhaps)) / 2


def _fits_if(told: ToldLoads, kills: frozenset[int], perhaps: frozenset[Waiting]) -> float:
    factor = 1.0
    for load in told.dead:
        factor *= 1 - TOLD_WORKS_BUT_DEAD if load in kills else TOLD_DEAD_BUT_WORKS
    for load in told.works:
        factor *= told.wrong_of(load) if load in kills else 1 - TOLD_DEAD_BUT_WORKS
    seen: set[int] = set()
    for one in sorted(perhaps, key=lambda its: (-its.chance, sorted(its.loads))):
        more = one.loads - kills - seen  # what one output feeds is dead, or works, all of it
        seen |= more
        ratio = 1.0
        for load in told.dead:
            ratio *= (1 - TOLD_WORKS_BUT_DEAD) / TOLD_DEAD_BUT_WORKS if load in more else 1.0
        for load in told.works:
            ratio *= told.wrong_of(load) / (1 - TOLD_DEAD_BUT_WORKS) if load in more else 1.0
        factor *= 1 - one.chance + one.chance * ratio
    return factor


def _fits_some(told: ToldLoads, kills: frozenset[int]) -> float:
    """How well something fits of which another may explain the rest."""
    wrong = sum(load in kills for load in told.works)
    return float(sum(load in kills for load in told.dead) * TOLD_WORKS_BUT_DEAD**wrong)


def likeliest(weighed_: WeighedBreaks, most: int, share: float) -> Sequence[tuple[Break, float]]:
    """The likeliest single things that together hold so much of the odds, at most so many; their odds add up to 1.
    Where one thing may be all there is, what would kill something that is said to work is left aside as long as there
    is enough else: nobody probes first what works."""
    against = {its for group in weighed_.groups if group.against for its in group.breaks}
    odds_else = sum(odds for its, odds in weighed_.odds.items() if its not in against)
    all_of_it = not weighed_.one_fits or odds_else < _ENOUGH_ELSE * sum(weighed_.odds.values())
    ranked = sorted(
        (its for its in weighed_.odds.items() if all_of_it or its[0] not in against), key=lambda its: -its[1]
    )
    whole = sum(odds for _, odds in ranked) or 1.0
    kept: list[tuple[Break, float]] = []
    held = 0.0
    for its, odds in ranked[:most]:
        if held > share * whole or odds <= 0:
            break
        kept.append((its, odds))
        held += odds
    return [(its, odds / held) for its, odds in kept] if held else []


_ENOUGH_ELSE = 0.9
"""Share of the odds of all single things that must be left for those that contradict nothing, or else all of them are
told apart (judgement)."""
