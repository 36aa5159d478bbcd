"""Relays of which the sheets tell what feeds them, and nothing of what they switch, as a fuse chart does: each is there
to switch something on."""

from collections.abc import Iterable, Iterator

from circuitmap.diagnosis.car.currents import RUNNING_BY_KIND, coil_spread, is_coil_typed
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.picture import NOTHING_WHEN_FED, Flow, FlowKey, moments
from circuitmap.diagnosis.car.relays_at_rest import has_a_wire
from circuitmap.diagnosis.car.ways import Way
from circuitmap.diagnosis.faults.fault import Candidate, Fault, FaultSource
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import Relay


def relays_by_feed(parked: Parked) -> Iterator[Candidate]:
    """A contact stuck that feeds what nobody typed in; and the same relay held in, where its coil is fed and nobody
    typed in what controls it."""
    for relay in parked.platform.parts.values():
        if not isinstance(relay, Relay) or relay.flashes or relay.name in parked.absent:
            continue
        there = holds(relay.condition, parked.fitting)
        load = _what_it_switches(parked, relay) if there != Answer.NO else None
        if load is None or not parked.may_try(relay.name):
            continue
        perhaps, its = there == Answer.MAY_BE, frozenset({relay.name})
        contact = _contacts_of(parked, relay.name)[0]
        stuck = Fault(
            kind="contact", part=relay.name, about=relay.name, odds=0.0, brings=(load,), contact=contact,
            lives_by=(its,), perhaps=perhaps,
        )  # fmt: skip
        yield Candidate(stuck)
        coil = _coil_without_control(parked, relay)
        if coil is not None:
            held = load._replace(way=load.way._replace(through=load.way.through | coil.way.through))
            held_in = Fault(
                kind="coil", part=relay.name, about=relay.name, odds=0.0, brings=(coil, held), contact=relay.name,
                lives_by=(its,), perhaps=perhaps, undrawn=True,
            )  # fmt: skip
            yield Candidate(held_in)


def and_what_they_switch(parked: Parked, flows: Iterable[Flow]) -> tuple[Flow, ...]:
    """Currents, and what flows through the relays whose coils are among them where nobody typed in what those
    switch."""
    found = tuple(flows)
    for flow in found:
        relay = parked.platform.parts.get(flow.owner) if flow.holds_a_relay else None
        load = _what_it_switches(parked, relay) if isinstance(relay, Relay) and not relay.flashes else None
        if load is not None:
            found += (load._replace(way=load.way._replace(through=load.way.through | flow.way.through)),)
    return found


def _what_it_switches(parked: Parked, relay: Relay) -> Flow | None:
    """The current through a relay, one side of which is live when parked, and on whose other sides no wire is typed
    in. None where some side has a wire: then the others may well be free."""
    circuit = parked.circuit
    ends = {
        end
        for contact in _contacts_of(parked, relay.name)
        for i in circuit.contacts[contact]
        for end in circuit.ends[i]
    }
    wired = [end for end in sorted(ends) if has_a_wire(parked.circuit, end)]
    if len(wired) != 1 or len(ends) < 2:
        return None
    way = parked.ways.to_node(wired[0])
    if way is None or not way.known:
        return None
    way = way._replace(through=way.through | {relay.name})
    load = moments(RUNNING_BY_KIND["load"])
    return Flow(FlowKey(relay.name, "", "running"), relay.name, *load, way, True, nothing=NOTHING_WHEN_FED)


def _contacts_of(parked: Parked, relay: str) -> list[str]:
    links = parked.circuit.links
    return list(dict.fromkeys(links[i].contact for i in parked.plan.relay_contacts if links[i].part == relay))


def _coil_without_control(parked: Parked, relay: Relay) -> Flow | None:
    """The current of a coil one side of which is live when parked, the other being on no sheet."""
    for coil in parked.plan.coils:
        ends = (coil.plus, coil.minus)
        wired = [end for end in ends if has_a_wire(parked.circuit, end)]
        way: Way | None = parked.ways.to_node(wired[0]) if coil.relay == relay.name and len(wired) == 1 else None
        if way is not None and way.known:
            its = moments(coil_spread(relay))
            way = way._replace(through=way.through | {relay.name})
            return Flow(FlowKey(relay.name, "", "coil"), relay.name, *its, way, not is_coil_typed(relay))
    return None


BY_FEED = (FaultSource(("contact", "coil"), relays_by_feed),)
