"""When each terminal is live: always, in which conditions, or not known. Constant or switched is derived from this."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from circuitmap.circuit.links import Circuit
from circuitmap.power.alternatives import Things, alternatives
from circuitmap.power.controls import Wanted
from circuitmap.power.equipment import not_said, with_equipment
from circuitmap.power.evaluate import Beside, Powered
from circuitmap.power.nets import MAY_BE, NO, YES
from circuitmap.power.rests_on import unknown_on_the_way
from circuitmap.power.survey import Changes, Survey, effort_of, survey_of
from circuitmap.power.why import why
from circuitmap.unknown import Unknown
from circuitmap.wiring.fitting import Fitting
from circuitmap.wiring.parts import Condition, Terminal

FeedKind = Literal["always", "in", "more", "unknown", "never"]


@dataclass(frozen=True, slots=True)
class Feed:
    """When a terminal is live.

    `kind`: `always` (parked and asleep too), `in` conditions, in `more` than two conditions at once, `unknown`, or
    `never` (no way from a battery was found). `conditions` are alternatives: each is a set of changes from the parked
    vehicle that makes it live for certain; `perhaps` those with which it may be. `unknown` says what it rests on that
    is not known, whatever its kind. All of this holds if the vehicle has what `if_fitted` says: equipment that its part
    belongs to, where nobody said whether it is there. `cut_off`: not all changes that might make it live were tried, or
    not with that equipment, because there are too many. `other_ways`: more than two changes at once may make it live as
    well. `but_not`: what takes it away in all of these conditions; `not_in_all`: in some of them.
    """

    kind: FeedKind
    conditions: tuple[Changes, ...] = ()
    perhaps: tuple[Changes, ...] = ()
    unknown: tuple[Unknown, ...] = ()
    if_fitted: Condition = ()
    cut_off: bool = False
    other_ways: bool = False
    but_not: tuple[Changes, ...] = ()
    not_in_all: tuple[Changes, ...] = ()

    @property
    def always(self) -> bool:
        return self.kind == "always"

    @property
    def positions(self) -> tuple[str, ...]:
        """The positions of the key in which it is live with no other change."""
        return tuple(changes[0].position for changes in self.conditions if [c.kind for c in changes] == ["key"])


def feeds_of(
    circuit: Circuit, fitting: Fitting, terminals: Iterable[Terminal] | None = None
) -> Mapping[Terminal, Feed]:
    """When each of these terminals is live (all of the circuit's, when none are named).

    Looks at the parked vehicle, then at every single change from it, then at two changes together. A part that only
    comes with some equipment is looked at with it. Terminals that the circuit does not have are left out.
    """
    wanted = [t for t in (circuit.nodes if terminals is None else terminals) if t in circuit.number]
    by_equipment: dict[Condition, list[Terminal]] = {}
    for terminal in wanted:
        by_equipment.setdefault(not_said(circuit, terminal.part, fitting), []).append(terminal)
    found: dict[Terminal, Feed] = {}
    for equipment in sorted(by_equipment, key=bool):
        its = by_equipment[equipment]
        survey, seen_with = survey_with(circuit, fitting, equipment)
        by_terminal = feeds_in(survey, its, seen_with)
        if seen_with != equipment:
            by_terminal = {terminal: replace(feed, cut_off=True) for terminal, feed in by_terminal.items()}
        found.update(by_terminal)
    return {terminal: found[terminal] for terminal in wanted}


def survey_with(circuit: Circuit, fitting: Fitting, equipment: Condition) -> tuple[Survey, Condition]:
    """The survey of the vehicle with this equipment or, after too much work on other equipment, without assuming it;
    and the fitting that was looked at."""
    if equipment and effort_of(circuit).used_up:
        return survey_of(circuit, fitting), ()
    return survey_of(circuit, with_equipment(fitting, equipment)), equipment


def feeds_in(survey: Survey, terminals: Sequence[Terminal], equipment: Condition) -> dict[Terminal, Feed]:
    """When each of these terminals is live, in one equipment."""
    net_of, number = survey.parked.nets.net_of, survey.circuit.number
    nets = {net_of[number[terminal]]: terminal for terminal in reversed(terminals)}
    by_net = _feeds_of_nets(survey, nets, equipment)
    return {terminal: by_net[net_of[number[terminal]]] for terminal in terminals}


def _feeds_of_nets(survey: Survey, nets: Mapping[int, Terminal], equipment: Condition) -> dict[int, Feed]:
    live = survey.parked.settled.reach.supply
    dead: dict[int, list[Wanted]] = {
        net: [("supply", net)] for net in nets if not live[net] and net in survey.within_reach
    }
    found = alternatives(survey, Things(dead, supply_level, _nets_moved, dead))
    return {
        net: replace(_feed(survey, net, nets[net], *found.of(net)), if_fitted=equipment, cut_off=net in found.cut_off)
        for net in nets
    }


def _nets_moved(beside: Beside) -> Iterable[int]:
    return range(beside.powered.nets.count) if beside.touched is None else beside.touched.nets


def supply_level(powered: Powered) -> Callable[[int], int]:
    """How surely each net is live."""
    certain, perhaps = powered.settled.reach.supply, powered.settled.reach.perhaps_supply
    return lambda net: YES if certain[net] else MAY_BE if perhaps[net] else NO


def _feed(
    survey: Survey, net: int, terminal: Terminal, certain: tuple[Changes, ...], perhaps: tuple[Changes, ...]
) -> Feed:
    parked = survey.parked
    if parked.settled.reach.supply[net]:
        return Feed("always", unknown=unknown_on_the_way(parked, why(parked, terminal)))
    if parked.settled.reach.perhaps_supply[net]:
        return Feed("unknown", certain, (), unknown_on_the_way(parked, why(parked, terminal)))
    if certain or perhaps:
        first = (certain or perhaps)[0]
        if not survey.has(first):
            return Feed("in", certain, perhaps, (Unknown("cut off", str(terminal)),))
        after = survey.after(first)
        return Feed("in", certain, perhaps, unknown_on_the_way(after, why(after, terminal)))
    return Feed("more" if net in survey.within_reach else "never")
