"""What is not known, as a value: one vocabulary for all answers, each of which says what it rests on."""

from typing import Literal, NamedTuple

NotTyped = Literal[
    "open end",  # the sheets go on at `name`, and nobody typed in where to; `detail` is what they say
    "no supply typed",  # a fuse, contact, load or supply pin: what feeds it has no wire
    "no ground typed",  # a load or a ground pin without a way to ground
    "no load typed",  # a fuse, or something fed from it at `name`, with nothing typed in behind it
    "may hang here",  # a supply pin whose feed has no wire: it may be on any fuse
    "no network typed",  # a module that is on no network
    "wires not typed in",  # known only from a fuse chart: `name` hangs on the fuse `detail`
    "role assumed",  # what a pin does follows only from the reading direction; `detail` is what it is taken for
    "ground assumed",  # a load whose ground was not typed in: its case is taken as its ground
    "body assumed",  # the way from there to the body, or over it to the battery's minus, is taken for granted
    "terminal assumed",  # a fuse chart names the part but no terminal
    "copied",  # taken over from the sister platform `detail` and not checked; without `name`: some of the answer
    "volts in words",  # what an output makes, `detail`, is only in its module's words: it counts as the platform's own
    "label",  # only the sheet's label says that it is hot
    "on request",  # an output that conducts when its module wants
    "option not said",  # it depends on the equipment option `name`
    "not declared",  # used in a wire and never declared
    "sheet not whole",  # nobody said that everything on the sheet was typed in
    "no wires here",  # declared on the sheet that is drawn, and no wire on it ends there
    "left out",  # a drawing had no room for it
    "cut off",  # there is more at `name` than was looked for, or than is told
]
"""What neither the sheets nor the words that were typed tell."""

NotRead = Literal[
    "no total",  # the current at the battery was not read
    "fuse not read",  # a fuse on the way of a likely current
    "hides",  # the reading shows nothing, but up to `amps` can hide in it
    "last digit",  # the reading shows no more than its last digit may be off: up to `amps` may flow
    "other height",  # it was read in an event of another height: how much flows in this one is not known
    "draws only",  # it draws; how much its reading does not say
    "estimate",  # the current rests on an estimated resistance
    "by rating",  # the current rests on a resistance that is known by the fuse's rating alone
    "current assumed",  # nobody typed in what it takes
    "set aside",  # a reading that does not count; `detail` is why, `beside` the places it has to do with
    "try not counted",  # with these parts out; `detail` is why
    "faults cut off",  # faults of these parts: what they would draw was too much to work out
    "pairs cut off",  # `detail` faults, the unlikeliest, that the readings tell apart
    "steps cut off",  # `detail` steps that could come next, those about the unlikeliest parts
    "worlds cut off",  # what would follow from these facts, which nobody said
    "volts tell nothing",  # at the point `name`; `detail` is why: between, alike, unfed, asked, not asked
    "line unclear",  # the volts of the network `name` say nothing; `detail` is what was typed of it
]
"""What the readings do not tell."""

UnknownKind = Literal[NotTyped, NotRead]


class Unknown(NamedTuple):
    """One thing that an answer rests on and that is not known.

    `name` is what it is about (the kind says which: a terminal, a part, a fuse, an option, a network); `sheets` are
    where to look for it. `beside` are others of the same kind that are told together with it, `amps` is a current and
    `volts` what a line shows, where these matter.
    """

    kind: UnknownKind
    name: str = ""
    detail: str = ""
    sheets: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    amps: float | None = None
    volts: float | None = None

    @property
    def names(self) -> tuple[str, ...]:
        return (self.name, *self.beside) if self.name else ()


def of_all(kind: UnknownKind, names: tuple[str, ...], detail: str = "", amps: float | None = None) -> Unknown:
    """One thing about all of these together."""
    first, beside = names[:1], names[1:]
    return Unknown(kind, "".join(first), detail, (), beside, amps)
