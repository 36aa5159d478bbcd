"""One short line, as it is typed at the car, to one entry of the card.

F22=0.46A F14=draws; total 1.85A        readings, and the battery's current at that moment
CAB mV: all 0.0 except F22 0.6 F14 1.0, not read F30; total 0.62
locked        key on        opened      what was done to the vehicle
out LIFT; BAT=0.05A                     a try: what is out, and what is read then
back LIFT                               put in again
network CHASSIS 2.5V                    or awake, asleep
scan silent LIFT unsteady SUSP
codes U0140 back BCM about LIFT
log BAT floor 0.05A peak 1.2A mean 0.31A period 10min for 60min
tested LIFT inputs fine outputs fine feed 0.08V ground 0.03V     feed and ground with the load on
option TOW               without ALARM: what this vehicle has or has not      set LIVSW on (how a switch stands)
relay REAR.K3 held       input DOORD wrong       looked (all round, nothing found)
zeroed, remark ..., claim ..., photo ..., cause ..., to-mend ..., until-then ..., mended ...
"""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.circuit.links import circuit_of
from circuitmap.evidence.fuse_drop import NO_TEST_POINTS
from circuitmap.evidence.job_card import STATES
from circuitmap.evidence.written_names import (
    removable,
    written_code,
    written_input,
    written_line,
    written_position,
    written_relay,
)
from circuitmap.evidence.written_readings import amount_of, current_of, place_of
from circuitmap.failures import WrongUse
from circuitmap.jobs.card_writing import Fields, Value
from circuitmap.jobs.equipment import known_equipment
from circuitmap.jobs.part_tests import HOW as _HOW_TESTED
from circuitmap.jobs.part_tests import check_test
from circuitmap.jobs.typed_slips import better_told
from circuitmap.jobs.typed_words import (
    UNITS,
    as_written,
    is_amount,
    is_bare_number,
    names_in,
    readings_in,
    with_points,
    words_in,
)
from circuitmap.wiring.names import find_part
from circuitmap.wiring.parts import Box, Fuse
from circuitmap.wiring.platform import Platform

FREE_TEXT = ("remark", "claim", "photo", "cause", "to-mend", "until-then", "mended")
"""Words that take the rest of the line as it is."""

_ROW = re.compile(r"(?P<box>\S+)\s+(?P<unit>mV|mA|A)\s*:\s*(?P<rest>.*)\Z", re.DOTALL | re.IGNORECASE)
_LOOKED = re.compile(r"looked(?: all)?(?: a?round)?(?:,? (?:and )?found nothing)?\Z")


@dataclass
class _Line:
    """What was found so far, and what the person should be told about how it was understood."""

    platform: Platform
    hands_off: HandsOffMap
    read: dict[str, str] = field(default_factory=dict)
    fields: dict[str, Value] = field(default_factory=dict)
    remarks: list[str] = field(default_factory=list)

    def put(self, key: str, value: Value) -> None:
        if key in self.fields:
            raise WrongUse(f"{key} stands twice in this line.", "Make it two entries.")
        self.fields[key] = value


@dataclass(frozen=True, slots=True)
class ShortLine:
    """`fields` for the card; `understood` says what was not taken at its word ("not counted: ...")."""

    fields: Fields
    understood: tuple[str, ...]


def entry_of(platform: Platform, text: str, hands_off: HandsOffMap | None = None) -> ShortLine:
    """Read a short line against a platform; raises WrongUse naming what makes no sense, and what to write.

    What is hands-off (worked out here if it is not given) is never among `all` fuses of a box; named by itself it is
    kept, because it happened.
    """
    if hands_off is None:
        hands_off = circuit_of(platform).hands_off
    line = _Line(platform, hands_off)
    for piece in pieces_of(text):
        try:
            _piece(line, piece)
        except WrongUse as failure:
            raise better_told(platform, piece, lambda other: _reads(platform, other, hands_off)) or failure from None
    if not line.fields and not line.read:
        raise WrongUse("There is nothing in this line.", HOW)
    fields = [*line.fields.items()]
    if line.read:
        fields.append(("read", tuple(line.read.items())))
    fields.sort(key=lambda item: _ORDER.index(item[0]))
    return ShortLine(tuple(fields), tuple(line.remarks))


_ORDER = (
    "state", "zeroed", "back", "out", "read", "total", "looked", "log", "network", "scan", "codes", "relays", "inputs",
    "fitted", "absent", "stands", "tested", *FREE_TEXT,
)  # fmt: skip
"""In which order an entry is written, whatever order it was typed in."""

EXAMPLES = {
    "total": "total 1.85A", "out": "out LIFT; BAT=0.05A", "back": "back LIFT", "network": "network CHASSIS 2.5V",
    "codes": "codes U0140 back BCM about LIFT", "scan": "scan silent LIFT unsteady SUSP",
    "log": "log floor 0.05A peak 1.2A mean 0.31A for 60min", "tested": _HOW_TESTED.partition(": ")[2],
    "option": "option TOW", "without": "without TOW", "set": "set LIVSW on",
    "relay": "relay K4 held", "input": "input DOORD wrong", "remark": "remark it rained all night",
    "claim": "claim alternator renewed last week", "photo": "photo lift.jpg", "cause": "cause LIFT, water in its plug",
    "to-mend": "to-mend new plug X61", "until-then": "until-then F40 stays out", "mended": "mended new plug X61",
}  # fmt: skip
"""Words that take something after them, each with a line that it can stand in."""

HOW = "For example: F22=0.46A; total 1.85A   or   out LIFT; BAT=0.05A   or   locked"


def pieces_of(text: str) -> Iterator[str]:
    """What stands between the semicolons; a word such as `remark` takes all that is left."""
    while text := text.strip(" ;"):
        whole = _keyword(text)[0] in FREE_TEXT
        piece, _, text = (text, "", "") if whole else text.partition(";")
        if piece.strip():
            yield piece.strip()


def _keyword(piece: str) -> tuple[str, str]:
    """The first word as it is known here (`Out:` is `out`), and what follows it."""
    first, _, rest = piece.partition(" ")
    return first.removesuffix(":").casefold(), rest.strip()


def _reads(platform: Platform, text: str, hands_off: HandsOffMap) -> bool:
    """Whether a line can be read as it stands."""
    line = _Line(platform, hands_off)
    try:
        for piece in pieces_of(text):
            _piece(line, piece)
    except WrongUse:
        return False
    return True


def _piece(line: _Line, piece: str) -> None:
    said = " ".join(piece.casefold().split())
    if said in STATES:
        line.put("state", said)
        return
    if said == "zeroed" or _LOOKED.match(said):
        line.put(said.split()[0], "yes")
        return
    row = _ROW.match(piece)
    if row is not None:
        _row(line, row["box"], UNITS[row["unit"].casefold()], row["rest"])
        return
    word, rest = _keyword(piece)
    if word in EXAMPLES and not rest:
        raise WrongUse(f"{word} needs something after it.", f"For example: {EXAMPLES[word]}")
    if word in FREE_TEXT:
        line.put(word, rest)
    elif word in _HANDLERS:
        _HANDLERS[word](line, rest)
    else:
        _readings(line, piece)


def _readings(line: _Line, piece: str) -> None:
    _known_words(line, piece)
    for place, value in readings_in(piece):
        if place.casefold() == "total":
            _total(line, value)
        else:
            _add(line, place_of(line.platform, place), value)


def _known_words(line: _Line, piece: str) -> None:
    """Raises WrongUse for a first word that is neither a word of these lines nor a name."""
    words = [word.partition("=")[0] for word in words_in(with_points(piece))]
    first = words[0] if words else piece
    if "=" in with_points(piece) or first.casefold() == "total" or (len(words) > 1 and is_amount(words[1])):
        return
    from difflib import get_close_matches

    near = get_close_matches(piece.casefold(), [*STATES, "zeroed", "looked"], 1, 0.7)
    near = near or get_close_matches(first.casefold(), EXAMPLES, 1, 0.7)
    raise WrongUse(f"{first} is not understood here.", f"Did you mean {near[0]}?" if near else HOW)


def _add(line: _Line, place: str, value: str) -> None:
    amount_of(value)
    if place in line.read:
        raise WrongUse(f"{place} stands twice in this line.")
    line.read[place] = value


def _total(line: _Line, value: str) -> None:
    value = f"{value}A" if is_bare_number(value) else value
    current_of(value)
    line.put("total", value)


def _row(line: _Line, box: str, unit: str, rest: str) -> None:
    """`CAB mV: all 0.0 except F22 0.6 F14 1.0, not read F30`."""
    name = find_part(line.platform, box)
    if not isinstance(line.platform.parts[name], Box):
        raise WrongUse(f"{name} is not a box; a row names a box and its unit first, such as CAB mV: all 0.0.")
    words = words_in(rest.replace("not read", "not-read").replace("=", " "))
    everywhere: str | None = None
    if words[:1] == ["all"]:
        if len(words) < 2:
            raise WrongUse("all needs a value after it, such as all 0.0.")
        everywhere, words = _with_unit(words[1], unit), words[2:]
    single, unread = _named_values(line, name, unit, words)
    if everywhere is None and not single:
        raise WrongUse("This row reads no fuse.", "For example: CAB mV: all 0.0 except F22 0.6")
    if everywhere is not None:
        _all_fuses(line, name, unit, everywhere, single.keys() | unread)
    for place, value in single.items():
        _add(line, place, value)


def _named_values(line: _Line, box: str, unit: str, words: list[str]) -> tuple[dict[str, str], set[str]]:
    single: dict[str, str] = {}
    unread: set[str] = set()
    waiting = iter(words)
    for word in waiting:
        if word in ("except", "but"):
            continue
        if word == "not-read":
            unread |= {_fuse(line, box, fuse) for fuse in waiting}
            break
        value = next(waiting, None)
        if value is None:
            raise WrongUse(f"{word} has no value in this row.")
        single[_fuse(line, box, word)] = _with_unit(value, unit)
    return single, unread


def _fuse(line: _Line, box: str, text: str) -> str:
    full = f"{box}.{text}"
    name = full if full in line.platform.parts else find_part(line.platform, text)
    if not isinstance(line.platform.parts[name], Fuse):
        raise WrongUse(f"{name} is not a fuse.")
    return name


def _all_fuses(line: _Line, box: str, unit: str, value: str, others: set[str]) -> None:
    without_points: list[str] = []
    left_alone: list[str] = []
    count = 0
    for fuse in line.platform.fuses:
        owner = line.platform.box_of(fuse.name)
        if owner is None or owner.name != box or fuse.empty or fuse.name in others:
            continue
        if unit == "mV" and fuse.style in NO_TEST_POINTS:
            without_points.append(f"{fuse.name} ({fuse.style})")
            continue
        if not line.hands_off.may_touch(fuse.name):
            left_alone.append(fuse.name)
            continue
        _add(line, fuse.name, value)
        count += 1
    if not count and not others:
        raise WrongUse(f"There is no other fuse in {box} that all could mean.")
    if left_alone:
        line.remarks.append(f"Hands off, so not counted as read: {', '.join(left_alone)}.")
    if without_points:
        line.remarks.append(f"No test points, so not counted as read: {', '.join(without_points)}. Clamp the wire.")


def _with_unit(value: str, unit: str) -> str:
    value = as_written(f"{value}{unit}" if is_bare_number(value) else value)
    amount_of(value)
    return value


def _out(line: _Line, rest: str) -> None:
    line.put("out", tuple(removable(line.platform, word) for word in names_in(rest)))


def _back(line: _Line, rest: str) -> None:
    line.put("back", tuple(removable(line.platform, word) for word in names_in(rest)))


def _network(line: _Line, rest: str) -> None:
    name, _, value = rest.partition(" ")
    found = written_line(line.platform, name, value.strip())
    line.put("network", ((found.network, value.strip()),))


def _codes(line: _Line, rest: str) -> None:
    codes = [code.strip() for code in rest.split(",") if code.strip()]
    for code in codes:
        written_code(line.platform, code)
    line.put("codes", tuple(codes))


def _scan(line: _Line, rest: str) -> None:
    replies: dict[str, list[str]] = {}
    reply = ""
    for word in names_in(rest):
        if word in ("silent", "unsteady", "answers"):
            reply = word
        elif not reply:
            raise WrongUse(f"{word}: silent, unsteady or answers?", "For example: scan silent LIFT unsteady SUSP")
        else:
            replies.setdefault(reply, []).append(find_part(line.platform, word))
    if not replies:
        raise WrongUse("A scan names the modules that were silent, unsteady, or answered.")
    line.put("scan", tuple((reply, ", ".join(names)) for reply, names in replies.items()))


def _log(line: _Line, rest: str) -> None:
    words = words_in(rest)
    said: list[tuple[str, str]] = []
    if words and words[0] not in _LOG_WORDS:
        said.append(("place", place_of(line.platform, words.pop(0))))
    while words:
        key = words.pop(0)
        if key not in _LOG_WORDS or not words:
            raise WrongUse(f"{key} is not understood in a log.", "For example: log floor 0.05A peak 1.2A mean 0.31A")
        value = words.pop(0)
        said.append((key, place_of(line.platform, value) if key == "rose-first" else value))
    line.put("log", tuple(said))


def _tested(line: _Line, rest: str) -> None:
    words = words_in(rest)
    part = find_part(line.platform, words[0])
    said = words[1:]
    if not said or len(said) % 2:
        raise WrongUse("A test says what was tested and how it was.", _HOW_TESTED)
    pairs = []
    for what, result in zip(said[::2], said[1::2], strict=True):
        check_test(what, result)
        pairs.append((f"{part} {what}", result))
    line.put("tested", tuple(pairs))


def _relay(line: _Line, rest: str) -> None:
    name, _, state = rest.partition(" ")
    found = written_relay(line.platform, name, state.strip())
    line.put("relays", ((found.relay, state.strip()),))


def _input(line: _Line, rest: str) -> None:
    name, _, seen = rest.partition(" ")
    written_input(line.platform, name, seen.strip())
    line.put("inputs", ((find_part(line.platform, name), seen.strip()),))


def _fitted(line: _Line, rest: str) -> None:
    known_equipment(line.platform, names_in(rest), ())
    line.put("fitted", tuple(names_in(rest)))


def _absent(line: _Line, rest: str) -> None:
    known_equipment(line.platform, (), names_in(rest))
    line.put("absent", tuple(names_in(rest)))


def _set(line: _Line, rest: str) -> None:
    name, _, position = rest.replace("=", " ").partition(" ")
    line.put("stands", (written_position(line.platform, name, position),))


_LOG_WORDS = ("floor", "peak", "mean", "period", "for", "rose-first")
_HANDLERS: dict[str, Callable[[_Line, str], None]] = {
    "out": _out,
    "back": _back,
    "network": _network,
    "codes": _codes,
    "scan": _scan,
    "log": _log,
    "tested": _tested,
    "relay": _relay,
    "input": _input,
    "option": _fitted,
    "without": _absent,
    "set": _set,
}
