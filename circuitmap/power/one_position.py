"""A switch stands in one position at a time: two of its contacts that are never closed together make no way."""

from collections.abc import Collection, Mapping, Sequence
from copy import copy
from typing import NamedTuple

from circuitmap.power.nets import Neighbours, Nets
from circuitmap.power.plan import Plan


class StandsIn(NamedTuple):
    """How one switch or relay must stand for a contact to be closed: a bit for each position."""

    part: str
    positions: int


AT_REST, PULLED_IN = 1, 2
"""The positions of a relay."""


class Standings:
    """What each gate asks of its switch or relay; nothing of a part with a single contact."""

    def __init__(self, plan: Plan, nets: Nets) -> None:
        bits: dict[str, dict[str, int]] = {}
        found: dict[int, StandsIn] = {}
        count: dict[str, int] = {}
        for gate, link in enumerate(nets.gate_link):
            if link in plan.switch_contacts:
                contact = plan.switch_contacts[link]
                known = bits.setdefault(contact.switch, {})
                positions = sum(known.setdefault(position, 1 << len(known)) for position in set(contact.closed_in))
                if not positions:
                    continue
                found[gate] = StandsIn(contact.switch, positions)
            elif link in plan.relay_contacts:
                relay = plan.relay_contacts[link]
                positions = PULLED_IN if relay.energised else AT_REST
                found[gate] = StandsIn(plan.relays[relay.relay], positions)
            else:
                continue
            count[found[gate].part] = count.get(found[gate].part, 0) + 1
        self.of_gate = {gate: its for gate, its in found.items() if count[its.part] > 1}
        self._bits = bits
        self._nets = nets

    def with_only(self, left: Mapping[str, Collection[str]]) -> "Standings":
        """The same where these switches stand in some of their positions only."""
        masks = {
            part: sum(bit for position, bit in self._bits.get(part, {}).items() if position in positions)
            for part, positions in left.items()
        }
        found = copy(self)
        found.of_gate = {
            gate: its._replace(positions=its.positions & masks.get(its.part, its.positions))
            for gate, its in self.of_gate.items()
        }
        return found

    def never_together(self, supply: Collection[int], ground: Collection[int]) -> set[int]:
        """Gates that lead from what could be live, or grounded, to what could not, because another contact of the same
        part must be open for them."""
        nets = self._nets
        apart = set()
        for net in range(nets.count):
            for beyond, kept_out, neighbours in (
                (supply, nets.keeps_supply_out, nets.towards_load),
                (ground, nets.keeps_ground_out, nets.towards_supply),
            ):
                if net in beyond:
                    apart |= {
                        gate
                        for other, gate in neighbours[net]
                        if gate in self.of_gate and other not in beyond and not kept_out[other]
                    }
        return apart


Standing = tuple[StandsIn, ...]
"""How the last switches on a way stand, the last one last."""

MOST_REMEMBERED = 3
"""Switches and relays of one way whose standing is remembered (judgement: those before make a longer way at most)."""
MOST_STANDINGS = 12
"""Ways to one net that are told apart by how they stand; where there are more, it is reached however all of them stand
(judgement)."""


def joined_in_some_state(
    starts: Collection[int],
    neighbours: Sequence[Neighbours],
    closes: Sequence[bool],
    kept_out: Sequence[int],
    standings: Standings,
    most_remembered: int = MOST_REMEMBERED,
) -> set[int]:
    """The nets that hang together with these over gates that close, on a way on which no part stands in two positions
    at once. What is not remembered of a way errs on the side of joining."""
    most_standings = MOST_STANDINGS * most_remembered // MOST_REMEMBERED
    found: dict[int, list[Standing]] = {}
    stack: list[tuple[int, Standing]] = []

    def come(net: int, standing: Standing) -> None:
        known = found.setdefault(net, [])
        if any(_asks_no_more(its, standing) for its in known):
            return
        if len(known) >= most_standings:
            standing = ()
        known[:] = [its for its in known if not _asks_no_more(standing, its)]
        known.append(standing)
        stack.append((net, standing))

    for net in sorted(starts):
        come(net, ())
    while stack:
        net, standing = stack.pop()
        for other, gate in neighbours[net]:
            if closes[gate] and not kept_out[other]:
                after = _after(standing, standings.of_gate.get(gate), most_remembered)
                if after is not None:
                    come(other, after)
    return set(found)


def _after(standing: Standing, its: StandsIn | None, most_remembered: int) -> Standing | None:
    """How the parts stand on a way that goes on over a contact; None where it cannot be closed then."""
    if its is None:
        return standing
    for known in standing:
        if known.part == its.part:
            positions = known.positions & its.positions
            return tuple(StandsIn(its.part, positions) if n is known else n for n in standing) if positions else None
    return (*standing, its)[-most_remembered:]


def _asks_no_more(one: Standing, other: Standing) -> bool:
    """Whether whoever stands as the other asks stands as the one asks, too."""
    return all(any(a.part == b.part and not b.positions & ~a.positions for b in other) for a in one)
