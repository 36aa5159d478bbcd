"""What a name in a text means, in the trade's words: for somebody who types and points at it."""

from collections.abc import Iterable, Iterator, Mapping
from typing import assert_never

from circuitmap.reports.problems.problems_text import shown
from circuitmap.reports.words.part_words import condition_words, kind_words, named, open_end_words, rating
from circuitmap.transcribing.names_in import NameUse
from circuitmap.wiring.parts import Fuse, OpenEnd
from circuitmap.wiring.platform import Platform

Hanging = Mapping[str, Mapping[str, str]]
MOST_NAMED = 12
"""Things on a fuse, or fuses above something, that are named; of the rest how many."""


def named_words(platform: Platform, use: NameUse, hanging: Hanging) -> str:
    """Lines: what it is and where it sits; what hangs on it, or on which fuses it hangs; its sheets."""
    match use.kind:
        case "part":
            lines = list(_part(platform, use.name, hanging))
        case "network":
            network = platform.networks.get(use.name)
            members = network.member_names if network is not None else ()
            lines = [f"{use.name}, network", f"Members: {_listed(members) or 'none typed in'}"]
        case "option":
            option = platform.options.get(use.name)
            lines = [
                f"{use.name}, equipment option{f': {option.description}' if option and option.description else ''}"
            ]
        case "sheet":
            sheet = platform.sheets.get(use.name)
            whole = "typed in whole" if sheet is not None and sheet.whole else "not said to be typed in whole"
            lines = [f"Sheet {use.name} {sheet.title if sheet else ''}".rstrip(), whole]
        case _:
            assert_never(use.kind)
    return "\n".join(shown(line) for line in lines)


def _part(platform: Platform, name: str, hanging: Hanging) -> Iterator[str]:
    part = platform.parts[name]
    kind = rating(part) if isinstance(part, Fuse) else kind_words(part)
    yield f"{named(platform, name)}: {kind}{f', at {part.place}' if part.place else ''}"
    if part.condition:
        yield condition_words(part.condition)
    if isinstance(part, Fuse):
        yield f"On it: {_listed(_known(platform, hanging.get(name, {}))) or 'nothing typed in'}"
    elif above := [fuse for fuse, its in hanging.items() if name in its]:
        yield f"It hangs on: {_listed(above)}"
    if networks := platform.networks_of.get(name, ()):
        yield f"Networks: {_listed(networks)}"
    sheets = sorted({sheet for wire in platform.wires_at.get(name, ()) for sheet in wire.sheets})
    if sheets:
        yield f"Sheets: {_listed(sheets)}"


def hanging_words(platform: Platform, fuse: Fuse, its: Iterable[str]) -> str:
    """`3 loads on it, 1 open end`."""
    if fuse.empty:
        return "empty slot"
    names = list(its)
    open_ends = sum(isinstance(platform.parts.get(name), OpenEnd) for name in names)
    words = [_many(len(names) - open_ends, "load on it", "loads on it"), _many(open_ends, "open end", "open ends")]
    return ", ".join(filter(None, words)) or "nothing typed in on it"


def _many(number: int, one: str, more: str) -> str:
    return f"{number} {one if number == 1 else more}" if number else ""


def assumed_words(role: str, action: str) -> str:
    """For what an end of a wire is taken, where nobody typed it in."""
    what = {"feeds": "output that feeds", "grounds": "output that grounds"}.get(action, role or "pin")
    return f"assumed: {what}"


def _known(platform: Platform, names: Iterable[str]) -> Iterator[str]:
    """Names, an open end by what the sheet says of it."""
    for name in names:
        part = platform.parts.get(name)
        yield open_end_words(part) if isinstance(part, OpenEnd) else name


def _listed(names: Iterable[str]) -> str:
    all_names = list(names)
    more = f" and {len(all_names) - MOST_NAMED} more" if len(all_names) > MOST_NAMED else ""
    return ", ".join(all_names[:MOST_NAMED]) + more
