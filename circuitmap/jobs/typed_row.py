"""A row of a fuse box as it is typed at the car: `CAB mV: all 0.0 except F22 0.6 F14 1.0, not read F30`.

`all` writes down a reading for fuses that nobody named. So a row that may have been cut off is refused: otherwise what
came after `except` would be written down as if nothing flowed there.
"""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.evidence.fuse_drop import NO_TEST_POINTS
from circuitmap.evidence.written_readings import amount_of
from circuitmap.failures import WrongUse
from circuitmap.jobs.typed_words import as_written, is_bare_number, words_in
from circuitmap.wiring.names import find_part
from circuitmap.wiring.parts import Box, Fuse
from circuitmap.wiring.platform import Platform

_EXCEPT = ("except", "but")
_EXAMPLE = "For example: CAB mV: all 0.0 except F22 0.6, not read F30"


class NotAsItStands(WrongUse):
    """A line that could be read but must not be: it says two things, or it is cut off. No other spelling helps."""


class RowReading(NamedTuple):
    """A fuse of the row with its amount, and the words that gave it."""

    place: str
    amount: str
    words: str


class TypedRow(NamedTuple):
    """Fuses that `all` must not include: `no_test_points`, because nothing can be measured across them; `left_alone`,
    because they are hands-off."""

    readings: tuple[RowReading, ...]
    no_test_points: tuple[str, ...] = ()
    left_alone: tuple[str, ...] = ()


def row_of(platform: Platform, hands_off: HandsOffMap, box: str, unit: str, rest: str) -> TypedRow:
    """The readings of a row. Raises WrongUse for what makes no sense, NotAsItStands for a row that is cut off or that
    says two things of one fuse."""
    name = find_part(platform, box)
    if not isinstance(platform.parts[name], Box):
        raise WrongUse(f"{name} is not a box; a row names a box and its unit first, such as CAB mV: all 0.0.")
    words = words_in(rest.replace("not read", "not-read").replace("=", " "))
    everywhere = ""
    if words[:1] == ["all"]:
        if len(words) < 2:
            raise WrongUse("all needs a value after it, such as all 0.0.")
        everywhere, words = _with_unit(words[1], unit), words[2:]
        if rest.rstrip().endswith(","):
            raise NotAsItStands(
                "This row ends with a comma: is there more of it?",
                "all writes every other fuse down. Type the row to its end, or leave the comma out.",
            )
    named = tuple(_named(platform, name, unit, words))
    unread = _not_read(platform, name, words)
    for one in named:
        if one.place in unread:
            raise NotAsItStands(f"{one.place} stands in this row as {one.words}, and as not read.", "Which of the two?")
    if not everywhere:
        if not named:
            raise WrongUse("This row reads no fuse.", _EXAMPLE)
        return TypedRow(named)
    others = list(_others(platform, name, {one.place for one in named} | unread))
    if not others and not named and not unread:
        raise WrongUse(f"There is no other fuse in {name} that all could mean.")
    no_points = tuple(f"{f.name} ({f.style})" for f in others if unit == "mV" and f.style in NO_TEST_POINTS)
    readable = [f.name for f in others if not (unit == "mV" and f.style in NO_TEST_POINTS)]
    left_alone = tuple(name for name in readable if not hands_off.may_touch(name))
    said = f"all {words_in(rest)[1]}"
    rest_of_them = (RowReading(name, everywhere, said) for name in readable if name not in left_alone)
    return TypedRow((*rest_of_them, *named), no_points, left_alone)


def _named(platform: Platform, box: str, unit: str, words: list[str]) -> Iterator[RowReading]:
    """The fuses with a value of their own, up to `not read`."""
    waiting = iter(words)
    expects = ""
    for word in waiting:
        if word in _EXCEPT:
            expects = word
            continue
        if word == "not-read":
            break
        value = next(waiting, None)
        if value is None or value in (*_EXCEPT, "not-read"):
            raise WrongUse(f"{word} has no value in this row.")
        yield RowReading(_fuse(platform, box, word), _with_unit(value, unit), f"{word} {value}")
        expects = ""
    if expects:
        raise NotAsItStands(
            f"No fuse stands after {expects}: this row is cut off.",
            f"all would write every fuse down. Name those that it does not hold for. {_EXAMPLE}",
        )


def _not_read(platform: Platform, box: str, words: list[str]) -> set[str]:
    if "not-read" not in words:
        return set()
    names = [word for word in words[words.index("not-read") + 1 :] if word not in ("and", "not-read")]
    if not names:
        raise NotAsItStands("No fuse stands after not read: this row is cut off.", _EXAMPLE)
    return {_fuse(platform, box, word) for word in names}


def _others(platform: Platform, box: str, named: Iterable[str]) -> Iterator[Fuse]:
    """The fuses of a box that were not named; an empty slot does not count."""
    for fuse in platform.fuses:
        owner = platform.box_of(fuse.name)
        if owner is not None and owner.name == box and not fuse.empty and fuse.name not in named:
            yield fuse


def _fuse(platform: Platform, box: str, text: str) -> str:
    full = f"{box}.{text}"
    name = full if full in platform.parts else find_part(platform, text)
    if not isinstance(platform.parts[name], Fuse):
        raise WrongUse(f"{name} is not a fuse.")
    return name


def _with_unit(value: str, unit: str) -> str:
    value = as_written(f"{value}{unit}" if is_bare_number(value) else value)
    amount_of(value)
    return value
