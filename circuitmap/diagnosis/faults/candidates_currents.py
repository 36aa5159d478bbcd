"""Faults that take a current of their own: something added, a part by itself, chafed wires, unfused things."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from circuitmap.diagnosis.car.added import ways_to_added
from circuitmap.diagnosis.car.currents import (
    ADDED,
    CHAFED,
    UNFUSED,
    Draw,
    drawn_by_itself,
    drawn_half_awake,
    on_each_pin,
)
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.picture import LIVE_PERHAPS, Flow, FlowKey, moments
from circuitmap.diagnosis.car.ways import Way, past_unfused, posts_from
from circuitmap.diagnosis.faults.at_work import switches_itself
from circuitmap.diagnosis.faults.chafed_wires import chafed_before_fuses
from circuitmap.diagnosis.faults.fault import Candidate, Fault, FaultSource
from circuitmap.diagnosis.faults.fault_kinds import (
    ADDED_AT_THE_FUSE,
    ADDED_FUSE,
    ADDED_NAMED,
    ADDED_OPEN_END,
    ADDED_POST,
    ADDED_TAP,
    CHAFED_FUSE,
    HALF_AWAKE,
    ON_ALL_PINS,
    PLUGGED_IN,
    STARTER_LEAKS,
    SWITCHES_ITSELF,
    UNFUSED_BEHIND_A_CONTACT,
)
from circuitmap.diagnosis.faults.own_current import own_fault, own_flow
from circuitmap.diagnosis.faults.stretches import stretches_behind
from circuitmap.power.nets import YES
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import UNFUSED_KINDS, Battery, Fuse, OpenEnd, Terminal


def added_somewhere(parked: Parked) -> Iterator[Candidate]:
    """Something on no sheet: behind a fuse that is live when parked, behind an open end, or right at a battery post."""
    for part in parked.platform.parts.values():
        there = holds(part.condition, parked.fitting)
        if there == Answer.NO or part.name in parked.absent:
            continue
        if isinstance(part, Fuse) and not part.empty and parked.speaks_for(part.name) and parked.may_try(part.name):
            way = parked.way_behind(part)
            if way is not None:
                place = parked.place_of(part.name)
                fault = own_fault("added", f"something on {place}", place, way, ADDED, there)
                yield from _in_stretches(parked, part.name, Candidate(fault, ADDED_FUSE), ADDED_AT_THE_FUSE)
        elif isinstance(part, OpenEnd) and not part.from_supply:
            for terminal in parked.circuit.terminals_of.get(part.name, ()):
                way = parked.ways.to(terminal)
                if way is not None:
                    about = next(iter(way.places), part.name)
                    fault = replace(own_fault("added", part.name, about, way, ADDED, there), place=part.name)
                    yield Candidate(fault, ADDED_OPEN_END)
        elif isinstance(part, Battery):
            for post in ("+", "mid") if part.series else ("+",):
                way = Way(posts_from(parked.circuit, Terminal(part.name, post)), frozenset({part.name}))
                name = f"something on {part.name}" if post == "+" else f"something between the batteries of {part.name}"
                weight = ADDED_POST if post == "+" else ADDED_TAP
                yield Candidate(own_fault("added", name, way.places[0], way, ADDED, there), weight)


def added_on_the_card(parked: Parked, added: tuple[tuple[str, str], ...]) -> list[Candidate]:
    """What somebody saw fitted to this car and wrote down: that it takes more than its share standing by."""
    fed_from = dict(added)
    return [
        Candidate(replace(own_fault("added", name, name, way, ADDED, Answer.YES), place=fed_from[name]), ADDED_NAMED)
        for name, way in ways_to_added(parked, added).items()
    ]


def takes_current_by_itself(parked: Parked) -> Iterator[Candidate]:
    """A part that is fed and grounded while parked and does not stop taking current. A socket takes what is plugged in
    there: that is about the fuse as much as what hangs on it anywhere else."""
    for part in parked.platform.parts.values():
        there = holds(part.condition, parked.fitting)
        if there == Answer.NO or part.kind in (*UNFUSED_KINDS, "lamp") or part.name in parked.absent:
            continue
        pins = parked.pins_of(part.name) if parked.takes_current(part.name) and parked.may_try(part.name) else []
        if not pins:
            continue
        whole, half = drawn_by_itself(part), drawn_half_awake(part)
        flows = _at_all_pins(part.name, whole, pins)
        is_socket = part.kind == "socket"
        about = next(iter(pins[0][2].places), part.name) if is_socket else part.name
        fault = Fault(
            kind="by-itself", part=part.name, about=about, odds=0.0, brings=flows, module=part.name,
            lives_by=tuple(way.through for _, _, way in pins), perhaps=there == Answer.MAY_BE,
        )  # fmt: skip
        if len(pins) == 1:
            made_to = SWITCHES_ITSELF if switches_itself(part) else 1.0
            share = HALF_AWAKE if half is not None else 0.0
            yield Candidate(fault, weight=1.0 - share, factor=PLUGGED_IN if is_socket else made_to)
            if half is not None:
                hangs = replace(fault, brings=_at_all_pins(part.name, half, pins), half_awake=True)
                yield Candidate(hangs, weight=share)
            continue
        yield Candidate(fault, weight=ON_ALL_PINS)
        for flow, (pin, level, way) in zip(flows, pins, strict=True):
            own = own_flow(flow.key, part.name, whole.spread, way, level, whole.assumed)
            its = replace(fault, brings=(own,), pin=pin, lives_by=(way.through,))
            yield Candidate(its, weight=(1.0 - ON_ALL_PINS) / len(pins))


def _at_all_pins(name: str, whole: Draw, pins: Sequence[tuple[str, int, Way]]) -> tuple[Flow, ...]:
    """What a part takes by itself, shared among all of its supply pins."""
    spread = on_each_pin(whole.spread, len(pins))
    return tuple(
        own_flow(FlowKey(name, pin, "own"), name, spread, way, level, whole.assumed)._replace(
            pins=len(pins),
            whole=moments(whole.spread, 1.0 if level == YES else LIVE_PERHAPS),
        )
        for pin, level, way in pins
    )


def chafed_behind_fuses(parked: Parked) -> Iterator[Candidate]:
    """A live wire rubbed through to ground, letting through less than its fuse takes to blow."""
    for fuse in parked.platform.fuses:
        there = holds(fuse.condition, parked.fitting)
        tried = there != Answer.NO and not fuse.empty and parked.speaks_for(fuse.name) and parked.may_try(fuse.name)
        way = parked.way_behind(fuse) if tried else None
        if way is not None:
            place = parked.place_of(fuse.name)
            fault = own_fault("chafed", f"wiring behind {place}", place, way, CHAFED, there)
            yield from _in_stretches(parked, fuse.name, Candidate(fault, CHAFED_FUSE))


def _in_stretches(parked: Parked, fuse: str, whole: Candidate, at_the_fuse: float = 0.0) -> Iterator[Candidate]:
    """What is somewhere behind a fuse, in each stretch of its wiring; `at_the_fuse` is the share of it that is there,
    whatever wires there are. All of them bring the same, and share the odds."""
    way = whole.fault.brings[0].way
    stretches = stretches_behind(parked, fuse, way)
    for its in stretches:
        share = at_the_fuse * its.at_the_fuse + (1.0 - at_the_fuse) * its.share
        part = f"{whole.fault.part}{its.where}"
        yield Candidate(replace(whole.fault, part=part, lives_by=(its.through,), ends=its.ends), whole.weight * share)
    if not stretches:
        yield whole


def unfused(parked: Parked) -> Iterator[Candidate]:
    """A leaking diode in the alternator, a starter cable: current that passes no drawing fuse. Every vehicle has them,
    typed in or not."""
    typed = [part for part in parked.platform.parts.values() if part.kind in UNFUSED_KINDS]
    for part in typed:
        there = holds(part.condition, parked.fitting)
        if there == Answer.NO or part.name in parked.absent:
            continue
        fed = parked.way_to_its_cable(part.name)
        way = fed if fed is not None else Way(posts_from(parked.circuit, Terminal("", "")), frozenset())
        before = past_unfused(parked.platform, part.name, way)
        way = way._replace(places=(part.name, *before), through=way.through | {part.name})
        weight = 1.0 if fed is not None else UNFUSED_BEHIND_A_CONTACT
        weight *= STARTER_LEAKS if part.kind == "starter" else 1.0
        yield Candidate(own_fault("unfused", part.name, part.name, way, UNFUSED, there), weight)
    for kind in UNFUSED_KINDS:
        posts = posts_from(parked.circuit, Terminal("", ""))
        if posts and not any(part.kind == kind for part in typed):
            fault = own_fault("unfused", kind, kind, Way(posts, frozenset({kind})), UNFUSED, Answer.YES)
            yield Candidate(replace(fault, undrawn=True))


CURRENTS: tuple[FaultSource, ...] = (
    FaultSource(("added",), added_somewhere),
    FaultSource(("by-itself",), takes_current_by_itself),
    FaultSource(("chafed",), chafed_behind_fuses),
    FaultSource(("chafed",), chafed_before_fuses),
    FaultSource(("unfused",), unfused),
)
