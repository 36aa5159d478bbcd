"""What a probe would find at single terminals in a state, as text and as JSON."""

from collections.abc import Iterable, Sequence
from typing import Any

from circuitmap.power.evaluate import Powered
from circuitmap.power.why import Reason, why
from circuitmap.reports.words.paragraphs import joined, listed, shortened
from circuitmap.reports.words.part_words import terminal_words
from circuitmap.reports.words.way_words import way_words
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Fuse, Terminal, is_unnamed
from circuitmap.wiring.platform import Platform


def at_lines(powered: Powered, terminals: Iterable[Terminal], width: int) -> list[str]:
    """A row for each terminal; the two halves of a cavity are one point."""
    platform = powered.circuit.platform
    rows = dict.fromkeys((_name(platform, its), _words(powered, its)) for its in terminals)
    return listed(f"AT  {len(rows)}: what a voltmeter to ground shows in this state", rows, width)


def _name(platform: Platform, terminal: Terminal) -> str:
    """The two sides of a fuse are told apart here, since a probe touches one of them; and pins that nobody named, by
    what feeds them."""
    if is_unnamed(terminal.pin):
        wires = platform.wires_at.get(terminal.part, ())
        feeders = dict.fromkeys(wire.a.part for wire in wires if wire.b == terminal)
        return f"{terminal.part}, fed by {joined(list(feeders))}" if feeders else terminal.part
    is_fuse = isinstance(platform.parts.get(terminal.part), Fuse)
    return str(terminal) if is_fuse else terminal_words(platform, terminal)


def _words(powered: Powered, terminal: Terminal) -> str:
    if terminal not in powered.circuit.number:
        return "no wire is typed in there"
    plus, ground = why(powered, terminal), why(powered, terminal, "ground")
    told = [words for words in (_side(powered, plus, "plus"), _side(powered, ground, "ground")) if words]
    if told:
        return "; ".join(told)
    beyond = f"ground through {shortened(ground.backfed_by)}" if ground.backfed_by else ""
    if plus.backfed_by and beyond:
        return f"between the two: plus through {shortened(plus.backfed_by)}; {beyond}"
    if plus.backfed_by:
        return f"plus through {shortened(plus.backfed_by)}, no current"
    waits = f"no plus: {joined(plus.open_contacts, 'or')} open" if plus.open_contacts else "no plus"
    return f"{waits}; {beyond or 'no ground'}"


def _side(powered: Powered, reason: Reason, what: str) -> str:
    """`plus, through F18, S10 in III`; empty where it is not joined to that side."""
    if reason.answer == Answer.NO:
        return ""
    way = way_words(powered.circuit.platform, reason)
    by = "" if what == "ground" and way == "no fuse" else f", through {way}"
    return f"{'may be ' if reason.answer == Answer.MAY_BE else ''}{what}{by}"


def at_json(powered: Powered, terminals: Sequence[Terminal]) -> list[dict[str, Any]]:
    found = []
    for terminal in terminals:
        plus, ground = why(powered, terminal), why(powered, terminal, "ground")
        found.append(
            {
                "at": terminal.as_typed,
                "plus": plus.answer.words,
                "ground": ground.answer.words,
                "plus_through": list(plus.backfed_by),
                "ground_through": list(ground.backfed_by),
                "open": list(dict.fromkeys((*plus.open_contacts, *ground.open_contacts))),
            }
        )
    return found
