"""Somebody who types the wires of a platform in short lines, by rule, without looking at what becomes of them.

The keys are counted: each character, Enter, and one more for each run of characters that need Shift.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path

from circuitmap.notation.folder import read_folder
from circuitmap.notation.reading import read_text
from circuitmap.notation.statements import End, Notation, SheetStatement, WireLook, WireStatement
from circuitmap.source import SourceFile
from circuitmap.transcribing.asked import Settled
from circuitmap.transcribing.typed_lines import KnownHere, typed_text
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform

ROOT = Path(__file__).parents[2]
FOLDERS = [
    *(folder for folder in sorted((ROOT / "sample_vehicles").iterdir()) if folder.is_dir()),
    *sorted({file.parent for file in (ROOT / "tests" / "papers").rglob("*.circuit")}),
]
_SHIFTED = re.compile(r'[A-Z~+?">_:#]+')


def keys(line: str) -> int:
    return len(line) + 1 + len(_SHIFTED.findall(line))


@dataclass
class Typed:
    """A platform's wires on the way: `by_hand` as they stand in the text, `short` as they were typed, `became` what came
    out; `in_full` are those that no short line can say."""

    by_hand: list[str] = field(default_factory=list)
    short: list[str] = field(default_factory=list)
    became: list[str] = field(default_factory=list)
    in_full: list[str] = field(default_factory=list)
    questions: int = 0
    wires: int = 0
    keys: int = 0
    keys_by_hand: int = 0


def read(folder: Path) -> tuple[tuple[SourceFile, ...], list[Notation]]:
    sources, _ = read_folder(folder)
    return sources, [read_text(source)[0] for source in sources]


def declared_only(folder: Path) -> tuple[KnownHere, Platform]:
    """What is known before the first wire is typed."""
    sources, notations = read(folder)
    without = [
        notation._replace(statements=tuple(its for its in notation.statements if not isinstance(its, WireStatement)))
        for notation in notations
    ]
    platform = platform_of(without, sources, [])
    return KnownHere(platform, without), platform


def wires_by_sheet(notations: Sequence[Notation]) -> Iterator[list[WireStatement]]:
    for notation in notations:
        sheet: list[WireStatement] = []
        for statement in notation.statements:
            if isinstance(statement, SheetStatement):
                yield sheet
                sheet = []
            elif isinstance(statement, WireStatement):
                sheet.append(statement)
        yield sheet


def plain(statement: WireStatement) -> str:
    """A statement as it was typed, on one line, without comments."""
    lines = [re.sub(r'("(?:[^"\\]|\\.)*")|#.*', lambda m: m[1] or "", line) for line in statement.span.text.split("\n")]
    return re.sub(r"(?<=\d)mm2\b", "", " ".join(" ".join(lines).split()))


class Typist:
    """Types small letters and the shortest tail that only one known part has; what was in the line above is taken from
    there by the rules of the reference."""

    def __init__(self, platform: Platform) -> None:
        self.names = [name.casefold() for name in platform.parts]
        self.boxes = {name.casefold() for name, part in platform.parts.items() if part.kind == "box"}
        self.above: WireStatement | None = None

    def line(self, statement: WireStatement) -> str:
        points = [statement.first, *(step.ends for step in statement.steps)]
        looks = [step.look for step in statement.steps]
        words = []
        for number, point in enumerate(points):
            place = "first" if number == 0 else "last" if number == len(points) - 1 else "middle"
            if place == "last" and number > 1 and _said(looks[number - 2]) != _said(looks[-1]):
                place = "behind a look"
            words.append(self._point(point, place))
            if number and (number == len(looks) or _said(looks[number - 1]) != _said(looks[-1])):
                words.append(self._look(looks[number - 1]))
        for option, fitted in statement.clauses.conditions:
            words.append(f"if {'' if fitted else 'not '}{option.text.casefold()}")
        if statement.clauses.copied:
            words.append(f'copied "{statement.clauses.copied.text}"')
        if statement.clauses.hands_off:
            reason = statement.clauses.hands_off.text
            words.append("not hands-off" if reason == "not" else f"hands-off {reason}")
        self.above = statement
        return " ".join(filter(None, words))

    def can_say(self, statement: WireStatement) -> bool:
        """A wire whose look is not printed, on a line where others have one, is written in full."""
        looks = [_said(step.look) for step in statement.steps]
        return all(looks) or not any(looks)

    def _point(self, point: tuple[End, ...], place: str) -> str:
        if self.above is not None and place == "first" and not any(end.is_open for end in point):
            last = [end.name.text for end in self.above.steps[-1].ends]
            if [end.name.text for end in point] == last:
                return "~"
        return ",".join(self._end(end, place) for end in point)

    def _end(self, end: End, place: str) -> str:
        if end.is_open:
            return f'? "{end.remark.text}"' if end.remark else "?"
        text = end.name.text
        owner, pin = self._split(text)
        if pin and self.above is not None and place in ("first", "last"):
            ends = [self.above.first, self.above.steps[-1].ends]
            for its in ends if place == "first" else reversed(ends):
                owners = {part for part, its_pin in (self._split(e.name.text) for e in its if not e.is_open) if its_pin}
                if owners:
                    if owners == {owner}:
                        return f".{pin.casefold()}"
                    break
        levels = owner.casefold().split(".")
        for count in range(1, len(levels) + 1):
            tail = ".".join(levels[-count:])
            if sum(f".{name}".endswith(f".{tail}") for name in self.names) <= 1:
                break
        return f"{tail}.{pin.casefold()}" if pin else tail

    def _split(self, text: str) -> tuple[str, str]:
        """Part and terminal; what is not known is one of those that need no declaration, in a box or not."""
        levels = text.split(".")
        for count in range(len(levels), 0, -1):
            head = ".".join(levels[:count])
            if head.casefold() in self.names and not (count < len(levels) and self._is_box(head)):
                return head, ".".join(levels[count:])
        count = min(2 if self._is_box(levels[0]) else 1, len(levels))
        return ".".join(levels[:count]), ".".join(levels[count:])

    def _is_box(self, name: str) -> bool:
        return name.casefold() in self.boxes

    def _look(self, look: WireLook) -> str:
        above = (
            next((s.look for s in reversed(self.above.steps) if s.look.colour or s.look.size), None)
            if self.above
            else None
        )
        if (
            above is not None
            and look.name is None
            and look.code is None
            and look.length is None
            and _said(look) == _said(above) != ""
        ):
            return "="
        words = []
        if look.colour:
            written = look.colour.text.casefold()
            words.append("GNYE" if written == "gnye" else written if written == "gn/ye" else written.replace("/", ""))
        if look.size:
            size = look.size.written.removesuffix("mm2")
            words.append(size.removeprefix("0") if look.colour and size.startswith("0.") else size)
        words += [f"named {look.name.text}"] if look.name else []
        words += [f'code "{look.code.text}"'] if look.code else []
        words += [f"length {look.length.written}"] if look.length else []
        return " ".join(words)


def _said(look: WireLook) -> str:
    return " ".join(word.text for word in (look.colour, look.name, look.code) if word) + (
        f" {look.size.written.removesuffix('mm2')}" if look.size else ""
    )


def typed_platform(folder: Path) -> Typed:
    """All wires of a folder typed in short lines, sheet by sheet; questions are answered with what the text says."""
    known, platform = declared_only(folder)
    _, notations = read(folder)
    done = Typed()
    for sheet in wires_by_sheet(notations):
        _type_sheet(sheet, known, platform, done)
    return done


def _type_sheet(sheet: list[WireStatement], known: KnownHere, platform: Platform, done: Typed) -> None:
    typist = Typist(platform)
    rows = []
    for statement in sheet:
        by_hand = plain(statement)
        short = typist.line(statement)
        if not typist.can_say(statement):
            short = by_hand
            done.in_full.append(by_hand)
        rows.append((short, by_hand, statement))
    source = SourceFile("typed", "\n".join(short for short, _, _ in rows))
    settled: Settled = {}
    typed = typed_text(source, known, settled)
    asked = 0
    while typed.questions:
        question = typed.questions[0]
        number = question.span.line - 1
        right = set(rows[number][1].replace(",", " , ").split())
        choices = [choice for choice in question.choices if choice in right]
        assert len(choices) == 1, (question.headline, rows[number][:2])
        settled = {**settled, question.span.start: choices[0]}
        asked += 1
        typed = typed_text(source, known, settled)
    assert len(typed.lines) == len(rows)
    for (short, by_hand, statement), became in zip(rows, typed.lines, strict=True):
        done.short.append(short)
        done.by_hand.append(by_hand)
        done.became.append(became)
        points = [len(statement.first), *(len(step.ends) for step in statement.steps)]
        done.wires += sum(a * b for a, b in pairwise(points))
        done.keys += keys(short)
        done.keys_by_hand += keys(by_hand)
    done.questions += asked
    done.keys += 2 * asked  # the number of the choice, and Enter
