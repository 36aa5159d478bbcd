"""What a drawing does not know, as short sentences below it."""

from collections.abc import Iterable, Sequence

from circuitmap.circuit.link import Link
from circuitmap.wiring.fitting import Fitting
from circuitmap.wiring.parts import Load, OpenEnd, Undeclared
from circuitmap.wiring.platform import Platform

_MOST_NAMES = 6


def notes_of(
    platform: Platform,
    fitting: Fitting,
    links: Sequence[Link],
    left_out: Sequence[str],
    cut_off: bool,
    unfed: Sequence[str] = (),
) -> tuple[str, ...]:
    """Sentences on open ends, feeds that nobody typed in, fuse-chart rows, assumptions, options, and what found no
    room."""
    ends = [end for link in links for end in (link.a, link.b)]
    notes = [f"{place} goes on, not on the drawings yet{words}." for place, words in _open_ends(platform, links)]
    if unfed:
        notes.append(f"What feeds {_names(unfed)} is not typed in.")
    charted = _each(link.a.part for link in links if link.kind == "chart")
    if charted:
        notes.append(f"{_names(charted)}: known from the fuse chart only, wires not typed in.")
    undeclared = _each(end.part for end in ends if isinstance(platform.parts.get(end.part), Undeclared))
    if undeclared:
        notes.append(f"{_names(undeclared)}: used in a wire and never declared.")
    assumed = _each(
        f"{end.part}.{end.pin}"
        for end in ends
        if isinstance(part := platform.parts.get(end.part), Load)
        and len(part.roles) > 2
        and end.pin in part.assumed_roles
    )
    if assumed:
        notes.append(f"Assumed from the reading direction, what these pins do: {_names(assumed)}.")
    copied = _each(link.wire.copied for link in links if link.wire and link.wire.copied)
    if copied:
        notes.append(f"Copied and not checked against the sheet yet: {_names(copied)}.")
    options = _each(need.option for link in links for need in link.condition if need.option not in fitting)
    if options:
        notes.append(f"Not said whether it is fitted: {_names(options)}.")
    if left_out:
        notes.append(f"Left out for room: {_names(left_out)}.")
    if cut_off:
        notes.append("Cut off: there is more than was looked for, or than finds room.")
    return tuple(notes)


def _open_ends(platform: Platform, links: Iterable[Link]) -> list[tuple[str, str]]:
    found: dict[tuple[str, str], None] = {}
    for link in links:
        for end in (link.a, link.b):
            part = platform.parts.get(end.part)
            if isinstance(part, OpenEnd):
                found[str(link.other(end)), f" ({part.description})" if part.description else ""] = None
    return list(found)


def _each(names: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(names))


def _names(names: Sequence[str]) -> str:
    shown = ", ".join(names[:_MOST_NAMES])
    return shown if len(names) <= _MOST_NAMES else f"{shown} and {len(names) - _MOST_NAMES} more"
