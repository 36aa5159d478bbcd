"""Any bytes as a line of `card add`: it is read or refused, and of what was read nothing is lost."""

import re
from collections.abc import Iterator
from functools import cache

from circuitmap.evidence.job_card import read_card
from circuitmap.failures import Failure, LimitReached, WrongUse
from circuitmap.flows.job import job_from
from circuitmap.jobs.line_cut import FREE_TEXT, pieces_of
from circuitmap.jobs.short_line import EXAMPLES, LONGEST_LINE, ShortLine, entry_of
from circuitmap.jobs.typed_words import as_written, is_amount, is_bare_number, names_in, with_points
from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.names import find_part
from circuitmap.wiring.parts import Box
from circuitmap.wiring.platform import Platform
from tests.card_texts import with_entry
from tests.fuzzing.decisions import Decisions

VAN = """\
platform "Marlow Linnet" sleep 20min..40min limit 50mA
battery BAT 72Ah
box CAB "Cab fuse box"
fuse CAB.F14 15A mini, CAB.F22 20A mini, CAB.F30 30A mini, CAB.F31 10A mini, CAB.F40 60A bolted
fuse CAB.F41 empty
relay CAB.K4 make
module HEATER "cab heater" supply A.1 ground A.2
module LIFT "tail lift" supply 1 ground 2
network CHASSIS can members HEATER, LIFT
option TOW
switch DOORD positions shut, open closes 1 to case in open
"""
FUSES = ("F14", "F22", "F30", "F31", "F40", "F41", "CAB.F22", "f14", "CAB.F31")
PLACES = (*FUSES, "BAT", "CAB", "total", "LIFT", "F99")
PARTS = ("LIFT", "HEATER", "lift", "F22", "CAB.K4", "K4", "HEATER.A", "BAT", "NOBODY")
BARE = ("0.0", "0.6", "12", ".5", "1.0", "0,7", "1.6mV", "460mA", "0.46A", "draws", "quiet")
AMOUNTS = ("0.46A", "1.6mV", "0.0mV", "460mA", "-0.2A", ".46a", "draws", "quiet", "0.46 A", "0,7A", "12", "0.0")
WORDS = (
    *PLACES, *PARTS, *AMOUNTS, "CHASSIS", "DOORD", "TOW", "U0140", "all", "except", "but", "not read", "not", "read", "out",
    "back", "network", "scan", "silent", "unsteady", "answers", "codes", "about", "log", "floor", "peak", "mean", "period", "for",
    "tested", "inputs", "outputs", "feed", "ground", "fine", "bad", "option", "without", "set", "open", "shut", "relay", "held",
    "stuck", "input", "right", "wrong", "looked", "zeroed", "locked", "opened", "key on", "awake", "asleep", "and", "the", "is",
    "remark", "claim", "photo", "cause", "mended", "to-mend", "until-then", "clamp", "mV", "A", "mA", "CAB mV:", "CAB A:", "3 h", "9h",
    "14h", "60min", "10:50", "2.5V", "0.08V", "F22..F25", "<0.1", "O.7", ",", ";", "=", ":",
)  # fmt: skip
EQUALS = ("=", " ", ": ", " = ")
BETWEEN = (" ", ", ", " and ", ",")


def readings(d: Decisions) -> str:
    between = d.one_of(BETWEEN)
    return between.join(f"{d.one_of(PLACES)}{d.one_of(EQUALS)}{d.one_of(AMOUNTS)}" for _ in range(1 + d.number(4)))


def row(d: Decisions) -> str:
    its = d.one_of(("CAB mV:", "CAB A:", "cab mv:", "CAB mA:"))
    if d.number(4):
        its += f" all {d.one_of(BARE)}"
    its += d.one_of(("", " except", " but", ","))
    its += "".join(f" {d.one_of(FUSES)} {d.one_of(BARE)}{d.one_of(('', ',', ''))}" for _ in range(d.number(4)))
    if d.number(3) == 0:
        its += d.one_of((" not read", ", not read")) + "".join(f" {fuse}" for fuse in d.some_of(FUSES, 3))
    return its


def after_a_word(d: Decisions) -> str:
    """A piece that begins with one of the words of these lines."""
    match d.number(8):
        case 0:
            return f"{d.one_of(('out', 'back'))} {d.one_of(BETWEEN).join(d.some_of(PARTS, 3))}"
        case 1:
            replies = d.some_of(("silent", "unsteady", "answers"), 3)
            return f"scan {' '.join(f'{reply} {chr(32).join(d.some_of(PARTS, 2))}' for reply in replies)}"
        case 2:
            each = (
                f"{d.one_of(('floor', 'peak', 'mean', 'for', 'period'))} {d.one_of(('0.04A', '0.3A', '9h', '20min'))}"
                for _ in range(5)
            )
            return f"log {' '.join(each)}"
        case 3:
            each = (
                f"{d.one_of(('inputs', 'outputs', 'feed', 'ground'))} {d.one_of(('fine', 'bad', '0.08V'))}"
                for _ in range(1 + d.number(3))
            )
            return f"tested {d.one_of(PARTS)} {' '.join(each)}"
        case 4:
            return f"codes {d.one_of((', ', ',', ' ')).join(d.some_of(('U0140', 'U0140 back HEATER about LIFT', 'P0562 low-voltage'), 3))}"
        case 5:
            return f"total {d.one_of(AMOUNTS)}"
    return d.one_of(tuple(EXAMPLES.values()))


@cache
def van() -> Platform:
    return platform_of([read_text(SourceFile("van.circuit", VAN))[0]])


def line_from(data: bytes) -> str:
    d = Decisions(data[1:])
    kind = data[0] % 16 if data else 0
    if kind == 15:
        return d.text(len(data))
    pieces = (d.one_of((readings, row, row, after_a_word))(d) for _ in range(1 + d.number(3)))
    line = d.one_of(("; ", "; ", ";", " ; ")).join(pieces)
    if kind < 8:
        return line
    for _ in range(1 + d.number(2)):  # what a hand or a telephone makes of it
        words = line.split(" ")
        at = d.number(len(words))
        match d.number(4):
            case 0:
                line = line[: d.number(len(line) + 1)]
            case 1:
                words[at] = d.one_of(WORDS) if kind < 14 else d.text(4)
                line = " ".join(words)
            case 2:
                line = " ".join([*words[:at], d.one_of(WORDS), *words[at:]])
            case _:
                line = " ".join([*words[: at + 1], *words[at:]])
    return line


def fuzz_card_line(data: bytes) -> None:
    """Raises AssertionError where a law is broken."""
    line = line_from(data)
    try:
        read = entry_of(van(), line)
    except WrongUse as refused:
        assert refused.message, line
        return
    except LimitReached:
        assert len(line) > LONGEST_LINE, line
        return
    broken = [*lost_on_the_way(line, read), *lost_on_the_card(read)]
    assert not broken, f"{broken}\nline {line!r}\nread {read!r}"


def lost_on_the_way(line: str, read: ShortLine) -> Iterator[str]:
    """Amounts and names that were typed and are not in what was read, nor told to be left out."""
    said = " ".join([*flat(read.fields), *read.understood])
    for piece in pieces_of(line):
        word, _, rest = piece.partition(" ")
        if word.removesuffix(":").casefold() in FREE_TEXT:
            if rest.strip() not in said:
                yield f"the text of {word}"
            continue
        counted, _, unread = re.sub(r"\ball \S+", "", piece).partition(
            "not read"
        )  # nothing may be left for `all` to mean
        for typed in names_in(with_points(counted).replace("=", " ").replace(":", " ")):
            if is_amount(typed) and as_written(typed).rstrip("AmV") not in said:
                yield f"the amount {typed}"
        for typed in re.split(r"[\s=:,]+", counted):
            name = part_named(typed)
            if name and not is_bare_number(typed) and name not in said and typed not in said:
                yield f"the name {typed}"
        if unread and not any(map(part_named, re.split(r"[\s,]+", unread))):
            yield "not read of nothing"


def part_named(typed: str) -> str:
    """The part that a word names; a box is only where a row is read."""
    try:
        name = find_part(van(), typed)
    except WrongUse:
        return ""
    return "" if isinstance(van().parts[name], Box) else name


def flat(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for item in value:
            yield from flat(item)


def lost_on_the_card(read: ShortLine) -> Iterator[str]:
    """What does not come back from the card, word for word."""
    card = "job: 1\nplatform: van\nentries:\n  - {at: 10:00, state: locked}\n"
    try:
        text = with_entry(SourceFile("job.yaml", card), (("at", "10:50"), *read.fields))
    except Failure as failure:
        yield f"cannot be written: {failure.message}"
        return
    found, problems = read_card(SourceFile("job.yaml", text))
    if problems or len(found.entries) != 2:
        yield f"{len(found.entries)} entries, {problems}"
        return
    said = found.source.text[found.entries[1].span.start :].replace("\\", "")
    for value in flat(read.fields):
        if value.isascii() and value.isprintable() and value.replace("\\", "") not in said.replace("\n", ""):
            words = value.split()
            if not all(word.replace("\\", "") in said for word in words):
                yield f"{value!r} is not on the card"
    job_from(van(), text, "job.yaml")
