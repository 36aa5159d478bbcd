"""What flows between two batteries that a fault joins: the other battery's loads have two feeders then, and each gives
a share of what they take; what more there is charges the emptier one."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from circuitmap.diagnosis.car.currents import BETWEEN_BATTERIES
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.picture import Flow, FlowKey, moments
from circuitmap.diagnosis.car.ways import Way
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.power.evaluate import Powered
from circuitmap.power.nets import YES

SHARE, SHARE_SQUARED = 1.0 / 2.0, 1.0 / 3.0
"""The mean share of a load that one of two joined batteries gives, and the mean of its square: any share is as likely,
since their charge and the cables decide (judgement)."""
RUNS = 0.05
"""In A: a sound part that takes less is asleep, and what is shared of that is not told (judgement)."""


def joining_batteries(parked: Parked, after: Powered, own: str = "") -> tuple[Flow, ...]:
    """What flows between batteries through a fault's own contact, and through those of relays that it pulls in."""
    if not parked.has_several_batteries:
        return ()
    newly = pulled_in(parked, after)
    found: tuple[Flow, ...] = ()
    for contact, links in parked.circuit.contacts.items():
        if contact == own or contact.rpartition(".")[0] in newly:
            found += _through_a_contact(parked, after, contact, links)
    return found


def _through_a_contact(parked: Parked, powered: Powered, contact: str, links: tuple[int, ...]) -> tuple[Flow, ...]:
    """What flows through a contact that joins two batteries that the parked vehicle keeps apart."""
    found = []
    nets, before, after = powered.nets, parked.powered.settled.reach, powered.settled.reach
    for link in links:
        a, b = (nets.net_of[end] for end in parked.circuit.ends[link])
        if not (before.supply[a] and before.supply[b]) or before.supply[a] & before.supply[b]:
            continue
        if not after.supply[a] & after.supply[b]:
            continue
        for end in parked.circuit.ends[link]:
            way = parked.ways.to_node(end)
            if way is not None:
                mean, variance = moments(BETWEEN_BATTERIES, 0.5)
                part = parked.circuit.links[link].part
                way = way._replace(through=way.through | {part, contact})
                key = FlowKey(contact, str(parked.circuit.nodes[end]), "between")
                found.append(Flow(key, part, mean, variance, way, True))
    running = [flow for flow in (*parked.asleep.values(), *parked.at_work.values()) if flow.mean >= RUNS]
    shared = (flow for flow in _of_what_takes(found, running) if flow.key not in {its.key for its in found})
    return (*found, *shared)


def pulled_in(parked: Parked, after: Powered) -> frozenset[str]:
    """The relays that a state holds in and the parked vehicle does not."""
    standing, before = after.settled.standing.relays, parked.powered.settled.standing.relays
    return frozenset(r for r, n in parked.plan.relay_number.items() if standing[n] == YES and before[n] != YES)


def drawing_from_both(joins: Fault, takes: Fault) -> Fault | None:
    """A fault that joins two batteries together with one that takes current from one of them: what the joined one gives
    besides is a share of that, and goes with it; with the contact open it all comes from its own battery. None where
    the one joins nothing, or the other takes from neither, or joins them as well."""
    crossing = [flow for flow in joins.brings if flow.joins_batteries]
    if not crossing or any(flow.joins_batteries for flow in takes.brings):
        return None
    shared = _of_what_takes(crossing, takes.brings)
    if not shared:
        return None
    alone = tuple(flow for flow in joins.brings if not flow.joins_batteries)
    both = {flow.key: flow for flow in (*alone, *takes.brings, *shared)}
    return replace(
        takes, brings=tuple(both.values()), state=None, wakes=joins.wakes | takes.wakes, odds=0.0,
        of=(replace(joins, brings=alone), takes),
    )  # fmt: skip


def _of_what_takes(crossing: Sequence[Flow], takes: Sequence[Flow]) -> tuple[Flow, ...]:
    """The currents through a contact, as shares of what hangs on the far side of each, and ending with it. Out of
    the battery on whose side it hangs itself nothing crosses, unless that one is the fuller."""
    found: list[Flow] = []
    for flow in crossing:
        far = [
            (its, other.way) for other in crossing for its in takes if _hangs_beyond(its, flow.way, other.way)
        ]  # fmt: skip
        found += (_share_of(its, flow, way) for its, way in far)
        if not far:
            near = [its for its in takes if any(_hangs_beyond(its, other.way, flow.way) for other in crossing)]
            if near:
                common = frozenset.intersection(*(its.way.through for its in near))
                way = flow.way._replace(through=flow.way.through | common)
                found.append(flow._replace(mean=0.0, variance=0.0, way=way))
    taken = {flow.key.owner for flow in found if flow.mean > 0.0}
    return tuple(found) if taken else ()


def _hangs_beyond(its: Flow, here: Way, there: Way) -> bool:
    """Whether a current comes from the battery at the end of one way, and not from that of another."""
    if not (its.way.places and here.places and there.places):
        return False
    post = its.way.places[-1]
    return post == there.places[-1] != here.places[-1]


def _share_of(its: Flow, crossing: Flow, there: Way) -> Flow:
    """What of a current comes over from the other battery; of a fault's own current, the size of which nobody knows, as
    much as may flow between two batteries at all. It passes all from that battery to the contact, and all from the
    contact on to the load: of the ways from the load's own battery to the two (`there` is that to the contact) what
    they do not have in common."""
    mean, variance = crossing.mean, crossing.variance
    if its.key.taken != "own":
        mean = SHARE * its.mean
        variance = SHARE_SQUARED * (its.variance + its.mean**2) - mean**2
    onward = there.through ^ its.way.through
    way = crossing.way._replace(through=crossing.way.through | onward)
    pin = f"{crossing.key.pin} to {its.key.owner}.{its.key.pin}.{its.key.taken}"
    return crossing._replace(key=crossing.key._replace(pin=pin), mean=mean, variance=variance, way=way)


def both_drawn_from(faults: Sequence[Fault]) -> Iterator[tuple[int, int, Fault]]:
    """For each fault that joins two batteries and each other that takes current from one of them their numbers and the
    fault that stands for the two; the likeliest first."""
    joining = [n for n, fault in enumerate(faults) if any(flow.joins_batteries for flow in fault.brings)]
    pairs = sorted((-faults[a].odds * faults[b].odds, a, b) for a in joining for b in range(len(faults)) if a != b)
    for _, a, b in pairs:
        fault = drawing_from_both(faults[a], faults[b])
        if fault is not None:
            yield a, b, fault
