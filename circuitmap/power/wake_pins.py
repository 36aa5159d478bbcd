"""What wakes a module at each of its wake pins: plus, ground, or that the ground is taken away.

Most sheets do not say it. What is not said follows from what the pin's wire leads to: plus, if plus can come there at
all; else ground, if a contact brings it; else that the ground goes, where the pin is grounded in the parked car (a door
contact that opens with the door). Common practice, no source.
"""

from collections import deque
from collections.abc import Callable, Container, Iterable, Iterator, Mapping
from typing import NamedTuple

from circuitmap.circuit.links import METAL, Circuit
from circuitmap.quantities import Band
from circuitmap.wiring.fitting import Answer, Fitting, holds
from circuitmap.wiring.parts import Load, Switch, Terminal, WakesBy
from circuitmap.wiring.platform import Output

_NOT_THROUGH = ("load", "coil", "battery")


class WakePin(NamedTuple):
    """A wake pin by its node, and what must come to it, or leave it, for its module to wake; `said`: a sheet says
    so. Of an input that keeps an output off, it must be `absent`. It keeps its module awake for the minutes that it
    `lasts` at most; None: nobody said."""

    node: int
    by: WakesBy
    said: bool = True
    absent: bool = False
    lasts: Band | None = None


class WakePins:
    """The wake pins of a circuit; where plus and ground can come to is looked up once for all of them."""

    def __init__(self, circuit: Circuit, pluses: Iterable[int], minuses: Iterable[int]) -> None:
        self._circuit = circuit
        self._sources = {True: frozenset(pluses), False: frozenset(minuses)}
        self._led_to: dict[bool, Mapping[int, tuple[int, int] | None]] = {}
        self._grounded_when_parked: frozenset[int] | None = None
        self._with_equipment: dict[frozenset[tuple[str, bool]], frozenset[int]] = {}
        # What is one piece of metal with ground carries no plus on: not even through a change-over contact, whose two
        # throws are never closed at once (a wiper's park contact would bring plus to every door contact).
        self._metal = {plus: self._in_one_piece(not plus) for plus in (True, False)}

    def _in_one_piece(self, plus: bool) -> frozenset[int]:
        """The nodes that are joined to plus, or to ground, whatever the contacts do; none where the two are joined."""
        circuit = self._circuit
        seen = set(self._sources[plus])
        stack = list(seen)
        while stack:
            at = stack.pop()
            for i in circuit.at[at]:
                link = circuit.links[i]
                if (
                    link.kind in METAL
                    and not link.one_way
                    and not link.condition
                    and not (plus and link.kind == "body")
                ):
                    a, b = circuit.ends[i]
                    other = b if at == a else a
                    if other not in seen:
                        seen.add(other)
                        stack.append(other)
        return frozenset() if seen & self._sources[not plus] else frozenset(seen)

    def of(self, part: Load) -> tuple[WakePin, ...]:
        number: Mapping[Terminal, int] = self._circuit.number
        found = []
        for pin in part.pins_with("wake"):
            node = number.get(Terminal(part.name, pin))
            if node is not None:
                said = part.wakes_by.get(pin)
                by = said or self._usual(node, part.name)
                found.append(WakePin(node, by, said is not None, lasts=part.lasts.get(pin)))
        return tuple(found)

    def works(self, output: Output, part: Load) -> tuple[WakePin, ...]:
        """The inputs that switch an output: a wake pin by what wakes there, any other by plus."""
        waking = {pin.node: pin for pin in self.of(part)}
        found = []
        for name in (*output.inputs, *output.without):
            node = self._circuit.number.get(Terminal(part.name, name))
            if node is not None:
                pin = waking.get(node, WakePin(node, "plus"))
                found.append(pin._replace(absent=name in output.without, lasts=None))
        return tuple(found)

    def by(self, pin: WakePin, fitting: Fitting) -> WakesBy:
        """What wakes at a pin with this equipment: only a ground that is there in the parked car can go."""
        if pin.said or pin.by != "opening" or pin.node in self._grounded_with(fitting):
            return pin.by
        return "ground"

    def _grounded_with(self, fitting: Fitting) -> frozenset[int]:
        key = frozenset(fitting.items())
        if key not in self._with_equipment:
            self._with_equipment[key] = frozenset(self._spread(plus=False, parked=True, fitting=fitting))
        return self._with_equipment[key]

    def _usual(self, node: int, part: str) -> WakesBy:
        if self._comes(True, node, part) or not self._comes(False, node, part):
            return "plus"
        if self._grounded_when_parked is None:
            self._grounded_when_parked = frozenset(self._spread(plus=False, parked=True))
        return "opening" if node in self._grounded_when_parked else "ground"

    def _comes(self, plus: bool, node: int, part: str) -> bool:
        """Whether plus, or ground, comes to a pin, be it through a contact, from outside its own part."""
        if plus not in self._led_to:
            self._led_to[plus] = self._spread(plus, parked=False)
        if node not in self._led_to[plus]:
            return False
        own = {i for i in self._circuit.inside.get(part, ()) if self._circuit.links[i].output is not None}
        return not own or led_past(self._led_to[plus], node, own.__contains__) or self._comes_without(own, plus, node)

    def _comes_without(self, without: set[int], plus: bool, node: int) -> bool:
        """The same for links that are left out, looked for from the pin on: a source is mostly near."""
        metal = self._metal[plus]
        return leads_back(self._circuit, node, self._sources[plus], plus, lambda i, at: i in without or at in metal)

    def _spread(self, plus: bool, parked: bool, fitting: Fitting | None = None) -> Mapping[int, tuple[int, int] | None]:
        """All nodes that plus, or ground, comes to with every contact closed, or (`parked`) with every contact as it
        stands in the parked car; with any equipment, or with this. Each with the last link of a shortest way, and the
        node before it."""
        circuit = self._circuit
        found: dict[int, tuple[int, int] | None] = dict.fromkeys(sorted(self._sources[plus]))
        queue = deque(found)
        while queue:
            at = queue.popleft()
            for i, other in carried(circuit, at, plus, back=False):
                link = circuit.links[i]
                if other in found or other in self._metal[plus]:
                    continue
                if parked and link.contact and not self._closed_at_rest(i):
                    continue
                if fitting is not None and holds(link.condition, fitting) == Answer.NO:
                    continue
                found[other] = i, at
                queue.append(other)
        return found

    def _closed_at_rest(self, number: int) -> bool:
        link = self._circuit.links[number]
        part = self._circuit.platform.parts.get(link.part)
        if isinstance(part, Switch):
            return bool(part.positions) and part.positions[0] in link.closed_in
        return link.energised is False


def carried(circuit: Circuit, at: int, plus: bool, back: bool) -> Iterator[tuple[int, int]]:
    """The links by which plus, or ground, goes on from a node with every contact closed, each with the node beyond;
    `back`: towards where it comes from."""
    for i in circuit.at[at]:
        link = circuit.links[i]
        a, b = circuit.ends[i]
        barred = link.one_way and at == (a if plus == back else b)
        if not barred and link.kind not in _NOT_THROUGH and not (plus and link.kind == "body"):
            yield i, b if at == a else a


def leads_back(
    circuit: Circuit, node: int, ends: Container[int], plus: bool, barred: Callable[[int, int], bool]
) -> bool:
    """Whether plus, or ground, can come to a node from any of these ends with every contact closed, over no link
    that is barred (told by the link and the node beyond). What is near is looked at first: a source mostly is."""
    seen, queue = {node}, deque([node])
    while queue:
        at = queue.popleft()
        if at in ends:
            return True
        for i, other in carried(circuit, at, plus, back=True):
            if other not in seen and not barred(i, other):
                seen.add(other)
                queue.append(other)
    return False


def led_past(led_to: Mapping[int, tuple[int, int] | None], node: int, barred: Callable[[int], bool]) -> bool:
    """Whether the way that is known to a node has no link that is barred: mostly so, and then no other way need be
    looked for. `led_to` has for each node the last link of a way to it and the node before; None at its beginning."""
    step = led_to[node]
    while step is not None:
        link, before = step
        if barred(link):
            return False
        step = led_to[before]
    return True
