"""Which measured places the currents of a fault pass: worked out once for a fault, and again only where one more of
these places was measured."""

from collections.abc import Container, Iterable, Mapping, Sequence
from itertools import count, pairwise
from typing import NamedTuple

from circuitmap.diagnosis.car.picture import Flow, Taken
from circuitmap.diagnosis.car.places import PlaceTree, nearest
from circuitmap.diagnosis.weighing.sightings import Brought


class Passed(NamedTuple):
    """What a fault brings to each place that was measured, and each of its currents that passes one `branch` on its way
    to another place with an amount. `measured` are those of its `places` for which this holds: with an amount, and with
    a word only."""

    flows: tuple[Flow, ...]
    places: frozenset[str]
    measured: tuple[frozenset[str], frozenset[str]]
    brought: Mapping[str, tuple[Brought, ...]]
    branches: tuple[tuple[Flow, str, str], ...]


class AskedRound(NamedTuple):
    """One round of questions: the places measured in A, and in a word, and which of them are new, or gone, since the
    round `before`."""

    number: int
    measured: tuple[frozenset[str], frozenset[str]]
    before: int
    changed: frozenset[str]


class PassedPlaces:
    """The places passed of every fault of one car, as of the last time that somebody asked."""

    def __init__(self, tree: PlaceTree) -> None:
        self.tree = tree
        # With the round in which it was asked about last: two may ask at once, so a round is nobody's state.
        self._known: dict[int, tuple[int, Passed]] = {}
        self._with_more: dict[tuple[int, str], tuple[Brought, ...]] = {}
        self._numbers = count(1)
        self._latest = AskedRound(0, (frozenset(), frozenset()), 0, frozenset())

    def asked(self, amounts: Iterable[str], words: Iterable[str]) -> AskedRound:
        """A round of questions about the places measured in A, or in a word: only what is new of them has to be held
        against the places of each fault."""
        measured, was = (frozenset(amounts), frozenset(words)), self._latest
        if measured != was.measured:
            changed = (measured[0] ^ was.measured[0]) | (measured[1] ^ was.measured[1])
            self._latest = was = AskedRound(next(self._numbers), measured, was.number, changed)
        return was

    def by(self, flows: tuple[Flow, ...], asked: AskedRound) -> Passed:
        """The places of this round that these currents pass."""
        number, known = self._known.get(id(flows), (0, None))
        if known is None or known.flows is not flows:
            places = frozenset(place for flow in flows for place in self.tree.way_places(flow.way.places))
            measured = asked.measured[0] & places, asked.measured[1] & places
            known = self._found(flows, places, measured, {})
        elif number == asked.number:
            return known
        elif number != asked.before or not asked.changed.isdisjoint(known.places):
            measured = asked.measured[0] & known.places, asked.measured[1] & known.places
            if known.measured != measured:
                known = self._found(flows, known.places, measured, known.brought)
        self._known[id(flows)] = asked.number, known
        return known

    def with_more(self, flows: tuple[Flow, ...], place: str, brought: tuple[Brought, ...]) -> tuple[Brought, ...]:
        """What these currents (asked about before) bring to a place with what passes a branch unseen: the same value as
        the last time, if it is equal, for what is the same is told by its identity."""
        was = self._with_more.get((id(flows), place))
        if was != brought:
            was = self._with_more[id(flows), place] = brought
        return was

    def _found(
        self,
        flows: tuple[Flow, ...],
        places: frozenset[str],
        measured: tuple[frozenset[str], frozenset[str]],
        before: Mapping[str, tuple[Brought, ...]],
    ) -> Passed:
        brought: dict[str, tuple[Brought, ...]] = {}
        for its in filter(None, measured):
            for place, together in in_segments(flows, its, self.tree).items():
                its_brought, was = brought_together(together), before.get(place)
                brought[place] = was if was == its_brought else its_brought  # what is the same is told by its identity
        ways = [[p for p in self.tree.way_places(flow.way.places) if p in measured[0]] for flow in flows]
        branches = tuple((flow, *pair) for flow, way in zip(flows, ways, strict=True) for pair in pairwise(way))
        return Passed(flows, places, measured, brought, branches)


def brought_together(flows: Iterable[Flow]) -> tuple[Brought, ...]:
    """Flows that one fault brings to one place. All supply pins of a part together take what the part takes,
    however it divides."""
    found = []
    for together in by_taker(flows):
        first = together[0]
        if takes_all(together):
            found.append(Brought(first.key._replace(pin=""), *first.whole, first.nothing))
        else:
            found += [Brought(flow.key, flow.mean, flow.variance, flow.nothing) for flow in together]
    return tuple(found)


def by_taker(flows: Iterable[Flow]) -> Iterable[list[Flow]]:
    """Flows grouped where they are the same current of the same part, at one or several of its supply pins."""
    found: dict[tuple[str, Taken], list[Flow]] = {}
    for flow in flows:
        found.setdefault((flow.owner, flow.key.taken), []).append(flow)
    return found.values()


def takes_all(together: Sequence[Flow]) -> bool:
    """Whether flows of one part are those of all its live supply pins, where it has several."""
    pins = together[0].pins
    return pins > 1 and len(together) == pins


def in_segments(flows: Iterable[Flow], measured: Container[str], tree: PlaceTree) -> dict[str, list[Flow]]:
    """Flows by the nearest measured place they pass; flows that pass none are left out."""
    found: dict[str, list[Flow]] = {}
    for flow in flows:
        place = nearest(tree.way_places(flow.way.places), measured)
        if place is not None:
            found.setdefault(place, []).append(flow)
    return found
