"""The catalogue of cautions: what each says, at which steps and on which condition, and where it comes from.

All are common practice of the trade, no source, unless one says otherwise; none of them replaces the vehicle maker's
procedure, local rules or licensed practice.
"""

from collections.abc import Iterable, Mapping, Sequence, Set
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal, NamedTuple, get_args

from circuitmap.diagnosis.next_test.doing import MOST_TOLD, Doing, done_by
from circuitmap.reports.words.cautions_of_the_job import FOR_THE_JOB
from circuitmap.reports.words.paragraphs import WIDTH, joined, wrapped
from circuitmap.reports.words.sides_words import what_to_open
from circuitmap.wiring.at_battery import bolted_at_battery, hangs_on_post, has_fused_cable
from circuitmap.wiring.between_batteries import live_from_both
from circuitmap.wiring.care import care_by_name, care_of
from circuitmap.wiring.parts import UNFUSED_KINDS, Battery, Care, Fuse, Part, Relay, Switch
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.usual import ARCING_VOLTS, has_engine, has_higher_voltage

if TYPE_CHECKING:
    from circuitmap.circuit.switched import Switching
    from circuitmap.diagnosis.next_test.handling import Action

StepKind = (
    Doing
    | Literal[
        "series", "prove", "prove-switch", "prove-wire", "prove-unfused", "night-log", "battery-rest", "charging",
        "wire-ohms", "drop-test", "refit", "charge-battery", "live-volts", "switch-on",
        "blown-fuse", "own-plug", "wetting", "coupling", "wiggle", "fed-backwards",
    ]
)  # fmt: skip
"""A step of the next test, or one that a report or a card asks for."""

Trait = (
    Care
    | Literal[
        "battery", "unfused", "thick-cable", "bolted-at-battery", "on-the-post", "heavy", "higher-volts",
        "arcing-volts", "several-batteries", "live-from-both", "gas-and-its-alarm", "no-engine",
    ]
)  # fmt: skip
"""What is the case at a step: something to take care of at a part that it touches, or in the vehicle."""

PRACTICE = "common practice, no source"

_TAKES_OUT = (*done_by("parting", "pulling"), "prove")
_PARTS = (*done_by("parting"), "prove")
_TURNS = (*_TAKES_OUT, "prove-switch", "prove-wire")
"""Steps that start or stop something, be it what hangs behind the part."""
_AT_METAL = (*done_by("probes"), "wire-ohms", "drop-test", "series", "live-volts")


class Caution(NamedTuple):
    """`at` are the kinds of step that it belongs to; any one of `when` must be the case there; empty: always; and none
    of `but`, where another caution says it of both."""

    code: str
    words: str
    at: frozenset[str]
    when: frozenset[Trait] = frozenset()
    source: str = PRACTICE
    but: frozenset[Trait] = frozenset()


def _caution(
    code: str,
    words: str,
    at: Sequence[str],
    when: Sequence[Trait] = (),
    source: str = PRACTICE,
    but: Sequence[Trait] = (),
) -> Caution:
    return Caution(code, words, frozenset(at), frozenset(when), source, frozenset(but))


CAUTIONS: tuple[Caution, ...] = (
    # What holds something up, burns, or may move comes first: this is what hurts people.
    _caution("holds-load", "Secure what it holds up first: lift down, trailer chocked, air springs supported.",
             _TURNS, ("holds-load",)),
    _caution("tows", "Chock the trailer first; its brakes and lamps may go with the supply.", _TURNS, ("tows",)),
    _caution("burns-fuel", "Fuel-fired: let it run down first; exhaust hot and poisonous; stop if fuel leaks.",
             (*_TURNS, "look", "follow"), ("burns-fuel",)),
    _caution("holds-fuel", "Fuel is there: no flame, no spark, nothing aglow; place aired; stop if any has leaked.",
             (*_PARTS, "prove-switch", "prove-wire", "input-volts", "load-volts", "follow", "look-at", "wiggle",
              "live-volts"), ("holds-fuel",), but=("burns-fuel",)),
    _caution("burns-gas", "Gas shut at the bottle first, alarm left on; the gas side is for licensed people.",
             _TURNS, ("burns-gas",), but=("gas-and-its-alarm",)),
    _caution("gas-alarm", "It warns of gas: gas shut while it is out; back in service before anybody sleeps there.",
             (*_TURNS, "battery-rest"), ("gas-alarm",), but=("gas-and-its-alarm",)),
    _caution("gas-and-its-alarm", "What burns gas goes out, and so does its alarm: gas shut at the bottle first, and "
             "kept shut as long as either is out; the place aired; the alarm back in service before anybody sleeps "
             "there; the gas side is for licensed people.", (*_TURNS, "battery-rest"), ("gas-and-its-alarm",)),
    _caution("starts-itself", "It may start by itself: hands, hair and tools clear.",
             (*_TURNS, "relay-volts", "input-volts", "load-volts", "asked-volts", "live-volts", "switch-on", "refit"),
             ("starts-itself",)),
    _caution("hot", "It may be hot: let it cool.",
             (*_PARTS, "prove-switch", "prove-wire", "input-volts", "load-volts", "asked-volts"), ("hot",)),
    _caution("own-battery", "It has a battery of its own: it may sound, or stay live, when unplugged.",
             _TAKES_OUT, ("own-battery",)),
    _caution("feeds-in", "It may feed the car: if it has a mains lead, that out; a panel off first, then the "
             "regulator's battery side.", _TAKES_OUT, ("feeds-in",)),
    _caution("locks-doors", "A window down and the key outside before it loses its supply.",
             _TAKES_OUT, ("locks-doors",)),
    _caution("unfused", "That cable has no fuse: ground lead off before it is touched, on last.",
             (*_TAKES_OUT, "prove-unfused", "refit"), ("unfused",)),
    _caution("thick-cable", "Its cable is thick, its fuse large: ground lead off before it is touched, on last.",
             (*_TAKES_OUT, "prove-unfused", "refit"), ("thick-cable",)),
    _caution("unfused-clamp", "That cable has no fuse: only the clamp goes to it.",
             ("clamp", "finer-clamp", "read-again"), ("unfused",)),
    _caution("bolted-at-battery", "Bolted straight on the battery: place aired first (its gas), no sparks, no flames; "
             "eyes; ground lead off first, on last.", (*_TAKES_OUT, "refit"), ("bolted-at-battery",)),
    _caution("on-the-post", "It hangs on the battery's post, with no fuse that is known: place aired first (its gas), "
             "no sparks, no flames; eyes; ground lead off first, on last; never left in without a fuse at the post: "
             "chafed, its lead burns.", (*_TAKES_OUT, "refit"), ("on-the-post",)),
    _caution("live-from-both", "Live from both sides, each from a battery of its own, also when it is open: {sides}. "
             "Wrap each end by itself; no tool from one end to the other or to metal; never bridge it.",
             (*_TAKES_OUT, "refit", "bridge"), ("live-from-both",)),
    _caution("heavy", "Heavy feed: first {first}, load off; it arcs if parted under load.",
             ("connector", "unplug", "plug"), ("heavy",)),
    _caution("arcs-at-socket", "Its load is heavy: first {first}; pulled under load it arcs at its socket.",
             ("pull-relay", "prove"), ("heavy",)),
    _caution("arcing", "{volts:g} V: an arc does not go out by itself. Supply off first, by the maker's procedure.",
             (*_TAKES_OUT, "prove-unfused", "battery-rest"), ("arcing-volts",)),
    # What is done with the meter.
    _caution("battery", "At the battery no sparks, no flames; eyes. Its leads stay on: off, they erase the fault.",
             ("clamp", "finer-clamp", "read-again", "zero-again", "at-the-post"), ("battery",)),
    _caution("at-the-post", "No fuse there: no metal tool from one post to the other or to the body; nothing comes off "
             "before the ground lead is off, which goes on last.", ("at-the-post",)),
    _caution("zero-first", "Zero just before and after moving; one conductor in the jaws.", done_by("clamp")),
    _caution("probe-fuse", "Leads zeroed, in the volts sockets; both test points of that fuse, no slip to a neighbour.",
             ("read-fuse", "read-box", "leads-again")),
    _caution("read-twice", "Leads or clamp zeroed just before; nothing moved since the reading that is doubted.",
             ("read-again",)),
    _caution("zero-clamp", "Zero just before and after moving; one conductor in the jaws, jaws clean and closed.",
             ("series", "night-log")),
    _caution("in-series", "Meter in series: 10 A range, never mA; make and break with a fused jumper; never crank, no "
             "big loads; 0.00 A may be the meter's own fuse.", ("series",)),
    _caution("probe-back", "Probe from behind, pierce nothing; never bridge a fuse or fit a bigger one.",
             ("relay-volts", "input-volts", "load-volts", "asked-volts", "network-line", "drop-test", "live-volts")),
    _caution("switched-on", "What is switched on may move or get hot: keep clear of it.", ("switch-on",)),
    _caution("open-ground", "The far side of an open ground stands at battery volts: it is not dead.",
             ("live-volts",)),
    _caution("blown", "A fuse that blew blew for a reason: find the short before the next one goes in; same rating.",
             ("blown-fuse",)),
    _caution("jumper", "Load off before a plug is parted; a jumper only with a fuse in it, never across a fuse.",
             ("live-volts", "bridge")),
    _caution("no-ohms-live", "Ohms only on a wire without supply, both its ends free; pierce nothing.", ("wire-ohms",)),
    _caution("higher-volts", "{volts:g} V: meter, leads and fuses must be made for it (58 V types).",
             (*_AT_METAL, "clamp", "finer-clamp", "zero-again", "at-the-post", "battery-rest"), ("higher-volts",)),
    _caution("wakes", "A scan wakes the car: wait its full time before the next reading.", done_by("scan tool")),
    _caution("look-round", "Hands off fans, belts and hot parts; secured before anybody goes under it.",
             done_by("eyes")),
    # What would be lost.
    _caution("before-pulling", "Write the reading down, save codes and settings: a refit can hide the fault.",
             done_by("pulling")),
    _caution("before-parting", "Write the reading down, save codes and settings, load off: a refit can hide the fault.",
             _PARTS),
    _caution("switch", "Leave it as it was found until the reading is written down.", ("prove-switch",)),
    _caution("fed-backwards", "By a fuse too many what hangs here may be live with the key off, fed backwards: take "
             "nothing there for dead; part it with that fuse out only.", ("fed-backwards",)),
    _caution("freed", "Fuse out before a rubbed wire is moved by hand: it may spark.", ("prove-wire",)),
    _caution("wiggle", "A rubbed wire moved live may spark: place aired, nothing that burns near it, not at the "
             "battery (its gas); held by its sound insulation only.", ("wiggle",)),
    _caution("once", "Not out, in, out: one clamp reading, then one disconnection, ground lead off first and on last.",
             ("prove-unfused",)),
    _caution("night", "Alarm, lift and heater set as the driver leaves them; meter leads where nobody can pull them.",
             ("night-log",)),
    _caution("battery-alone", "At the battery no sparks, no flames; eyes; air the place. Frozen it is neither charged "
             "nor jump-started. Its leads stay on until no draw is shown; then ground lead off first, on last.",
             ("battery-rest", "charge-battery")),
    _caution("several-batteries", "More than one battery, solar or mains hook-up: one ground lead off does not make "
             "the car dead.", ("battery-rest", "charge-battery", "prove-unfused"), ("several-batteries",)),
    _caution("running", "Engine running: brake on, out of gear, exhaust led out, hands and leads clear of belts and "
             "fans.", ("charging",), but=("no-engine",)),
    _caution("ready", "Ready to drive: brake on, in park, nobody in front or behind; nothing orange is touched.",
             ("charging",), ("no-engine",)),
    _caution("own-plug", "Only by its own plug or switch, never where it is tapped or spliced in, with dry hands; a "
             "damaged plug or lead is left alone.", ("own-plug",)),
    _caution("wetting", "Water from outside, as rain: no jet; nothing opened for it, no water to orange cables, "
             "chargers, gas or restraint parts, or boxes.", ("wetting",)),
    _caution("coupling", "Brakes on, both chocked; nobody between vehicle and trailer while it moves.", ("coupling",)),
    _caution("refit", "Load off while it goes back in; same fuse, same rating.", ("refit",)),
)  # fmt: skip


class Told(NamedTuple):
    """A caution at a step, ready to be shown."""

    code: str
    text: str


def cautions_at(
    platform: Platform,
    step: StepKind,
    parts: Iterable[str] = (),
    first: str = "",
    switched: Mapping[str, bool] = MappingProxyType({}),
    fed_from: Mapping[str, str] = MappingProxyType({}),
) -> tuple[Told, ...]:
    """What to take care of at a step that touches these parts. `first` is what has to come out before a heavy feed is
    parted, as an instruction; empty: nothing has to. `switched` are the loads that start or stop with it, each with
    whether it loses its supply or is only told to stop (`circuit/switched.py`): what holds for them comes with
    their names, after what holds for the parts themselves, and is not said again. `fed_from` is what is on no sheet,
    each with what feeds it: what holds where its cable ends holds for it, too."""
    names = tuple(parts)
    counts = frozenset(get_args(Care)) if len(switched) <= MOST_TOLD else CAN_HURT
    others = {load: _care(platform, load, fed) & counts for load, fed in switched.items() if load not in names}
    theirs = {load: care for load, care in others.items() if care}
    all_theirs = frozenset[Trait]().union(*theirs.values())
    named = (name for name in names if not _is_called_after(platform, name, all_theirs))
    traits = traits_at(platform, named, fed_from)
    if step == "battery-rest":  # with both leads off nothing that warns of gas is fed
        traits |= _of_gas(platform)
    if first:
        traits |= {"heavy"}
    if any(live_from_both(platform, name) is not None for name in names):
        traits |= {"live-from-both"}
    told = _told(platform, step, traits, first, names)
    both = _told(platform, step, _with_both(traits | all_theirs), first, names) if theirs else told
    more = [one for one in both if one not in told]
    if not more:
        return told
    when = _when({one.code for one in more})
    whose = sorted(load for load, care in theirs.items() if care & when)
    those = joined(whose) if len(whose) <= MOST_SWITCHED else "What hangs behind"
    starts = "start or stop" if 1 < len(whose) <= MOST_SWITCHED else "starts or stops"
    kept = [one for one in told if one in both]
    own = [one for one in kept if _when({one.code})]
    return (*own, Told("switched", f"{those} {starts} with it."), *more, *(one for one in kept if one not in own))


MOST_SWITCHED = 3
"""More loads that start or stop with something are not named one by one (our own choice)."""
CAN_HURT: frozenset[Care] = frozenset(
    ("holds-load", "tows", "burns-fuel", "burns-gas", "gas-alarm", "feeds-in", "starts-itself")
)
"""What hurts somebody where it starts or stops, and is told however much else does (judgement)."""
_WHEN_TOLD: frozenset[Care] = frozenset(("starts-itself", "burns-fuel", "burns-gas", "hot", "holds-load"))
"""What to take care of at a load that is only told to run or stop, and keeps its supply."""


def _told(platform: Platform, step: StepKind, traits: Set[Trait], first: str, names: Sequence[str]) -> tuple[Told, ...]:
    sides = what_to_open(platform, names) if "live-from-both" in traits else ""
    return tuple(
        Told(caution.code, caution.words.format(volts=platform.supply_volts, first=first, sides=sides))
        for caution in CAUTIONS
        if step in caution.at and (not caution.when or caution.when & traits) and not caution.but & traits
    )


def _care(platform: Platform, load: str, fed: bool) -> frozenset[Trait]:
    care = care_of(platform.parts[load])
    return frozenset(care if fed else care & _WHEN_TOLD)


def _is_called_after(platform: Platform, name: str, theirs: frozenset[Trait]) -> bool:
    """Whether the words of a switch or relay only tell what it switches: a heater's switch is not hot."""
    part = platform.parts.get(name)
    return isinstance(part, Switch | Relay) and care_of(part) <= theirs


def _when(codes: Set[str]) -> frozenset[Trait]:
    of_both = frozenset[Trait](("burns-gas", "gas-alarm")) if "gas-and-its-alarm" in codes else frozenset[Trait]()
    return of_both.union(*(caution.when for caution in CAUTIONS if caution.code in codes))


def _with_both(traits: frozenset[Trait]) -> frozenset[Trait]:
    return traits | {"gas-and-its-alarm"} if traits >= {"burns-gas", "gas-alarm"} else traits


def all_switched(switching: "Switching", parts: Iterable[str]) -> dict[str, bool]:
    """The loads that start or stop with any of these parts."""
    found: dict[str, bool] = {}
    for part in parts:
        for load, fed in switching.by(part).items():
            found[load] = found.get(load, False) or fed
    return found


def traits_at(
    platform: Platform, parts: Iterable[str], fed_from: Mapping[str, str] = MappingProxyType({})
) -> frozenset[Trait]:
    """What is the case at these parts, and in the vehicle; `fed_from` as in `cautions_at`."""
    found: set[Trait] = set()
    names = tuple(parts)
    if any(name in fed_from and hangs_on_post(platform, fed_from[name]) for name in names):
        found.add("on-the-post")
    if any(isinstance(platform.parts.get(name), Fuse) for name in names) and bolted_at_battery(platform) & {*names}:
        found.add("bolted-at-battery")
    for name in names:
        if _part(platform, name) is None:
            found |= care_by_name(name.replace("_", " "))
    for part in (part for name in names if (part := _part(platform, name)) is not None):
        found |= care_of(part)
        if part.kind == "battery":
            found.add("battery")
        if part.kind in UNFUSED_KINDS:
            found.add("thick-cable" if has_fused_cable(platform, part.name) else "unfused")
    if has_higher_voltage(platform):
        found.add("higher-volts")
    if not has_engine(platform):
        found.add("no-engine")
    if platform.supply_volts > ARCING_VOLTS:
        found.add("arcing-volts")
    if sum(2 if part.series else 1 for part in platform.parts.values() if isinstance(part, Battery)) > 1:
        found.add("several-batteries")
    return _with_both(frozenset(found))


def _of_gas(platform: Platform) -> set[Trait]:
    """What of gas hangs on the vehicle's batteries."""
    cares: set[Trait] = {care for part in platform.loads for care in care_of(part)}
    gas: set[Trait] = cares & {"gas-alarm", "burns-gas"}
    return gas | {"gas-and-its-alarm"} if len(gas) == 2 else gas & {"gas-alarm"}


def _part(platform: Platform, name: str) -> Part | None:
    while name and name not in platform.parts:
        name = name.rpartition(".")[0]
    return platform.parts.get(name)


def cautions_of(
    platform: Platform,
    switching: "Switching",
    action: "Action",
    fed_from: Mapping[str, str] = MappingProxyType({}),
) -> tuple[Told, ...]:
    """What to take care of at a step of the next test; `fed_from` as in `cautions_at`."""
    first = ""
    if action.cut_first:
        fuses = [name for name in action.cut_first if isinstance(platform.parts.get(name), Fuse)]
        first = f"{joined(fuses)} out" if len(fuses) == len(action.cut_first) else "the ground lead off"
    turns = action.doing != "asked-volts"  # what a pin only listens to is not turned by a probe at it
    switched = all_switched(switching, action.parts) if turns else {}
    return cautions_at(platform, action.doing, action.touches, first, switched, fed_from)


def proof_step(platform: Platform, part: str) -> StepKind:
    """How a part is proven to be the cause."""
    its = platform.parts.get(part)
    if isinstance(its, Switch):
        return "prove-switch"
    if its is None:
        return "prove-wire"
    return "prove-unfused" if its.kind in UNFUSED_KINDS else "prove"


def caution_lines(told: Sequence[Told], width: int = WIDTH, indent: str = "      ") -> list[str]:
    """The cautions of a step, to stand right below it."""
    if not told:
        return []
    return wrapped(" ".join(_each_once(told)), f"{indent}! ", f"{indent}  ", width)


def _each_once(told: Sequence[Told]) -> list[str]:
    """The words of each, without those that another one says with more to it."""
    words = list(dict.fromkeys(caution.text for caution in told))
    return [one for one in words if not any(o != one and o.startswith(one.removesuffix(".")) for o in words)]


def caution_sentences(told: Sequence[Told]) -> list[str]:
    """The same as one sentence of a section, with the sign that all cautions have; empty where there are none."""
    return [f"! {' '.join(_each_once(told))}"] if told else []


def measuring_cautions(platform: Platform) -> tuple[str, ...]:
    """Cautions for a whole round of readings: fuses, feeders, the battery."""
    batteries = [part.name for part in platform.parts.values() if isinstance(part, Battery)]
    steps: tuple[StepKind, ...] = ("read-fuse", "clamp", "series")
    told = dict.fromkeys(told for step in steps for told in cautions_at(platform, step, batteries))
    return (*FOR_THE_JOB, *(caution.text for caution in told))


def caution_json(told: Sequence[Told]) -> list[dict[str, str]]:
    """The same as data: its code and its words."""
    return [{"code": caution.code, "text": caution.text} for caution in told]
