"""From one short line, as it is typed at the car, to one entry of the card.

F22=0.46A F14=draws; total 1.85A        readings, and the battery's current at that moment
CAB mV: all 0.0 except F22 0.6 F14 1.0, not read F30; total 0.62
locked        key on        opened      what was done to the vehicle       door opened (until: door shut, or locked)
out HEATER; BAT=0.05A                     a try: what is out, and what is read then
out F22: gone                             the same without a figure: gone, less, no change
back HEATER                               put in again (back all); back F22: again
network CHASSIS 2.5V BODY asleep        or awake
found DOME burning, X20 wet             or warm, smells, chafed; sound: followed, nothing wrong
battery rest 12.45V charging 14.2V test bad
fitted FRIDGE from F22                  what is on no sheet       own-battery SIREN
in-slot FC4 10A mini                      what fuse is in a slot, where the sheets do not say, or say another
scan silent HEATER unsteady SUSP
codes U0140 back BCM about HEATER
log BAT floor 0.05A peak 1.2A mean 0.31A every 10min for 60min     logged night.csv (read from the file)
F22=0.31A; event     F14=0A; floor        read while what comes and goes was up, or down
tested HEATER inputs fine outputs fine feed 0.08V ground 0.03V     feed and ground with the load on
tested S12 1 to 2 open with the door shut       the part itself; or just: tested S12 bad
option TOW               without ALARM: what this vehicle has or has not      set LIVSW on (how a switch stands)
dead SCRL SCRR        works MIRL M12@S14=4        probe F72.1 12.3V F72.2 0.02V (the load switched on)
relay REAR.K3 held       input DOORD wrong HOOD right       volts HEATER.A5 0.0V       looked (all round, nothing found)
cause X20.8, rubbed through; kind chafed
zeroed, remark ..., claim ..., photo ..., to-mend ..., until-then ..., mended ...
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from itertools import zip_longest
from typing import get_args

from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.faults.kind_said import KINDS_SAID, words_said
from circuitmap.evidence.bare_numbers import unit_words, with_its_unit
from circuitmap.evidence.changes_seen import is_change
from circuitmap.evidence.checks_at_parts import HOW as _HOW_TESTED
from circuitmap.evidence.job_card import DURING, STATES
from circuitmap.evidence.written_names import (
    batteries_of,
    written_code,
    written_input,
    written_relay,
    written_volts,
)
from circuitmap.evidence.written_readings import amount_of, current_of, place_of
from circuitmap.failures import LimitReached, WrongUse
from circuitmap.jobs import line_pieces
from circuitmap.jobs.card_writing import Fields
from circuitmap.jobs.equipment import known_equipment
from circuitmap.jobs.line_cut import FREE_TEXT, keyword, pieces_of, taken_along
from circuitmap.jobs.line_so_far import NOTHING_YET, CarOnCard, LineSoFar
from circuitmap.jobs.no_draw_cause import NoDrawKind
from circuitmap.jobs.typed_row import NotAsItStands, row_of
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
from circuitmap.wiring.names import cut_short, find_part
from circuitmap.wiring.platform import Platform

LONGEST_LINE = 10_000
"""Most characters of one line, the same as for one statement of the notation."""
LONGEST_WORD = 160
"""Most characters of one word that is not free text: two names, as in `HEATER.A1`."""

_ROW = re.compile(r"(?P<box>\S+)\s+(?P<unit>mV|mA|A)\s*:\s*(?P<rest>.*)\Z", re.DOTALL | re.IGNORECASE)
_LOOKED = re.compile(r"looked(?: all)?(?: a?round)?(?:,? (?:and )?found nothing)?\Z")


@dataclass(frozen=True, slots=True)
class ShortLine:
    """`fields` for the card; `understood` says what was not taken at its word ("not counted: ...")."""

    fields: Fields
    understood: tuple[str, ...]


def entry_of(
    platform: Platform, text: str, hands_off: HandsOffMap | None = None, car: CarOnCard = NOTHING_YET
) -> ShortLine:
    """Read a short line against a platform; raises WrongUse saying what makes no sense and what to write.

    What is hands-off (worked out here if not given) is never among `all` fuses of a box; where a line names it, it is
    kept, because it happened. `car` is what the card says of this car so far.
    """
    if len(text) > LONGEST_LINE:
        raise LimitReached(
            f"This line has {len(text):,} characters; {LONGEST_LINE:,} are the most.", "Make it several."
        )
    if hands_off is None:
        hands_off = circuit_of(platform).hands_off
    line = LineSoFar(platform, hands_off, car)
    for piece in pieces_of(text):
        try:
            _piece(line, piece)
        except NotAsItStands:
            raise
        except WrongUse as failure:
            told = better_told(platform, piece, lambda other: _reads(platform, other, hands_off, car))
            raise told or failure from None
    if not line.fields and not line.read:
        raise WrongUse("There is nothing in this line.", HOW)
    fields = [*line.fields.items()]
    if line.read:
        fields.append(("read", tuple(line.read.items())))
    fields.sort(key=lambda item: _ORDER.index(item[0]))
    return ShortLine(tuple(fields), tuple(dict.fromkeys(line.remarks)))


_ORDER = (
    "state", "zeroed", "back", "out", "turned", "added", "own-battery", "in-slot", "read", "total", "during", "change",
    "looked", "found", "battery", "log", "network", "scan", "codes", "relays", "inputs", "volts",
    "dead", "works", "probed", "fitted", "absent", "stands", "tested", *FREE_TEXT,
)  # fmt: skip
"""The order in which an entry is written, whatever order it was typed in."""

EXAMPLES = {
    "total": "total 1.85A", "out": "out HEATER; BAT=0.05A", "back": "back HEATER", "network": "network CHASSIS 2.5V",
    "found": "found DOME burning", "battery": "battery rest 12.45V", "fitted": "fitted FRIDGE from F22",
    "own-battery": "own-battery SIREN", "in-slot": "in-slot FC4 10A",
    "codes": "codes U0140 back BCM about HEATER", "scan": "scan silent HEATER unsteady SUSP",
    "log": "log floor 0.05A peak 1.2A mean 0.31A for 60min", "tested": _HOW_TESTED.partition(": ")[2],
    "option": "option TOW", "without": "without TOW", "set": "set LIVSW on", "turned": "turned BUNKSW off",
    "relay": "relay K4 held", "input": "input DOORD wrong HOOD right", "volts": "volts HEATER.A5 0.0V",
    "dead": "dead SCRL SCRR", "works": "works MIRL", "probe": "probe F72.1 12.3V F72.2 0.02V",
    "remark": "remark it rained all night",
    "claim": "claim alternator renewed last week", "photo": "photo heater.jpg",
    "cause": "cause K4, its contact sticks; kind contact",
    "to-mend": "to-mend new plug X61", "until-then": "until-then F40 stays out", "mended": "mended new plug X61",
}  # fmt: skip
"""Words that take something after them, each with a line in which it can stand."""

HOW = "For example: F22=0.46A; total 1.85A   or   out HEATER; BAT=0.05A   or   locked"


def _reads(platform: Platform, text: str, hands_off: HandsOffMap, car: CarOnCard) -> bool:
    """Whether a line can be read as it stands."""
    line = LineSoFar(platform, hands_off, car)
    try:
        for piece in pieces_of(text):
            _piece(line, piece)
    except WrongUse:
        return False
    return True


def _piece(line: LineSoFar, piece: str) -> None:
    if keyword(piece)[0] not in FREE_TEXT:
        for word in words_in(piece):
            if len(word) > LONGEST_WORD:
                raise NotAsItStands(f"{cut_short(word)} is no name and no amount.", HOW)
    said = " ".join(piece.casefold().split())
    if said in STATES:
        line.put("state", said)
        return
    if said in DURING:
        line.put("during", said)
        return
    if said == "zeroed" or _LOOKED.match(said):
        line.put(said.split()[0], "yes")
        return
    if is_change(said):
        line_pieces.change(line, said)
        return
    word, rest = keyword(piece)
    row = _ROW.match(piece) if word not in FREE_TEXT else None
    if row is not None:
        _row(line, row["box"], UNITS[row["unit"].casefold()], row["rest"])
        return
    if word in EXAMPLES and not rest:
        raise WrongUse(f"{word} needs something after it.", f"For example: {EXAMPLES[word]}")
    if word in FREE_TEXT:
        if word == "cause":
            _kind_is_known(rest)
        line.put(word, rest)
        if told := taken_along(word, rest, EXAMPLES):
            line.remarks.append(told)
    elif word in _HANDLERS:
        _HANDLERS[word](line, rest)
    else:
        _readings(line, piece)


KNOWN_KINDS: tuple[str, ...] = (*KINDS_SAID, *get_args(NoDrawKind))


def _kind_is_known(cause: str) -> None:
    """A kind of fault that nobody knows would teach the next job nothing."""
    for said in words_said(cause):
        if " " not in said and said not in KNOWN_KINDS:
            raise WrongUse(f"{cut_short(said)} is no kind of fault.", f"The kinds: {', '.join(KNOWN_KINDS)}.")


def _readings(line: LineSoFar, piece: str) -> None:
    _known_words(line, piece)
    for place, value in readings_in(piece):
        if place.casefold() == "total":
            _total(line, value)
            continue
        its = place_of(line.platform, place, line.added)
        if is_bare_number(value):
            amount = with_its_unit(line.platform, its, value)
            line.remarks.append(unit_words(place, value, amount))
            value = amount
        _add(line, its, value, f"{place} {value}")


def _known_words(line: LineSoFar, piece: str) -> None:
    """Raises WrongUse for a first word that is neither a word of these lines nor a name."""
    words = [word.partition("=")[0] for word in words_in(with_points(piece))]
    first = words[0] if words else piece
    if "=" in with_points(piece) or first.casefold() == "total" or (len(words) > 1 and is_amount(words[1])):
        return
    from difflib import get_close_matches

    near = get_close_matches(piece.casefold(), [*STATES, *DURING, "zeroed", "looked"], 1, 0.7)
    near = near or get_close_matches(first.casefold(), EXAMPLES, 1, 0.7)
    raise WrongUse(f"{first} is not understood here.", f"Did you mean {near[0]}?" if near else HOW)


def _add(line: LineSoFar, place: str, value: str, words: str) -> None:
    amount_of(value)
    if line.says_anew(place, place, value, words):
        line.read[place] = value


def _total(line: LineSoFar, value: str) -> None:
    value = f"{value}A" if is_bare_number(value) else value
    current_of(value)
    batteries = batteries_of(line.platform)
    what = batteries[0] if len(batteries) == 1 else "total"
    if line.says_anew(what, "total", value, f"total {value}"):
        line.put("total", value)


def _row(line: LineSoFar, box: str, unit: str, rest: str) -> None:
    """`CAB mV: all 0.0 except F22 0.6 F14 1.0, not read F30`."""
    row = row_of(line.platform, line.hands_off, box, unit, rest)
    for place, amount, words in row.readings:
        _add(line, place, amount, words)
    if row.left_alone:
        line.remarks.append(f"Hands off, so not counted as read: {', '.join(row.left_alone)}.")
    if row.no_test_points:
        line.remarks.append(f"No test points, so not counted as read: {', '.join(row.no_test_points)}. Clamp the wire.")


def _names(rest: str, word: str) -> list[str]:
    """The names after a word, each once; raises WrongUse where there is none."""
    names = list(dict.fromkeys(names_in(rest)))
    if not names:
        raise WrongUse(f"{word} needs something after it.", f"For example: {EXAMPLES[word]}")
    return names


def _codes(line: LineSoFar, rest: str) -> None:
    codes = [code.strip() for code in rest.split(",") if code.strip()]
    if not codes:
        raise WrongUse("codes needs something after it.", f"For example: {EXAMPLES['codes']}")
    for code in codes:
        written_code(line.platform, code)
    line.put("codes", tuple(codes))


def _scan(line: LineSoFar, rest: str) -> None:
    replies: dict[str, list[str]] = {}
    reply = ""
    for word in names_in(rest):
        if word in ("silent", "unsteady", "answers"):
            _anybody(replies, reply)
            reply = word
            replies.setdefault(reply, [])
        elif not reply:
            raise WrongUse(f"{word}: silent, unsteady or answers?", "For example: scan silent HEATER unsteady SUSP")
        else:
            module = find_part(line.platform, word)
            if line.says_anew(f"scan {module}", module, reply, f"{reply} {word}"):
                replies[reply].append(module)
    _anybody(replies, reply)
    if not replies:
        raise WrongUse("A scan names the modules that were silent, unsteady, or answered.")
    line.put("scan", tuple((reply, ", ".join(names)) for reply, names in replies.items() if names))


def _anybody(replies: dict[str, list[str]], reply: str) -> None:
    if reply and not replies[reply]:
        raise NotAsItStands(
            f"No module stands after {reply}: is the line cut off?", "For example: scan silent HEATER unsteady SUSP"
        )


def _log(line: LineSoFar, rest: str) -> None:
    words = words_in(rest)
    said: list[tuple[str, str]] = []
    if words and words[0] not in _LOG_WORDS:
        said.append(("place", place_of(line.platform, words.pop(0))))
    while words:
        key = words.pop(0)
        if key not in _LOG_WORDS or not words:
            raise WrongUse(f"{key} is not understood in a log.", "For example: log floor 0.05A peak 1.2A mean 0.31A")
        value = words.pop(0)
        value = place_of(line.platform, value) if key == "rose-first" else as_written(value)
        value = f"{value}A" if key in ("floor", "peak", "mean") and is_bare_number(value) else value
        if line.says_anew(f"log {key}", key, value, f"{key} {value}"):
            said.append((key, value))
    line.put("log", tuple(said))


def _relay(line: LineSoFar, rest: str) -> None:
    name, _, state = rest.partition(" ")
    found = written_relay(line.platform, name, state.strip())
    line.put("relays", ((found.relay, state.strip()),))


def _input(line: LineSoFar, rest: str) -> None:
    words, said = words_in(rest), list[tuple[str, str]]()
    for name, seen in zip_longest(words[::2] or [""], words[1::2], fillvalue=""):
        found = written_input(line.platform, name, seen)
        if line.says_anew(f"input {found.part}", found.part, seen, f"{name} {seen}"):
            said.append((found.part, seen))
    line.put("inputs", tuple(said))


def _volts(line: LineSoFar, rest: str) -> None:
    words = words_in(rest)
    if len(words) != 2:
        raise WrongUse("volts needs a pin and what was measured there.", f"For example: {EXAMPLES['volts']}")
    value = as_written(words[1])
    found = written_volts(line.platform, words[0], value)
    line.put("volts", ((str(found.pin), value),))


def _fitted(line: LineSoFar, rest: str) -> None:
    known_equipment(line.platform, names := _names(rest, "option"), ())
    line.put("fitted", tuple(names))


def _absent(line: LineSoFar, rest: str) -> None:
    known_equipment(line.platform, (), names := _names(rest, "without"))
    line.put("absent", tuple(names))


_LOG_WORDS = ("floor", "peak", "mean", "every", "period", "lasts", "for", "rose-first")
_HANDLERS: dict[str, Callable[[LineSoFar, str], None]] = {
    "out": lambda line, rest: line_pieces.out_or_back(line, "out", rest),
    "back": lambda line, rest: line_pieces.out_or_back(line, "back", rest),
    "network": line_pieces.network,
    "found": line_pieces.found,
    "battery": line_pieces.battery,
    "fitted": line_pieces.fitted,
    "own-battery": line_pieces.own_battery,
    "in-slot": line_pieces.in_slot,
    "codes": _codes,
    "scan": _scan,
    "log": _log,
    "tested": line_pieces.tested,
    "relay": _relay,
    "input": _input,
    "volts": _volts,
    "dead": lambda line, rest: line_pieces.dead(line, "dead", rest),
    "works": lambda line, rest: line_pieces.dead(line, "works", rest),
    "probe": line_pieces.probed,
    "option": _fitted,
    "without": _absent,
    "set": line_pieces.stands,
    "turned": line_pieces.turned,
}
