"""Where what was typed of a part outranks what only words say of another thing that it has to do with."""

from collections.abc import Mapping, Sequence

from circuitmap.circuit.hands_off import Untouchable
from circuitmap.circuit.link import Link
from circuitmap.circuit.path import PROTECTIVE
from circuitmap.circuit.ways_up import Around
from circuitmap.wiring.hands_off import HandsOffThings
from circuitmap.wiring.parts import Load, OpenEnd, Part, Relay, Terminal, Undeclared
from circuitmap.wiring.platform import Platform


class Outranked:
    """Of a circuit, given as for `WaysUp`."""

    def __init__(
        self,
        platform: Platform,
        things: HandsOffThings,
        links: Sequence[Link],
        nodes: Sequence[Terminal],
        around: Sequence[Around],
    ) -> None:
        self._platform, self._things = platform, things
        self._links, self._nodes, self._around = links, nodes, around
        self._outputs = {output.terminal for output in platform.outputs}

    def cavity(self, node: int) -> bool:
        """Whether a cavity of a plug that is hands-off by its words has wires to nothing but loads that were typed as
        not hands-off, and what switches them: it is in that plug, and what feeds it is none of the plug's."""
        reason = self._things.parts.get(self._nodes[node].part)
        if reason is None or reason.known_by == "typed":
            return False
        free = False
        for here in self._island(node):
            terminal = self._nodes[here]
            part = self._platform.parts.get(terminal.part)
            if part is None or terminal.part == self._nodes[node].part or terminal in self._outputs:
                continue
            if part.name in self._things.parts or isinstance(part, OpenEnd | Undeclared):
                return False
            if isinstance(part, Relay) and terminal.pin in part.coil:
                return False
            if isinstance(part, Load):
                if part.hands_off != "not":
                    return False
                free = True
        return free

    def _island(self, node: int) -> set[int]:
        """What wires, splices and plugs join to a node."""
        seen, todo = {node}, [node]
        while todo:
            for i, there in self._around[todo.pop()]:
                link = self._links[i] if i < len(self._links) else None
                if link is None or link.is_gate or link.kind in PROTECTIVE or there in seen:
                    continue
                seen.add(there)
                todo.append(there)
        return seen

    def only_told(self, part: Part, terminal: Terminal, marked: Mapping[Terminal, Untouchable]) -> bool:
        """Whether a load only hears of a hands-off fuse, at a pin that watches it, and takes its current elsewhere: the
        pin is on that fuse, and the load does not hang on it."""
        if not isinstance(part, Load) or marked[terminal].how != "hangs-on":
            return False
        fed = [Terminal(part.name, pin) for pin in part.pins_with("supply")]
        elsewhere = [end for end in fed if end in self._nodes and end not in marked]
        watches = part.roles.get(terminal.pin, "") in ("sense", "wake", "control")
        return watches and terminal.pin not in part.assumed_roles and len(elsewhere) == len(fed) > 0
