"""Who no longer answers on a network when something of its lines is interrupted or shorted, and what may be dead for
that reason: what a module switches when a message says so.

Which message an output waits for is on no sheet. So an output that is on by request, or by the key's position without
an input of its own, may be dead while its module hears nobody; it is never said to be.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from circuitmap.circuit.links import Circuit
from circuitmap.circuit.network_pieces import pieces_still_joined
from circuitmap.circuit.one_metal import DRAWN_METAL, metal_from
from circuitmap.dead.breaks import Break, breaks_in
from circuitmap.dead.may_matter import MayMatter
from circuitmap.dead.watched import WatchedStates
from circuitmap.dead.without import DeadWithout, Waiting, without
from circuitmap.power.evaluate import Powered
from circuitmap.power.functions import functions_of
from circuitmap.power.nets import NO
from circuitmap.wiring.fitting import Answer, Fitting, holds
from circuitmap.wiring.parts import Load, Terminal
from circuitmap.wiring.platform import Network

BY_KEY, WITH_INPUTS, WITHOUT_INPUTS = 0.8, 0.3, 0.6
"""How often an output waits for a message: one that follows the key without a wire for it, and one on request of a
module with inputs of its own, or without any (judgement)."""


class OnLine(NamedTuple):
    """One network whose lines are looked at: its fitted members, and the numbers of the links of its metal."""

    network: Network
    members: tuple[str, ...]
    links: frozenset[int]


class LineCut(NamedTuple):
    """What one thing does to a network: the members that are no longer heard, and whether the line as a whole is held
    down (`shorted`). `talking`: the members that still hear one another."""

    network: str
    silent: frozenset[str]
    talking: frozenset[str]
    shorted: bool = False


def message_networks(circuit: Circuit, fitting: Fitting) -> dict[str, Network]:
    """Fitted networks that carry messages: wake lines do not."""
    return {
        name: its
        for name, its in circuit.platform.networks.items()
        if its.kind != "wake" and holds(its.condition, fitting) != Answer.NO
    }


def line_of(circuit: Circuit, network: Network, fitting: Fitting) -> OnLine:
    """The metal of a network, as far as it is typed in."""
    members = tuple(its for its in network.members if holds(its.condition, fitting) != Answer.NO)
    links: set[int] = set()
    seen: set[int] = set()
    for member in members:
        for pin in member.pins:
            node = circuit.number.get(Terminal(member.part, pin))
            if node is not None and node not in seen:
                metal = metal_from(circuit, node, fitting)
                seen.update(metal.nodes)
                links.update(i for i in metal.links if circuit.links[i].kind in DRAWN_METAL)
    return OnLine(network, tuple(dict.fromkeys(its.part for its in members)), frozenset(links))


def cut_by(circuit: Circuit, its: OnLine, fitting: Fitting, opened: frozenset[int], heard: frozenset[str]) -> LineCut:
    """Who is cut off once these links are open. One wire of a pair is enough (common practice, no source). The part of
    the line that still talks is the one with `heard` on it, those who were said to answer, else the one with most
    members; of two that are left alone, neither is heard."""
    everybody = frozenset(its.members)
    pieces = pieces_still_joined(circuit, its.network, fitting, opened)
    groups: dict[frozenset[int], set[str]] = {}
    for part, on in pieces.items():
        groups.setdefault(on, set()).add(part)
    if len(groups) < 2:
        return LineCut(its.network.name, frozenset(), everybody)
    elsewhere = everybody - set(pieces)  # where their wires are is not typed in: with most of the others
    main = max(groups.values(), key=lambda group: (len(group & heard), len(group)))
    if len(main) + len(elsewhere) == 1 and not main & heard:
        return LineCut(its.network.name, everybody, frozenset())
    return LineCut(its.network.name, everybody - main - elsewhere, frozenset(main | elsewhere))


class OnTheLine:
    """The networks that matter to what was told, and what each break does to them."""

    def __init__(self, watched: WatchedStates) -> None:
        self.sound = sound = watched.main
        self.circuit = circuit = sound.circuit
        self.fitting = sound.state.fitting
        self.answers = [its for its in watched.items if its.told.network]
        self.heard = frozenset(its.told.name for its in self.answers if its.told.works)
        self._watched = frozenset(its.number for its in watched.items if its.state == 0 and not its.told.network)
        self._dead = frozenset(
            its.number for its in watched.items if its.number in self._watched and not its.told.works
        )
        self._by_message: dict[str, frozenset[Waiting]] = {}
        known = message_networks(circuit, self.fitting)
        asked = {name for its in self.answers for name in self.networks_of(its.told.name, its.told.network)}
        parts = [functions_of(circuit)[its.function].part for its in watched.items]
        modules = [its for its in _switching(sound) if known.keys() & set(circuit.platform.networks_of.get(its, ()))]
        self._ways = MayMatter(sound, parts) if modules and self._watched else None
        if self._ways is not None:
            for module in modules:
                if module in self._ways.asked and self._feeds_dead(self.by_message(module)):
                    asked.update(name for name in circuit.platform.networks_of[module] if name in known)
        self.lines = {name: line_of(circuit, known[name], self.fitting) for name in known if name in asked}
        self.cuts: dict[Break, LineCut] = {}

    def networks_of(self, module: str, told: str) -> tuple[str, ...]:
        """The networks on which a module was said to answer, or not to: the one that was named, else all of its own."""
        known = message_networks(self.circuit, self.fitting)
        own = tuple(name for name in self.circuit.platform.networks_of.get(module, ()) if name in known)
        return (told,) if told in own else own

    def by_message(self, module: str) -> frozenset[Waiting]:
        """For each output of a module that may wait for a message, what was spoken of and is dead with it."""
        if module not in self._by_message:
            found = []
            by_pin: dict[str, list[int]] = {}
            for i in _switching(self.sound).get(module, ()):
                if self._ways is not None and self._ways.may((i,)):
                    by_pin.setdefault(self.circuit.links[i].contact, []).append(i)
            for contact, links in by_pin.items():
                then = without(self.sound, Break("output", contact, tuple(links)))
                found.append(Waiting((then.kills | then.weakens) & self._watched, self._waits(links[0])))
            self._by_message[module] = frozenset(its for its in found if its.loads)
        return self._by_message[module]

    def _feeds_dead(self, waiting: Iterable[Waiting]) -> bool:
        return any(its.loads & self._dead for its in waiting)

    def _waits(self, link: int) -> float:
        """How likely an output waits for a message."""
        output = self.circuit.links[link].output
        assert output is not None
        if output.when == "in":
            return BY_KEY
        module = self.circuit.platform.parts.get(output.module)
        listens = isinstance(module, Load) and "sense" in module.roles.values()
        return WITH_INPUTS if listens else WITHOUT_INPUTS

    def added_to(self, known: Mapping[Break, DeadWithout]) -> dict[Break, DeadWithout]:
        """What is dead without each thing, with the lines of networks taken in."""
        found = dict(known)
        if not self.lines:
            return found
        for its in (*known, *self._of_lines(known)):
            cuts = self._cuts_of(its)
            if cuts:
                self.cuts[its] = cuts[0]
            then = found.get(its) or (without(self.sound, its) if its.kind == "plug" else self._nothing)
            kills, weakens = self._answers_lost(its, then, cuts)
            silent = {name for cut in cuts for name in cut.silent} | self._behind_gateway(then)
            kills |= then.kills
            weakens = (weakens | then.weakens) - kills
            perhaps = frozenset[Waiting]().union(*(self.by_message(name) for name in silent))
            if kills or weakens or perhaps:
                off = self._off(silent) if self._feeds_dead(perhaps) else frozenset()
                found[its] = DeadWithout(then.powered, kills, weakens, perhaps, off)
        return found

    @property
    def _nothing(self) -> DeadWithout:
        return DeadWithout(self.sound, frozenset(), frozenset())

    def _of_lines(self, known: Mapping[Break, DeadWithout]) -> Iterable[Break]:
        """What of the lines can be interrupted, each member's own side of them, and each line as a whole."""
        metal = frozenset().union(*(its.links for its in self.lines.values()))
        for its in breaks_in(self.sound):
            if its not in known and not metal.isdisjoint(its.links):
                yield its
        for name, line in self.lines.items():
            for member in line.members:
                yield Break("interface", f"{member}@{name}", ())
            whole = Break("network", name, ())
            if whole not in known:
                yield whole

    def _cuts_of(self, its: Break) -> list[LineCut]:
        if its.kind == "network":
            line = self.lines.get(its.name)
            return [LineCut(its.name, frozenset(line.members), frozenset(), shorted=True)] if line is not None else []
        if its.kind == "interface":
            member, _, name = its.name.partition("@")
            everybody = frozenset(self.lines[name].members)
            return [LineCut(name, frozenset((member,)), everybody - {member})]
        opened = frozenset(its.links)
        cuts = (
            cut_by(self.circuit, line, self.fitting, opened, self.heard)
            for line in self.lines.values()
            if not opened.isdisjoint(line.links)
        )
        return [cut for cut in cuts if cut.silent]

    def _answers_lost(
        self, its: Break, then: DeadWithout, cuts: Sequence[LineCut]
    ) -> tuple[frozenset[int], frozenset[int]]:
        """Who does not answer, of those that somebody spoke of: without supply, or cut off on all of its networks."""
        kills, weakens = set(), set()
        for one in self.answers:
            networks = self.networks_of(one.told.name, one.told.network)
            lost = {cut.network for cut in cuts if one.told.name in cut.silent}
            if one.function in then.kills or (networks and set(networks) <= lost):
                kills.add(one.number)
            elif one.function in then.weakens or lost:
                weakens.add(one.number)
        return frozenset(kills), frozenset(weakens)

    def _off(self, silent: Iterable[str]) -> frozenset[int]:
        """The outputs of members that hear nobody, as far as they feed, or ground, what was said to be dead."""
        circuit, nets = self.circuit, self.sound.nets
        functions = functions_of(circuit)
        pins = {
            nets.net_of[circuit.number[pin]]
            for n in self._dead
            for pin in (*functions[n].supplies, *functions[n].grounds)
            if pin in circuit.number
        }
        links = (i for module in silent for i in _switching(self.sound).get(module, ()))
        return frozenset(i for i in links if any(nets.net_of[node] in pins for node in circuit.ends[i]))

    def _behind_gateway(self, then: DeadWithout) -> set[str]:
        """Members that hear what others say only through a gateway that is dead."""
        functions = functions_of(self.circuit)
        dead = {functions[n].part for n in then.kills if n < len(functions) and functions[n].kind == "load"}
        joined = {name for its in self.circuit.platform.gateways if its.module in dead for name in its.joins}
        return {member for name in joined & self.lines.keys() for member in self.lines[name].members} - dead


def _switching(sound: Powered) -> Mapping[str, tuple[int, ...]]:
    """For each module the links of its outputs that may wait for a message, and that may conduct in this state."""
    return sound.derived(_outputs_by_message)


def _outputs_by_message(sound: Powered) -> dict[str, tuple[int, ...]]:
    circuit = sound.circuit
    found: dict[str, list[int]] = {}
    for links in circuit.contacts.values():
        for i in links:
            output = circuit.links[i].output
            if output is None or output.when not in ("request", "in") or output.inputs or output.without:
                continue
            if sound.nets.link_level[i] != NO:
                found.setdefault(output.module, []).append(i)
    return {module: tuple(its) for module, its in found.items()}
