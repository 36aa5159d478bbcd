"""What may wake, or fall asleep later, with something that is taken out or put in: whether a look at once is an answer.

A lamp stops in the moment that it is out. A module may have kept others awake, which fall asleep minutes later; put in
again, it may wake them. Which it is, the sheet says: who is fed over what, who is on a network, who is told something.
"""

from collections.abc import Collection, Iterable, Iterator

from circuitmap.diagnosis.faults.input_wires import on_the_way
from circuitmap.diagnosis.faults.inputs import every_input
from circuitmap.diagnosis.next_test.handling import Handling
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import Load, Switch, Terminal
from circuitmap.wiring.whole_sheets import is_whole


def keeps_nobody_awake(handling: Handling, names: Collection[str]) -> bool:
    """Whether nobody falls asleep later for these being out: then a draw that goes on at once flows through none of
    them, and goes on for good."""
    return all(not _may_wake(handling, name) for name in names)


def starts_at_once(handling: Handling, names: Collection[str], battery: str) -> bool:
    """Whether all that takes current from a battery with these put in again does so at once and goes on: nothing that
    is fed from it may wake for a while."""
    if handling.stops_at_once(names):
        return True
    if not all(_is_known(handling, name) for name in names):
        return False
    woken = frozenset[str]().union(*(_with_its_network(handling, _depend_on(handling, name)) for name in names))
    return not any(_is_fed_from(handling, load, battery) for load in woken)


def _may_wake(handling: Handling, name: str) -> bool:
    part = handling.platform.parts.get(name)
    if name in handling.added:
        return False
    if not _is_known(handling, name) or (isinstance(part, Switch) and part.is_key):
        return True
    return bool(_told_over(handling, name)) or any(_may_keep_awake(handling, its) for its in _depend_on(handling, name))


def _may_keep_awake(handling: Handling, name: str) -> bool:
    """Whether others may stay awake for a load: it is on a network with them, or it is a module, and sheets that are
    not typed in whole do not tell whether it is on one."""
    part, platform = handling.platform.parts[name], handling.platform
    return name in platform.networks_of or (part.kind == "module" and not is_whole(platform, part.sheets))


def _is_known(handling: Handling, name: str) -> bool:
    """Whether it is a part of the sheets, or a pin or cavity of one."""
    parts = handling.platform.parts
    return name in parts or name.rpartition(".")[0] in parts


def _depend_on(handling: Handling, name: str) -> frozenset[str]:
    """The loads that get nothing, or are told something else, without it."""
    parked, parts = handling.parked, handling.platform.parts
    links = parked.circuit.links
    own = [its for its, at in parked.circuit.contacts.items() if name in (its, links[at[0]].part)]
    brought = frozenset[str]().union(*(parked.owners_with_stuck(contact) for contact in own))
    owner = name if name in parts else name.rpartition(".")[0]
    itself = {owner} if isinstance(parts.get(owner), Load) else set()
    loads = (its for its in brought | handling.behind(name) | itself if isinstance(parts.get(its), Load))
    return frozenset((*loads, *_told_over(handling, name)))


def _told_over(handling: Handling, name: str) -> frozenset[str]:
    """The modules that are told something over a part: a switch that they watch, a plug on its wire, or a module's own
    output on their pin."""
    parked, found = handling.parked, set(_told_by_its_pins(handling, name))
    for its in every_input(parked):
        if name == its.switch.name or name in on_the_way(parked, its):
            found.add(its.pin.part)
    return frozenset(found)


def _told_by_its_pins(handling: Handling, name: str) -> Iterator[str]:
    """The modules that sense or are woken by what lies at a part's own pins, apart from supply and ground."""
    part = handling.platform.parts.get(name)
    circuit, net_of = handling.parked.circuit, handling.parked.powered.nets.net_of
    if not isinstance(part, Load):
        return
    gives = [end for end in circuit.terminals_of.get(name, ()) if part.roles.get(end.pin) not in ("supply", "ground")]
    nets = {net_of[circuit.number[end]] for end in gives}
    for load in handling.platform.loads:
        ends = [Terminal(load.name, pin) for role in ("sense", "wake") for pin in load.pins_with(role)]
        if load.name != name and any(end in circuit.number and net_of[circuit.number[end]] in nets for end in ends):
            yield load.name


def _with_its_network(handling: Handling, loads: Iterable[str]) -> frozenset[str]:
    """Loads, and the members of all networks that these are on."""
    platform, found = handling.platform, set(loads)
    networks = {network for load in found for network in platform.networks_of.get(load, ())}
    return frozenset(found.union(*(platform.networks[network].member_names for network in networks)))


def _is_fed_from(handling: Handling, name: str, battery: str) -> bool:
    """Whether a load that may wake may take its own current from a battery: not where each of its supplies is known to
    hang on another one. A load that only takes current starts at once."""
    part, parked = handling.platform.parts.get(name), handling.parked
    if not isinstance(part, Load) or handling.stops_at_once((name,)):
        return False
    if name in parked.absent or holds(part.condition, parked.fitting) == Answer.NO:
        return False
    pins = [Terminal(name, pin) for pin in part.pins_with("supply")]
    fed = [parked.powered.batteries(end) if end in parked.circuit.number else () for end in pins]
    return not fed or any(not batteries or battery in batteries for batteries in fed)
