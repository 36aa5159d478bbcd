"""One conducting path between two terminals: a wire, or a path inside a part.

Whether a contact is closed, an option fitted or a fuse pulled is not decided here; a link says what it depends on.
"""

from typing import Literal, NamedTuple

from circuitmap.wiring.parts import Condition, Terminal
from circuitmap.wiring.platform import Output, Wire

LinkKind = Literal[
    "wire", "copper", "chart",
    "fuse", "link", "breaker", "diode", "resistor",
    "contact", "coil", "output", "load",
    "cavity", "joint", "body", "battery",
]  # fmt: skip
"""`wire`, `copper` and `chart` are those of `Wire`; `joint` joins the pins of one splice, bar or ground point;
`body` joins a ground point, a part's `case` or a battery's minus to the body; `battery` is a cell."""

NEVER_CROSSED: frozenset[LinkKind] = frozenset(("load", "coil", "battery"))
"""What is behind one of these is neither supplied nor grounded by what is before it."""

BODY = Terminal("case")
"""The body of the vehicle."""

CASE_PIN, UNDRAWN_GROUND_PIN = "case", "?ground"
Assumption = Literal["", "role", "case", "terminal", "ground", "supply", "body"]


class Link(NamedTuple):
    """One conducting path between two terminals.

    `part` is the part inside which it runs, empty for a wire. `contact` is the name of a switch's or relay's contact or
    of an output (`CAB.K4.87`, `IGN.15`, `BCM.C3`): the thing that can be stuck closed. A contact is closed in the
    switch positions `closed_in`, or while its relay is pulled in (`energised` is true) or at rest (false). An output
    conducts while its module turns it on. `one_way`: current flows from `a` to `b` only. Of a load, `a` is the supply
    pin and `b` the ground pin; of a coil, the plus and the minus side; of a cell, plus and minus.

    `assumed` says what the link rests on that nobody typed: a pin's role follows from the reading direction only
    (`role`); a starter's or alternator's case is its ground (`case`); a fuse chart names a relay, or a load, without
    saying which of its pins it means (`terminal`); the ground or supply of a load is not transcribed (`ground`,
    `supply`), nor the way from a battery's minus to the body (`body`).
    """

    a: Terminal
    b: Terminal
    kind: LinkKind
    part: str = ""
    wire: Wire | None = None
    contact: str = ""
    closed_in: tuple[str, ...] = ()
    energised: bool | None = None
    output: Output | None = None
    one_way: bool = False
    condition: Condition = ()
    assumed: Assumption = ""

    @property
    def is_gate(self) -> bool:
        """A switch or relay contact or an output: not always closed."""
        return self.contact != ""

    def other(self, end: Terminal) -> Terminal:
        return self.b if end == self.a else self.a


class LoadPins(NamedTuple):
    """Where a load takes its current: it draws at a supply pin that is live while any ground pin is grounded.

    Without a transcribed supply, `supplies` is the pin `?` and `supply_drawn` is false; without a transcribed ground,
    `grounds` is the pin `?ground` and `ground_drawn` is false. `perhaps` are pins said to be supplies that no wire
    names, while a fuse chart feeds pins that nobody named: each of those may be any of these.
    """

    part: str
    supplies: tuple[Terminal, ...]
    grounds: tuple[Terminal, ...]
    supply_drawn: bool = True
    ground_drawn: bool = True
    perhaps: tuple[Terminal, ...] = ()
