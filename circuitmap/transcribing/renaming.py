"""One name for another, in all files of a platform; nothing is renamed that would then mean something else."""

from collections.abc import Iterable
from typing import NamedTuple

from circuitmap.failures import WrongUse
from circuitmap.notation.names import complaint_about_name
from circuitmap.source import Span
from circuitmap.transcribing.names_in import NameUse
from circuitmap.wiring.parts import Box
from circuitmap.wiring.platform import Platform


class TextChange(NamedTuple):
    """What stands at `span` becomes `text`."""

    span: Span
    text: str


def renamed(platform: Platform, uses: Iterable[NameUse], its: NameUse, new: str) -> tuple[TextChange, ...]:
    """The changes that give a part, network or option another name; what sits in a box is renamed with it.

    Raises WrongUse for a name that cannot be or is there already, and where a row such as F50..F59 holds the old one.
    """
    if its.kind == "sheet":
        raise WrongUse("The name of a sheet is what the paper says: change it in its heading.")
    wrong = complaint_about_name(new) if new else "A name is needed."
    taken = {"part": platform.parts, "network": platform.networks, "option": platform.options}[its.kind]
    if wrong or new in taken:
        raise WrongUse(wrong or f"There is a {its.kind} {new} already.")
    is_box = its.kind == "part" and isinstance(platform.parts.get(its.name), Box)
    changes = []
    for use in uses:
        inside = is_box and use.name.startswith(f"{its.name}.")
        if use.kind != its.kind or not (use.name == its.name or inside):
            continue
        if not use.whole:
            raise WrongUse(f"{use.name} is part of {use.span.text} at {use.span.place()}.", "Write out that row first.")
        full = f"{new}{use.name[len(its.name) :]}"
        dropped = use.name[: len(use.name) - len(use.written)]
        if inside and dropped:
            continue  # in a row of its box the name of the box is left out
        if not full.startswith(dropped):
            raise WrongUse(
                f"At {use.span.place()} it is written without {dropped[:-1]}.", "Write it in full there first."
            )
        changes.append(TextChange(use.span, full[len(dropped) :]))
    return tuple(changes)


def with_changes(text: str, changes: Iterable[TextChange]) -> str:
    """A text with these changes of it."""
    for change in sorted(changes, key=lambda change: change.span, reverse=True):
        text = text[: change.span.start] + change.text + text[change.span.end :]
    return text
