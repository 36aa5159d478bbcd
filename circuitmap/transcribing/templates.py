"""What the trade meets again and again, as a few lines of the notation to fill in: a relay with its four wires, a door
contact, a controller. What is not known yet is an open end, so that the lines hold as they stand.

The terminals are those of DIN 72552, as everywhere here; which wires such a part has is practice.
"""

from collections.abc import Iterator
from typing import NamedTuple

from circuitmap.failures import WrongUse
from circuitmap.notation.names import complaint_about_name
from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile

_NAME = "NAME"


class Template(NamedTuple):
    """`word` asks for it; `what` it is; in `lines`, NAME stands for the name."""

    word: str
    what: str
    lines: tuple[str, ...]


TEMPLATES: tuple[Template, ...] = (
    Template(
        "relay",
        "a relay of four pins, with feed, ground and load",
        (
            'relay NAME "what it switches" make',
            '? "feed of its contact" -> NAME.30',
            '? "plus of its coil" -> NAME.86',
            'NAME.85 -> ? "what grounds its coil"',
            'NAME.87 -> ? "what hangs on it"',
        ),
    ),
    Template(
        "changeover",
        "a relay of five pins",
        (
            'relay NAME "what it switches" changeover',
            '? "feed of its contact" -> NAME.30',
            '? "plus of its coil" -> NAME.86',
            'NAME.85 -> ? "what grounds its coil"',
            'NAME.87 -> ? "what hangs on it, pulled in"',
            'NAME.87a -> ? "what hangs on it, at rest"',
        ),
    ),
    Template(
        "contact",
        "a door contact, closed to the body while the door is open",
        (
            'switch NAME "door contact" positions shut, open closes 1 to case in open at "where it sits"',
            '? "the input that reads it" -> NAME.1',
        ),
    ),
    Template(
        "switch",
        "a switch with a feed and a load",
        (
            'switch NAME "what it switches" positions off, on closes 1 to 2 in on at "where it sits"',
            '? "its feed" -> NAME.1',
            'NAME.2 -> ? "what hangs on it"',
        ),
    ),
    Template(
        "module",
        "a controller with permanent feed, ignition, ground and a wake input",
        (
            'module NAME "what it is" supply 1, 2 ground 3 wake 4 at "where it sits"',
            '? "permanent feed" -> NAME.1',
            '? "feed with the ignition" -> NAME.2',
            "NAME.3 -> case",
            '? "what wakes it" -> NAME.4',
        ),
    ),
    Template(
        "lamp",
        "a lamp with its feed and ground",
        ('lamp NAME "what it lights" supply 1 ground 2', '? "its feed" -> NAME.1', "NAME.2 -> case"),
    ),
    Template(
        "motor",
        "a motor that runs both ways between two outputs",
        (
            'motor NAME "what it moves"',
            '? "the output that feeds it forwards" -> NAME.1',
            '? "the output that feeds it backwards" -> NAME.2',
        ),
    ),
)


def template_lines(word: str, name: str) -> Iterator[str]:
    """The lines of one template for a part of this name. Raises WrongUse for a word or a name that cannot be."""
    found = next((template for template in TEMPLATES if template.word == word), None)
    if found is None:
        raise WrongUse(f"There is no template {word}.", f"One of: {', '.join(its.word for its in TEMPLATES)}.")
    lines = tuple(line.replace(_NAME, name) for line in found.lines)
    wrong = complaint_about_name(name) if name else "A name is needed."
    notation, problems = read_text(SourceFile("", "\n".join(lines)))
    if wrong or problems or len(notation.statements) != len(lines):
        raise WrongUse(wrong or f"{name} is not a name.")
    yield from lines
