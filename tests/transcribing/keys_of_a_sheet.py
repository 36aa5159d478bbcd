"""One sheet of forty wires, typed in each way: how many keys, and how many minutes by a model.

`python -m tests.transcribing.keys_of_a_sheet` writes `keys_of_a_sheet.md`. What comes out of each way is compared with
the sheet as it was written by hand: keys that lead elsewhere do not count. No people typed.

The model: a key takes .28 s for somebody who types at 40 words a minute and .5 s where what is typed are random letters
or codes; a decision takes 1.35 s (Card, Moran, Newell: The Keystroke-Level Model for User Performance Time with
Interactive Systems, 1980; from memory). Reading the paper takes the same in all ways and is left out.
"""

import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from circuitmap.flows.begun_platforms import begin_platform
from circuitmap.flows.questions import open_platform
from circuitmap.flows.typing_checked import TypingChecked
from circuitmap.flows.typing_short import PastedTable, TypingShort
from circuitmap.notation.statements import WireStatement
from circuitmap.wiring.platform import Platform, Wire
from tests.transcribing.typing_shop import FORTY, HEADING, begun_shop, opened, piece_called
from tests.transcribing.typist import Typist, declared_only, keys, plain, read, wires_by_sheet

PAGE = Path(__file__).with_suffix(".md")
KEY_SECONDS, CODE_SECONDS, DECISION_SECONDS = 0.28, 0.5, 1.35
SAVE_KEYS = 2
"""Ctrl S."""
CHOSEN_KEYS = 1
"""A question is answered with a digit; a button is one key, too."""


@dataclass(frozen=True)
class OneWay:
    """`decisions`: questions, columns and lines about which somebody makes up their mind."""

    name: str
    keys: int
    decisions: int
    platform: Platform

    @property
    def minutes(self) -> tuple[float, float]:
        thinking = self.decisions * DECISION_SECONDS
        return (self.keys * KEY_SECONDS + thinking) / 60, (self.keys * CODE_SECONDS + thinking) / 60


def statements() -> list[WireStatement]:
    return list(wires_by_sheet(read(FORTY.parent)[1]))[-1]


def plainly(room: Path) -> OneWay:
    """Each statement in full, in a text field."""
    text = HEADING
    pressed = SAVE_KEYS
    for statement in statements():
        pressed += keys(plain(statement))
        text += f"{plain(statement)}\n"
    return _saved(room, "in full", text, pressed, 0)


def in_short(room: Path) -> OneWay:
    """Short lines on the typing page; what is asked is answered with a digit."""
    begun_shop(room)
    its, key = opened(room)
    sheet = piece_called(its, key, "61-02")
    typist = Typist(declared_only(FORTY.parent)[1])
    text, pressed, asked = HEADING, SAVE_KEYS, 0
    for statement in statements():
        line = typist.line(statement)
        pressed += keys(line)
        settled: dict[int, str] = {}
        while (made := TypingShort(its).lines(key, sheet, text, line, settled))["questions"]:
            question = made["questions"][0]
            [right] = set(question["choices"]) & set(statement.span.text.replace(",", " ").split())
            settled[question["start"]] = right
            pressed, asked = pressed + CHOSEN_KEYS, asked + 1
        text += "".join(f"{its_line}\n" for its_line in made["lines"])
    its.save(key, sheet, HEADING, text)
    return OneWay("in short lines", pressed, asked, open_platform(room / "plover"))


def as_a_table(room: Path) -> OneWay:
    """A wire list from the clipboard: pasted, its columns looked at, unsure ones decided, confirmed, put below the text."""
    begun_shop(room)
    its, key = opened(room)
    sheet = piece_called(its, key, "61-02")
    short = TypingShort(its)
    pasted = PastedTable(_wire_list(open_platform(FORTY.parent)))
    pressed = 2 + 1  # Ctrl V, Read
    guess = short.table(key, sheet, HEADING, pasted)["table"]
    columns = [one["is"] for one in guess["columns"]]
    decided = len(columns)
    for number, right in enumerate(ROLES):
        if columns[number] != right:
            columns[number] = right
            pressed += 2  # the column, and the first letter of what it is
    pasted = pasted._replace(columns=columns, headed=True)
    pressed += 1  # this is right
    settled: dict[int, str] = {}
    while (made := short.table(key, sheet, HEADING, pasted._replace(settled=settled)))["questions"]:
        question = made["questions"][0]
        assert question["choices"], question
        settled[question["start"]] = _right_choice(question)
        pressed, decided = pressed + CHOSEN_KEYS, decided + 1
    text = HEADING + "".join(f"{line}\n" for line in made["lines"])
    its.save(key, sheet, HEADING, text)
    return OneWay("as a pasted wire list", pressed + 1 + SAVE_KEYS, decided, open_platform(room / "plover"))


def from_a_sister(room: Path) -> OneWay:
    """Every line of a sister's sheet is the same here: one key each."""
    begun_shop(room, FORTY.read_text("utf-8"))
    its, plover = opened(room)
    name = "Wickmere Plover 7-tonner"
    key = begin_platform(its.platforms, name, plover)
    checked, sheet = TypingChecked(its), piece_called(its, key, "61-02")
    pressed = keys(name) + 3  # its name, the sister, and the sheet
    left = checked.left(key, sheet)["left"]
    lines = len(left)
    while left:
        left = checked.check(key, sheet, left[0]["says"], "same")["left"]
        pressed += 1
    return OneWay("checked off a sister's", pressed, lines, open_platform(its.platforms.folder(key)))


ROLES = ("from", "from-pin", "via", "to", "to-pin", "colour", "size")


def _wire_list(platform: Platform) -> str:
    """The sheet's wires as a workshop prints them: a row for each, parts and pins in columns of their own."""
    rows = [("From", "Pin", "Via", "To", "Pin", "Colour", "mm2")]
    for wire in platform.wires:
        if wire.kind == "wire":
            a, b = _printed(wire.a.part, wire.a.pin, platform), _printed(wire.b.part, wire.b.pin, platform)
            rows.append((*a, "", *b, wire.colour_written, wire.size_written.removesuffix("mm2")))
    return "".join("\t".join(row) + "\n" for row in rows)


def _printed(part: str, pin: str, platform: Platform) -> tuple[str, str]:
    kind = platform.parts[part].kind
    return part, "" if kind in ("fuse", "splice", "ground", "bar", "lamp", "motor", "solenoid", "horn") else pin


def _right_choice(question: dict[str, object]) -> str:
    about = str(question["about"])
    choices = list(question["choices"])  # type: ignore[call-overload]
    return next((str(its) for its in choices if str(its) == about), str(choices[0]))


def _saved(room: Path, name: str, text: str, pressed: int, decisions: int) -> OneWay:
    begun_shop(room)
    its, key = opened(room)
    its.save(key, piece_called(its, key, "61-02"), HEADING, text)
    return OneWay(name, pressed, decisions, open_platform(room / "plover"))


WAYS: tuple[Callable[[Path], OneWay], ...] = (plainly, in_short, as_a_table, from_a_sister)


def wires_of(platform: Platform) -> set[tuple[object, ...]]:
    """The wires by what they join and what they look like."""
    return {(wire.ends, wire.colour, wire.size) for wire in platform.wires if wire.kind == "wire"}


def counted() -> list[OneWay]:
    ways = []
    for way in WAYS:
        with tempfile.TemporaryDirectory() as room:
            ways.append(way(Path(room)))
    return ways


def page_of(ways: list[OneWay]) -> str:
    by_hand = open_platform(FORTY.parent)
    many = len([wire for wire in by_hand.wires if _is_wire(wire)])
    lines = [
        "# Keys of a sheet",
        "",
        f"One invented sheet of {many} wires in {len(statements())} lines (`forty_wires/plover.circuit`), its parts declared, typed in each "
        "way;",
        "what came out is the same sheet each time (`python -m tests.transcribing.keys_of_a_sheet`). **No people typed**: keys are",
        "counted, minutes follow from a model.",
        "",
        "| way | keys | keys a wire | decisions | minutes at .28 s a key | at .5 s a key |",
        "|---|---|---|---|---|---|",
    ]
    for way in ways:
        quick, slow = way.minutes
        lines.append(
            f"| {way.name} | {way.keys} | {way.keys / many:.1f} | {way.decisions} | {quick:.1f} | {slow:.1f} |"
        )
    checked_off = many * (KEY_SECONDS + DECISION_SECONDS) / 60
    return "\n".join(
        [
            *lines,
            "",
            "A key is a character, Enter, a digit that answers a question, or a button; one more for each run that needs Shift. A",
            "decision is a question, a column that is looked at, or a line that is compared with the paper: 1.35 s each. .28 s is a key",
            "of somebody who types at 40 words a minute, .5 s one of random letters or codes (Card, Moran, Newell, 1980; from memory).",
            "Reading the paper, some 5 to 10 s a wire, is the same in all ways and left out. A wire list is only there where the",
            "workshop has one as text; a sister's sheet only where it is typed in already, and each line that differs costs what it",
            "costs in short lines. What came from a table is marked until somebody has checked it off, as a sister's lines are: a key and",
            f"a decision for each of its {many} rows, {checked_off:.1f} minutes more. A pin of a module that was not declared is asked for (B1 or b1): declared pins are not.",
            "",
        ]
    )


def _is_wire(wire: Wire) -> bool:
    return wire.kind == "wire"


if __name__ == "__main__":
    PAGE.write_text(page_of(counted()), "utf-8")
