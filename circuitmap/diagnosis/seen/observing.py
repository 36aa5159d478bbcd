"""From evidence to observations: how each reading, line, scan and try bears on each fault."""

from collections.abc import Mapping, Sequence, Set
from dataclasses import replace
from types import MappingProxyType
from typing import TypeVar

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.fault_kinds import (
    HELD_DOWN_BY_LINE,
    HELD_DOWN_BY_MEMBER,
    HELD_DOWN_ELSE,
    LINE_ASLEEP_SEEN_AWAKE,
    LINE_AWAKE_SEEN,
    SILENT,
    UNSTEADY,
    ReplyChances,
)
from circuitmap.diagnosis.faults.looking import (
    INPUT_SEEN,
    INPUT_SLIP,
    INPUT_TESTED,
    RELAY_SEEN,
    relay_under,
    shown_by_looking,
)
from circuitmap.diagnosis.seen.netting import Netted, Segment
from circuitmap.diagnosis.seen.observed import Charged, LookedRound
from circuitmap.diagnosis.seen.passed_places import PassedPlaces, brought_together, in_segments
from circuitmap.diagnosis.seen.taking_off import TakenOff, asleep_behind, misread_chance, passing
from circuitmap.diagnosis.weighing.sightings import Brought, CurrentSighting, MisreadBranch, StateSighting
from circuitmap.evidence.checks_at_parts import (
    RELAY_STATES,
    InputSeen,
    InputsTested,
    RelayState,
    RelayVolts,
    SwitchTested,
)
from circuitmap.evidence.codes import Code
from circuitmap.evidence.network_lines import NetworkLine
from circuitmap.evidence.scans import ScanReply
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.platform import Platform

JOINS = 0.97
"""Chance that a current into one battery, given by another, comes through what joins the two (judgement)."""
# "Lost communication with ..." that came back after clearing, about a module: weaker than a scan (judgement).
NOT_HEARD_BACK = ReplyChances(0.05, 0.15, 0.50, 0.20)


def currents_seen(
    netted: Netted,
    faults: Sequence[Fault],
    parked: Parked,
    tree: PlaceTree,
    elsewhere: Mapping[str, float] = MappingProxyType({}),
    overlooked: Mapping[str, float] = MappingProxyType({}),
) -> list[CurrentSighting[Segment]]:
    """One observation a segment: what was read there, less what was read behind it where the explanation brings
    current to that, too. `elsewhere` are the chances that a slip shows just what was read at a place, `overlooked`
    those that a place was misread at all, where more than usual.

    A place where only "draws" or "quiet" is known takes nothing off the place above it, so what flows there is also
    in that one."""
    amounts = {segment.place: segment for segment in netted.weighed if segment.amps is not None}
    words = {segment.place: segment for segment in netted.weighed if segment.amps is None}
    behind = {place: TakenOff(netted, place, elsewhere, overlooked) for place in amounts}
    sound = parked.asleep.values()
    asleep_behind(sound, behind, tree)
    brought: dict[str, dict[int, tuple[Brought, ...]]] = {segment.place: {} for segment in netted.weighed}
    taken: dict[str, dict[int, int]] = {segment.place: {} for segment in netted.weighed}
    passed = tree.derived(PassedPlaces)
    asked = passed.asked(amounts, words)
    slips: dict[str, dict[int, MisreadBranch]] = {segment.place: {} for segment in netted.weighed}
    kept: dict[int, tuple[Mapping[str, tuple[Brought, ...]], Mapping[str, int], Mapping[str, MisreadBranch]]] = {}
    for number, fault in enumerate(faults):
        key = id(fault.brings)
        if key not in kept:
            its_passed = passed.by(fault.brings, asked)
            its_branches, more, its_slips = passing(its_passed.branches, behind)
            added = {
                place: passed.with_more(fault.brings, place, (*its_passed.brought.get(place, ()), *currents))
                for place, currents in more.items()
            }
            its_brought = {**its_passed.brought, **added} if added else its_passed.brought
            slipping = {
                place: slip._replace(brought=(*its_brought.get(place, ()), *slip.brought))
                for place, slip in its_slips.items()
            }
            kept[key] = its_brought, its_branches, slipping
        its_currents, its_branches, misread = kept[key]
        for place, currents in its_currents.items():
            brought[place][number] = currents
        for place, branches in its_branches.items():
            taken[place][number] = branches
        for place, slip in misread.items():
            slips[place][number] = slip
    asleep = in_segments(sound, amounts, tree) | in_segments(sound, words, tree)
    sightings = []
    for segment in netted.weighed:
        healthy = brought_together(asleep.get(segment.place, ()))
        its = behind.get(segment.place)
        sighting = CurrentSighting(
            label=segment,
            strip=segment.strip,
            healthy_mean=sum(current.mean for current in healthy),
            healthy_variance=sum(current.variance for current in healthy),
            brought=brought[segment.place],
            zero=segment.zero,
            misread=misread_chance(netted, segment.place, overlooked),
            elsewhere=elsewhere.get(segment.place, 0.0),
        )
        if its is not None:
            sighting = replace(
                sighting,
                strip=its.strip,
                zero=its.zero,
                healthy_mean=sighting.healthy_mean + its.healthy_mean,
                healthy_variance=sighting.healthy_variance + its.healthy_variance,
                branches=its.branches,
                taken=taken[segment.place],
                slips=slips[segment.place],
            )
        sightings.append(sighting)
    return sightings


def charging_seen(netted: Netted, faults: Sequence[Fault], tree: PlaceTree) -> list[StateSighting[Charged]]:
    """A battery that another battery charges while parked, or what hangs on one and takes more than it gives: something
    joins them."""
    seen = [Charged(reading) for reading in netted.charging]
    seen = seen or [Charged(its.reading, its.place) for its in netted.both_ends]
    found = []
    for one in seen:
        joins = {
            number: 0
            for number, fault in enumerate(faults)
            if any(f.joins_batteries and one.reading.place in tree.way_places(f.way.places) for f in fault.brings)
        }
        found.append(StateSighting(one, 1.0 - JOINS, (JOINS,), joins))
    return found


def lines_seen(
    lines: Sequence[NetworkLine], faults: Sequence[Fault], parked: Parked
) -> list[StateSighting[NetworkLine]]:
    """Network lines that were measured or listened to while the vehicle should have been asleep; one that is held down
    also with members out."""
    latest = {
        line.network: line
        for line in lines
        if line.speaks == "parked" and (not line.without or line.state == "held down")
    }
    found = []
    for network, line in latest.items():
        if line.state == "unclear":
            continue
        if line.state == "held down":
            out = set(line.without)
            its = {n: fault for n, fault in enumerate(faults) if fault.network == network and network in fault.wakes}
            held_by = {
                n: int(its_fault.kind == "chafed") for n, its_fault in its.items() if its_fault.module not in out
            }
            chances = (HELD_DOWN_BY_MEMBER, HELD_DOWN_BY_LINE)
            found.append(StateSighting(line, HELD_DOWN_ELSE, chances, held_by))
            continue
        up, down = LINE_AWAKE_SEEN, LINE_ASLEEP_SEEN_AWAKE
        if line.state == "asleep":
            up, down = 1.0 - up, 1.0 - down
        awake_anyway = parked.powered.networks.get(network, Answer.NO) == Answer.YES
        touched = {number: 0 for number, fault in enumerate(faults) if network in fault.wakes}
        found.append(StateSighting(line, up if awake_anyway else down, (up,), touched))
    return found


def replies_seen(
    replies: Sequence[ScanReply], faults: Sequence[Fault], parked: Parked
) -> list[StateSighting[ScanReply]]:
    """Which modules were silent, were unsteady or answered in the scans with the key on."""
    latest = {reply.module: reply for reply in replies}
    found = []
    for module, reply in latest.items():
        if reply.reply == "silent":
            chances = SILENT
        elif reply.reply == "unsteady":
            chances = UNSTEADY
        else:
            chances = ReplyChances(*(1.0 - a - b for a, b in zip(SILENT, UNSTEADY, strict=True)))
            chances = ReplyChances(*(max(chance, 0.01) for chance in chances))
        found.append(_about_module(reply, module, chances, faults, parked))
    return found


def looks_seen(
    looked: bool, faults: Sequence[Fault], platform: Platform, burning: Set[str] = frozenset()
) -> list[StateSighting[LookedRound]]:
    """A look all round that found nothing: what would have been easy to see is less likely. Not what lets a lamp burn
    that was found `burning` all the same: of that the look had missed the place."""
    if not looked:
        return []
    missed = {
        number: 1.0 if fault.owners & burning else round(1.0 - shown_by_looking(fault, platform), 3)
        for number, fault in enumerate(faults)
    }
    chances = sorted(set(missed.values()), reverse=True)
    rank = {chance: n for n, chance in enumerate(chances)}
    touched = {number: rank[chance] for number, chance in missed.items()}
    return [StateSighting(LookedRound(), 1.0, tuple(chances), touched)]


def relays_seen(relays: Sequence[RelayVolts], faults: Sequence[Fault]) -> list[StateSighting[RelayVolts]]:
    """A relay's volts before it was touched: held in, stuck, or open as it should be."""
    found = []
    for relay, volts in {one.relay: one for one in relays}.items():
        slip = (1.0 - RELAY_SEEN) / 2.0
        chance = {state: RELAY_SEEN if state == volts.state else slip for state in RELAY_STATES}
        order: list[RelayState] = ["stuck", "held"]
        touched = {n: order.index(state) for n, f in enumerate(faults) if (state := relay_under(f, relay)) != "open"}
        chances = tuple(chance[state] for state in order)
        found.append(StateSighting(volts, chance["open"], chances, touched))
    return found


def inputs_seen(inputs: Sequence[InputSeen], faults: Sequence[Fault]) -> list[StateSighting[InputSeen]]:
    """Inputs as the modules see them, in the live data."""
    found = []
    for part, seen in {one.part: one for one in inputs}.items():
        wrong, sound = (1.0 - INPUT_SEEN, 1.0 - INPUT_SLIP) if seen.right else (INPUT_SEEN, INPUT_SLIP)
        touched = {
            n: 0
            for n, fault in enumerate(faults)
            if fault.has("inputs") and part in (fault.part, fault.module, *fault.others)
        }
        found.append(StateSighting(seen, sound, (wrong,), touched))
    return found


def inputs_tested(tests: Sequence[InputsTested], faults: Sequence[Fault]) -> list[StateSighting[InputsTested]]:
    """What switches a part on or wakes it, tested apart: where that is fine, what the part takes has its cause in the
    part itself or its wires, and not in a switch or relay that makes it take it."""
    found = []
    for part, test in {one.part: one for one in tests}.items():
        by_input, by_itself = (1.0 - INPUT_TESTED, 1.0 - INPUT_SLIP) if test.fine else (INPUT_TESTED, INPUT_SLIP)
        touched = {
            n: 0
            for n, fault in enumerate(faults)
            if fault.part != part and ((fault.module == part and fault.has("inputs")) or _makes_take(fault, part))
        }
        found.append(StateSighting(test, by_itself, (by_input,), touched))
    return found


def switches_tested(tests: Sequence[SwitchTested], faults: Sequence[Fault]) -> list[StateSighting[SwitchTested]]:
    """A switch that was tested by itself and is fine is not what is at fault; its wire may be. One that is bad is."""
    found = []
    for part, test in {one.part: one for one in tests}.items():
        own, others = (1.0 - INPUT_SEEN, 1.0 - INPUT_SLIP) if test.fine else (INPUT_SEEN, INPUT_SLIP)
        touched = {n: 0 for n, fault in enumerate(faults) if fault.part == part}
        found.append(StateSighting(test, others, (own,), touched))
    return found


def _makes_take(fault: Fault, part: str) -> bool:
    """Whether a fault elsewhere makes a part take current, other than by keeping its network awake."""
    return not fault.wakes and fault.kind != "chafed" and part in fault.owners


def codes_seen(codes: Sequence[Code], faults: Sequence[Fault], parked: Parked) -> list[StateSighting[Code]]:
    """Codes that came back after clearing and say which module was not heard. A stored code, or one that a flat battery
    explains, says nothing about the draw."""
    about = {code.about: code for code in codes if code.standing == "back" and code.says_not_heard and code.about}
    return [_about_module(code, module, NOT_HEARD_BACK, faults, parked) for module, code in about.items()]


_Label = TypeVar("_Label", ScanReply, Code)


def _about_module(
    label: _Label, module: str, chances: ReplyChances, faults: Sequence[Fault], parked: Parked
) -> StateSighting[_Label]:
    fed = parked.fed_with_key_on(module)
    healthy = {Answer.YES: chances.healthy, Answer.MAY_BE: chances.unknown_feed, Answer.NO: chances.unfed}[fed]
    faulty = max(healthy, chances.faulty) if fed != Answer.YES else chances.faulty
    touched = {number: 0 for number, fault in enumerate(faults) if fault.module == module and fault.has("scan")}
    return StateSighting(label, healthy, (faulty,), touched)
