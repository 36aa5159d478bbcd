"""A line typed at the car that makes no sense: what is wrong with it, and the line to write instead.

Each rule knows one usual slip. What it would write instead is offered only if it can be read, so that nobody is sent
from one refusal to the next.
"""

import re
from collections.abc import Callable, Iterator
from typing import NamedTuple

from circuitmap.evidence.codes import is_code
from circuitmap.evidence.job_card import STATES
from circuitmap.evidence.written_names import removable
from circuitmap.failures import WrongUse
from circuitmap.jobs.typed_words import HOW_TO_READ, is_amount, names_in, with_points, words_in
from circuitmap.jobs.typed_words_for_words import WORDS_FOR_WORDS
from circuitmap.wiring.names import find_name, find_part
from circuitmap.wiring.parts import Battery, Box, Fuse, Relay
from circuitmap.wiring.platform import Platform

Reads = Callable[[str], bool]
"""Whether a line can be read as it stands."""


class Slip(NamedTuple):
    """What is `wrong`; `write` is the line that says it, else `advice` tells what to do."""

    wrong: str
    write: str = ""
    advice: str = ""


def better_told(platform: Platform, piece: str, reads: Reads) -> WrongUse | None:
    """The slip in a piece of a line that could not be read; None if it is not one of the usual ones.

    Each line that might be meant is read; after `MOST_TRIED` of them the search ends.
    """
    tried = 0
    for rule in _RULES:
        for slip in rule(platform, piece):
            if slip.advice:
                return WrongUse(slip.wrong, slip.advice)
            if slip.write == piece:
                continue
            if tried == MOST_TRIED:
                return None
            tried += 1
            if reads(slip.write):
                return WrongUse(slip.wrong, f"Write: {slip.write}")
    return None


MOST_TRIED = 40
"""Most lines that are tried for one that cannot be read. A slip leads to a handful (judgement)."""


# ---- right words in the wrong place ----

_TIME = re.compile(r"(?:^|[\s,@])(?:at\s+)?@?(\d{1,2}:\d{2})(?=$|[\s,])")
_WITH_OPTION = re.compile(r"(?:meter|resolution)\b|(?:clamp|low.current.clamp|series|steady)\Z")
_OTHER_COMMANDS = {
    "strike": 'circuitmap card strike CARD NUMBER "why"', "undo": 'circuitmap card strike CARD NUMBER "why"',
    "delete": 'circuitmap card strike CARD NUMBER "why"', "show": "circuitmap card show CARD",
    "report": "circuitmap report CARD -o FILE.html",
}  # fmt: skip


def _time(platform: Platform, piece: str) -> Iterator[Slip]:
    found = _TIME.search(piece)
    if found is not None:
        rest = " ".join((piece[: found.start()] + piece[found.end() :]).split()).strip(",") or "..."
        yield Slip(f"{found[1]} is a time: it goes beside the line.", advice=f'Write: "{rest}" --at {found[1]}')


def _option(platform: Platform, piece: str) -> Iterator[Slip]:
    words = piece.casefold().split()
    if _WITH_OPTION.match(" ".join(words)):
        value = "-".join(word for word in words if word not in ("meter", "resolution", "steady"))
        option = words[0] if words[0] in ("resolution", "steady") else "meter"
        written = f"--{option} {value}".strip() if value or option == "steady" else f"--{option} .."
        yield Slip(f"{piece}: that is said beside a reading.", advice=f'Write: "total 1.85A" {written}')


_WITH_METER = re.compile(r"(?P<meter>clamp(?:ed)?|low.current.clamp|series)\s+(?P<rest>\S+[\s=]+\S+)\Z", re.I)


def _meter_first(platform: Platform, piece: str) -> Iterator[Slip]:
    """`clamp F33 0.2A`: the meter stands beside the reading."""
    found = _WITH_METER.match(piece.strip())
    if found is not None:
        place, _, amount = re.sub(r"[\s=]+", "=", found["rest"]).partition("=")
        meter = found["meter"].casefold().removesuffix("ed").replace(" ", "-")
        if _is_place(platform, place) and is_amount(amount):
            yield Slip(
                f"{found['meter']} is said beside the reading.", advice=f'Write: "{place}={amount}" --meter {meter}'
            )


def _other_command(platform: Platform, piece: str) -> Iterator[Slip]:
    word = piece.split()[0].casefold()
    if word in _OTHER_COMMANDS:
        yield Slip(f"{word} is a command of its own.", advice=_OTHER_COMMANDS[word])


# ---- commas, semicolons, colons ----

_DECIMAL_COMMA = re.compile(r"(?<![\w.,])([-+]?\d+),(\d+)(?!\w*[,.]\d)")
_STARTS = (*STATES, "zeroed", "looked", "total", "out", "back", "network", "scan", "codes", "relay", "input", "tested",
           "log", "found", "battery", "fitted", "own-battery", "in-slot", "turned", "set", "gone", "less", "no change",
           "remark")  # fmt: skip


def _decimal_comma(platform: Platform, piece: str) -> Iterator[Slip]:
    found = _DECIMAL_COMMA.search(piece)
    if found is not None:
        wrong = f"{found[0]} has a comma: numbers are written with a point here ({found[1]}.{found[2]})."
        yield Slip(wrong, _DECIMAL_COMMA.sub(r"\1.\2", piece))


def _no_semicolon(platform: Platform, piece: str) -> Iterator[Slip]:
    """`out LIFT BAT=0.05A`: two things in one piece, cut before the word that begins the second."""
    text = with_points(piece)
    for found in re.finditer(r"[\s,]+(?=\S)", text):
        before, after = text[: found.start()].rstrip(" ,"), text[found.end() :]
        word = after.split()[0]
        if "=" in word or any(
            after.casefold() == start or after.casefold().startswith(f"{start} ") for start in _STARTS
        ):
            yield Slip(f"A semicolon is missing before {word.strip(',')}.", f"{before}; {after}")


_ROW_SLIP = re.compile(
    r"(?:(?P<box>\S+?)\s*:?\s+)??(?:(?P<unit>mV|mA|A)\s*:?\s*)?(?:(?:all|rest|others)\b)(?P<rest>.*)\Z", re.I
)


_REST = re.compile(r"rest\s+[\d.]+\s*v?\Z", re.I)
"""`rest 12.45V` is the battery's, not the other fuses of a row."""


def _row(platform: Platform, piece: str) -> Iterator[Slip]:
    found = _ROW_SLIP.match(piece)
    if found is None or _REST.match(piece):
        return
    boxes = [part.name for part in platform.parts.values() if isinstance(part, Box)]
    box, unit, rest = found["box"], found["unit"], f"all{found['rest']}"
    if not box:
        yield Slip(
            "A row says of which box first.", advice=f"Write: {boxes[0] if boxes else 'BOX'} {unit or 'mV'}: {rest}"
        )
    elif not unit:
        named = box.rstrip(":")
        yield Slip(f"A row says first in what it was read: {named} mV: or {named} A:", f"{named} mV: {rest}")
    else:
        yield Slip("A row begins with its box, the unit and a colon.", f"{box.rstrip(':')} {unit}: {rest}")


# ---- the right words in another order, other words ----


def _other_words(platform: Platform, piece: str) -> Iterator[Slip]:
    """`pulled F22`, `F22 pulled`, `unlocked`, `note ...`: the same in the words that are known here."""
    text = " ".join(piece.split())
    for pattern, written in WORDS_FOR_WORDS:
        found = pattern.fullmatch(text)
        if found is not None:
            line = " ".join(found.expand(written).split())
            yield Slip(f"{piece} is written another way round here.", line)


def _own_kind(platform: Platform, piece: str) -> Iterator[Slip]:
    """The word that says what it is was left out: `BODY 2.5V`, `K4 held`, `DOORD wrong`, `U0140 back BCM`."""
    words = words_in(piece.replace("=", " "))
    first = words[0] if words else ""
    known = ("network", "relay", "input", "scan", "codes", "code")
    rest = " ".join(words[1:] if first.casefold() in known else words)
    if not rest:
        return
    if is_code(first.upper()) or first.casefold() in ("code", "dtc"):
        codes = [word for word in words if is_code(word.upper())]
        yield Slip(f"{first}: a code begins with codes.", f"codes {rest}")
        yield Slip(f"{first}: a code begins with codes.", f"codes {', '.join(codes)}")
    if first == "codes" and sum(is_code(word.upper()) for word in words) > 1:
        cut = re.sub(r"[\s,]+(?=[PCBUpcbu][0-3][0-9A-Fa-f]{3}\b)", ", ", piece.partition(" ")[2].strip())
        yield Slip("A comma belongs between two codes.", f"codes {cut}")
    for word, noun in (("network", "a network"), ("relay", "a relay"), ("input", "an input")):
        line = f"{word} {rest}"
        wrong = f"{piece}: no = here." if first.casefold() == word else f"{rest.split()[0]} is {noun}: say so first."
        yield Slip(wrong, line)


def _what_of_it(platform: Platform, piece: str) -> Iterator[Slip]:
    """A name alone, or names with nothing said about them."""
    names = names_in(with_points(piece))
    if len(names) != 1 or "=" in piece:
        return
    name = names[0]
    try:
        part = platform.parts[find_part(platform, name)]
    except WrongUse:
        try:
            find_name(platform.network_names, name, "network")
        except WrongUse:
            return
        yield Slip(f"{name}: what of it?", advice=f"Write network {name} 2.5V, network {name} awake or asleep.")
        return
    if isinstance(part, Fuse | Battery):
        yield Slip(f"{name} has no reading after it.", advice=HOW_TO_READ.format(place=name))
    elif isinstance(part, Relay):
        yield Slip(f"{name}: what of it?", advice=f"Write relay {name} held, stuck or open; or out {name}.")
    elif isinstance(part, Box):
        yield Slip(f"{name}: what of it?", advice=f"Write {name} mV: all 0.0 except ..; or {name}=0.46A, its feeder.")
    else:
        yield Slip(
            f"{name}: what of it?", advice=f"Write out {name}, back {name}, scan silent {name} or input {name} right."
        )


# ---- amounts ----

_QUIET = ("ok", "fine", "good", "none", "nil", "zero", "no", "off", "-", "0", "nix")
_DRAWS = ("yes", "on", "bad", "some", "drawing", "hot", "x")
_LETTER_O = re.compile(r"(?<![A-Za-z0-9])[oO](?=[.,]\d)")
_RANGE = re.compile(r"(\w+?\d+)(?:\.\.|-)(\w*\d+)\Z")


def _amounts(platform: Platform, piece: str) -> Iterator[Slip]:
    text = with_points(piece)
    if _LETTER_O.search(text):
        yield Slip("There is a letter O where a zero belongs.", _LETTER_O.sub("0", text))
    place, _, amount = text.partition("=" if "=" in text else " ")
    said = amount.strip().casefold()
    if " " in said or not _is_place(platform, place):
        yield from _one_for_several(platform, text)
        return
    for words, meaning in ((_QUIET, "quiet"), (_DRAWS, "draws")):
        if said in words:
            wrong = f"{place} {amount.strip()}: nothing seen is quiet, a reading that moves is draws."
            yield Slip(wrong, f"{place}={meaning}")
    if said[:1] in ("<", ">", "~") or said.startswith("ca"):
        yield Slip(
            f"{amount.strip()}: the figure on the display is written.",
            f"{place}={said.lstrip('<>~ca. ')}".replace("a", "A"),
        )
    if said.endswith("v") and not said.endswith("mv") and is_amount(said):
        volts = amount.strip()
        yield Slip(f"{volts} are volts, and a current is read at {place}.",
                   advice=f"Write: battery {place} rest {volts}, or battery {place} charging {volts}; elsewhere: "
                   f"remark {place} {volts}")  # fmt: skip


def _one_for_several(platform: Platform, text: str) -> Iterator[Slip]:
    """`F22 F23=0.0mV`, `F22..F25=0.0mV`: each place has its own reading."""
    *names, last = names_in(text) or [""]
    place, equals, amount = last.partition("=")
    if equals:
        names.append(place)
    elif is_amount(last):
        amount = last
    else:
        return
    if len(names) > 1 and all(_is_place(platform, name) for name in names):
        yield Slip("Each place has its own reading.", " ".join(f"{name}={amount}" for name in names))
    if len(names) == 1 and _RANGE.match(names[0]):
        each = f"Name each (F22={amount} F23={amount}), or a whole box: BOX mV: all 0.0 except F22 0.6"
        yield Slip(f"{names[0]} is not one place.", advice=each)


def _is_place(platform: Platform, text: str) -> bool:
    try:
        removable(platform, text)
    except WrongUse:
        return False
    return True


# ---- a description instead of a name; prose ----


def _by_description(platform: Platform, piece: str) -> Iterator[Slip]:
    """`out tail lift`: the parts whose description has all these words."""
    first, _, rest = piece.partition(" ")
    before, words = (f"{first} ", rest) if first in ("out", "back") else ("", piece.partition("=")[0])
    wanted = set(re.split(r"[\s-]+", words.casefold())) - {"the", ""}
    if not wanted or (not before and "=" not in piece):
        return
    found = [
        part for part in platform.parts.values()
        if part.description and wanted <= set(re.split(r"[\s-]+", part.description.casefold()))
    ]  # fmt: skip
    if not 1 <= len(found) <= 4:
        return
    names = ", ".join(f"{part.name} ({part.description})" for part in found)
    wrong = f"{words.strip()}: parts are named as on the sheets: {names}."
    if len(found) == 1:
        yield Slip(wrong, f"{before}{found[0].name}{piece[len(before) + len(words) :]}")
    yield Slip(wrong, advice=f"For example: {before or ''}{found[0].name}{'' if before else '=0.46A'}")


_RULES: tuple[Callable[[Platform, str], Iterator[Slip]], ...] = (
    _time, _decimal_comma, _option, _meter_first, _other_command, _no_semicolon, _row, _other_words, _own_kind,
    _amounts, _what_of_it, _by_description,
)  # fmt: skip
