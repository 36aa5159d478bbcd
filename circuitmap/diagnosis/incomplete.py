"""What the answer rests on without being known: readings not taken, wires not typed in, currents assumed."""

from collections.abc import Callable, Collection, Iterable, Sequence
from math import hypot

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.picture import Flow
from circuitmap.diagnosis.diagnosis import Row
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.seen.against_zeros import ODD
from circuitmap.diagnosis.seen.choosing_readings import SetAside
from circuitmap.diagnosis.seen.netting import Netted
from circuitmap.diagnosis.seen.observed import Tried
from circuitmap.evidence.network_lines import NetworkLine
from circuitmap.evidence.readings import Reading
from circuitmap.unknown import Unknown, UnknownKind, of_all
from circuitmap.wiring.converter_words import volts_in_words
from circuitmap.wiring.fitting import Answer, needs_of
from circuitmap.wiring.parts import SECOND, Fuse, Need, OpenEnd, Terminal

COUNTS_FROM = 0.02
"""An explanation's own gaps are told from this probability on (judgement)."""
HIDES_MUCH = 0.030
KNOWN_TO = 0.3
"""To such a share of what flows above them, readings are good enough to say what is left (judgement)."""


def _why_silent(tried: Tried) -> str:
    """Why a try does not count; nobody waits for what is in again."""
    is_in = tried.why_not == "too early" and tried.attempt.back is not None
    return "too early, in again" if is_in else tried.why_not


def what_is_not_known(
    parked: Parked,
    nets: Netted,
    tried: Sequence[Tried],
    rows: Sequence[Row],
    lines: Sequence[NetworkLine] = (),
    keeps_nobody_awake: Callable[[Collection[str]], bool] = lambda _out: False,
) -> tuple[Unknown, ...]:
    """Gaps in a fixed order, each told once with all its names. What was out for nothing and keeps nobody awake is no
    gap, however early that was read."""
    found: list[Unknown] = []
    if not nets.totals:
        found.append(Unknown("no total"))
    for segment in nets.segments:
        own = segment.readings[0]
        if own.height is not None and own.draws:
            found.append(Unknown("other height", segment.place))
        elif own.amps is None and own.draws:
            found.append(Unknown("draws only", segment.place))
        elif (hidden := _hidden(nets, segment.place, own)) > HIDES_MUCH and own.resistance is not None:
            assert own.hides is not None and hidden
            found.append(
                Unknown(
                    "last digit" if own.drop and own.resistance.is_rough else "hides", segment.place, amps=own.hides
                )
            )
        if own.resistance is not None and own.resistance.is_estimate and own.shows_current:
            found.append(Unknown("by rating" if own.resistance.is_rough else "estimate", segment.place))
    found += [of_all("set aside", (a.reading.place, *a.beside), _why_aside(a), a.reading.amps) for a in nets.set_aside]
    counted = {frozenset(t.attempt.out) for t in tried if not t.why_not}  # read elsewhere, the same try says enough
    silent = [t for t in tried if t.why_not and (t.why_not == ODD or frozenset(t.attempt.out) not in counted)]
    found += [of_all("try not counted", t.attempt.out, _why_silent(t)) for t in silent]
    early = [t for t in tried if t.at_once and not (t.outcome == "stays" and keeps_nobody_awake(t.attempt.out))]
    found += [of_all("try not counted", t.attempt.out, "at once") for t in early]
    latest = {line.network: line for line in lines if line.speaks == "parked" and not line.without}
    found += [
        Unknown("line unclear", n, its.value, volts=its.volts) for n, its in latest.items() if its.state == "unclear"
    ]
    likely = [fault for row in rows if row.probability >= COUNTS_FROM for members in row.faults for fault in members]
    # Thousands of faults may keep one network awake: what they bring is one and the same.
    flows = [flow for brings in {id(fault.brings): fault.brings for fault in likely}.values() for flow in brings]
    owners = dict.fromkeys(flow.owner for flow in flows)
    unread = _unread(parked, nets, flows)
    found += _told("fuse not read", unread)
    found += _told("open end", _open_ends(parked, flows))
    found += _converters(parked, flows)
    found += _told("wires not typed in", (o for o in owners if _charted(parked, o)))
    assumed = {flow.owner for flow in flows if flow.assumed and flow.owner in parked.platform.parts}
    found += _told("current assumed", (owner for owner in owners if owner in assumed))
    modules = dict.fromkeys(name for fault in likely for name in _fed_from_nowhere(fault))
    found += _told("no supply typed", (m for m in modules if _feed_unknown(parked, m)))
    said = parked.fitting
    options = {n.option for f in likely for n in _conditions(parked, f.part, f.module)} - set(said)
    found += _told("option not said", sorted(options))
    found += _copied(parked, rows)
    return tuple(found)


def _fed_from_nowhere(fault: Fault) -> tuple[str, ...]:
    """What a fault is at, of which it matters what feeds it: its module, or what the wire feeds that is chafed."""
    if fault.module:
        return (fault.module,)
    return fault.others if fault.kind == "chafed" and fault.ends and fault.state is None else ()


def _feed_unknown(parked: Parked, module: str) -> bool:
    """Whether nobody knows if a module is fed; not of one that others pass a current on to."""
    return parked.fed_if_fitted(module) == Answer.MAY_BE and module not in parked.powered.in_series


def _why_aside(aside: SetAside) -> str:
    """Why a reading is set aside; what was read with the key on did not come too early, and need not be read again."""
    return "in use" if aside.reading.in_use and aside.why in ("early", "woken") else aside.why


def _hidden(nets: Netted, place: str, own: Reading) -> float:
    """How much a reading of nothing may hide, in A: no more than is left of what the place above it carries, if what
    was found beside it is known well enough to be taken off that."""
    if own.hides is None:
        return 0.0
    above = next((name for name, its in nets.fixed.items() if place in its), None)
    whole = nets.measured.get(above) if above is not None else None
    if whole is None or whole.amps is None:
        return own.hides
    carries, *beside = whole.readings
    off = hypot(*(r.half_step + 2.0 * hypot(r.relative * (r.amps or 0.0), r.zero) for r in beside if r.shows_current))
    known = off <= KNOWN_TO * abs(carries.amps or 0.0)
    return min(own.hides, max(whole.amps, 0.0) + carries.half_step) if known else own.hides


def cut_off(left_out: Iterable[str], not_weighed: int, not_compared: int) -> tuple[Unknown, ...]:
    """Faults that nobody looked at, or that were not weighed, and steps that were not compared, because there were too
    many."""
    found = _told("faults cut off", left_out)
    if not_weighed:
        found.append(Unknown("pairs cut off", detail=str(not_weighed)))
    if not_compared:
        found.append(Unknown("steps cut off", detail=str(not_compared)))
    return tuple(found)


def _copied(parked: Parked, rows: Sequence[Row]) -> list[Unknown]:
    """The networks that a likely explanation rests on, and whose members nobody checked against the sheet."""
    faults = [fault for row in rows if row.probability >= COUNTS_FROM for its in row.faults for fault in its]
    names = dict.fromkeys(name for fault in faults for name in (fault.network, *sorted(fault.wakes)) if name)
    origins: dict[str, list[str]] = {}
    for name in names:
        network = parked.platform.networks.get(name)
        if network is not None and network.copied:
            origins.setdefault(network.copied, []).append(name)
    return [of_all("copied", tuple(its), origin) for origin, its in origins.items()]


def _told(kind: UnknownKind, names: Iterable[str]) -> list[Unknown]:
    its = tuple(dict.fromkeys(names))
    return [of_all(kind, its)] if its else []


def _unread(parked: Parked, nets: Netted, likely: Iterable[Flow]) -> list[str]:
    measured = nets.measured
    wanted = {place for flow in likely for place in flow.way.places[:1]}
    unread = (p for p in wanted if p not in measured and parked.place_of(p) not in measured)
    return sorted(p for p in unread if isinstance(parked.platform.parts.get(p), Fuse))


def _open_ends(parked: Parked, likely: Iterable[Flow]) -> list[str]:
    """Open ends on the live side of the likely currents."""
    nets = parked.powered.nets
    number = parked.circuit.number
    through = {place for flow in likely for place in flow.way.places[:1]}
    pieces = {nets.net_of[number[t]] for place in through if (t := Terminal(place, SECOND)) in number}
    found = []
    for part in parked.platform.parts.values():
        if isinstance(part, OpenEnd) and not part.from_supply:
            terminals = parked.circuit.terminals_of.get(part.name, ())
            if any(nets.net_of[number[t]] in pieces for t in terminals):
                found.append(part.name)
    return sorted(found)


def _converters(parked: Parked, likely: Iterable[Flow]) -> list[Unknown]:
    """Outputs that likely currents come through, and whose volts only their modules' words tell."""
    through = frozenset[str]().union(*(flow.way.through for flow in likely))
    its = ((output, volts_in_words(parked.platform, output)) for output in parked.platform.outputs)
    return [Unknown("volts in words", o.contact, f"{volts:g} V") for o, volts in its if volts and o.contact in through]


def _charted(parked: Parked, owner: str) -> bool:
    wires = parked.platform.wires_at.get(owner, ())
    return bool(wires) and all(wire.kind == "chart" for wire in wires)


def _conditions(parked: Parked, *names: str) -> Iterable[Need]:
    """The equipment that these parts come with, by their own statements or by those of all their wires."""
    for name in names:
        yield from needs_of(parked.platform, name)
