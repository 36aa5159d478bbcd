"""One wrong key in a wire: is it asked at once, told by `check` later, or told by nobody?

`python -m tests.transcribing.one_wrong_key` tries slips in short lines and as many in plain typing, on the wires of the
sample vehicles, and writes what became of them to `one_wrong_key.md`.
"""

from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from random import Random
from typing import NamedTuple

from circuitmap.circuit.links import circuit_of
from circuitmap.notation.reading import read_text
from circuitmap.notation.statements import Notation, WireStatement
from circuitmap.power.checks import problems_of
from circuitmap.problems import Problem
from circuitmap.source import SourceFile
from circuitmap.transcribing.typed_lines import KnownHere, typed_text
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.transcribing.typist import FOLDERS, Typist, plain, read, typed_platform, wires_by_sheet

PAGE = Path(__file__).with_suffix(".md")
TRIES = 400
SAMPLES = [folder for folder in FOLDERS if "sample_vehicles" in folder.parts]
BECAME = {
    "asked at once": "asked at once",
    "told by check": "told by `check` later",
    "told by nobody": "told by nobody",
    "harmless": "harmless: the same wire, or no line left",
}
ROWS = ("1234567890", "qwertyuiop", "asdfghjkl", "zxcvbnm,.")


def slip(line: str, random: Random) -> str:
    """The line with one key missed, doubled, swapped with its neighbour, or hit beside."""
    while True:
        at = random.randrange(len(line))
        kind = random.choice(("missed", "doubled", "swapped", "beside", "beside"))
        if kind == "missed":
            wrong = line[:at] + line[at + 1 :]
        elif kind == "doubled":
            wrong = line[:at] + line[at] + line[at:]
        elif kind == "swapped":
            wrong = line[:at] + line[at : at + 2][::-1] + line[at + 2 :]
        else:
            wrong = line[:at] + _beside(line[at], random) + line[at + 1 :]
        if wrong != line:
            return wrong


def _beside(key: str, random: Random) -> str:
    for row in ROWS:
        at = row.find(key.lower())
        if at >= 0:
            near = row[max(at - 1, 0)] if random.random() < 0.5 else row[min(at + 1, len(row) - 1)]
            return near.upper() if key.isupper() else near
    return key


class Bench:
    """A sample in which one wire is typed anew: the statement, its short line, and what is known around it."""

    def __init__(self, folder: Path) -> None:
        self.sources, self.notations = read(folder)
        self.wires = [
            (sheet[number - 1] if number else None, statement)
            for sheet in wires_by_sheet(self.notations)
            for number, statement in enumerate(sheet)
        ]
        self.platform = platform_of(self.notations, self.sources, [])
        self.told = told(self.platform)

    def with_line(self, statement: WireStatement, line: str) -> tuple[Platform, set[str]]:
        """The platform with this line in the place of the statement, and all that `check` tells of it."""
        span = statement.span
        sources, notations, unread = [], [], []
        for source, notation in zip(self.sources, self.notations, strict=True):
            if source.path == span.path:
                source = SourceFile(source.path, source.text[: span.start] + line + source.text[span.end :])
                notation, problems = read_text(source)
                unread += problems
            sources.append(source)
            notations.append(notation)
        platform = platform_of(notations, tuple(sources), unread)
        return platform, told(platform)

    def known_without(self, statement: WireStatement) -> KnownHere:
        notations: list[Notation] = [
            notation._replace(statements=tuple(its for its in notation.statements if its is not statement))
            for notation in self.notations
        ]
        return KnownHere(platform_of(notations, self.sources, []), notations)


def told(platform: Platform) -> set[str]:
    problems: list[Problem] = [*platform.problems, *problems_of(circuit_of(platform))]
    return {f"{problem.code} {problem.headline}" for problem in problems}


def tried(bench: Bench, random: Random, short: bool) -> str:
    """What becomes of one slip."""
    above, statement = random.choice(bench.wires)
    typist = Typist(bench.platform)
    if not short:
        wrong = slip(plain(statement), random)
        platform, problems = bench.with_line(statement, wrong)
        if platform.wires == bench.platform.wires:
            return "harmless"
        return "told by check" if problems - bench.told else "told by nobody"
    lines = [typist.line(above)] if above is not None else []
    wrong = slip(typist.line(statement), random)
    found = typed_text(SourceFile("typed", "\n".join([*lines, wrong])), bench.known_without(statement))
    if any(question.span.line == len(lines) + 1 for question in found.questions):
        return "asked at once"
    if len(found.lines) <= len(lines):
        return "harmless"  # nothing is left of the line
    platform, problems = bench.with_line(statement, found.lines[-1].partition("  #")[0])
    if platform.wires == bench.platform.wires:
        return "harmless"
    return "told by check" if problems - bench.told else "told by nobody"


class Slips(NamedTuple):
    """What became of so many slips in short lines and in plain typing, and the keys that a wire takes."""

    tries: int
    short: Mapping[str, int]
    plain: Mapping[str, int]
    wires: int
    short_keys: float
    plain_keys: float

    def unseen(self, counts: Mapping[str, int], keys: float) -> float:
        """Slips that nobody tells, in 1,000 wires, at one slip in 1,000 keys."""
        return keys * counts.get("told by nobody", 0) / self.tries


def counted(number: int) -> Slips:
    """Try `number` slips each way, always the same ones."""
    benches = [Bench(folder) for folder in SAMPLES]
    found = []
    for short in (True, False):
        random = Random(14)
        found.append(Counter(tried(random.choice(benches), random, short) for _ in range(number)))
    done = [typed_platform(folder) for folder in SAMPLES]
    wires = sum(its.wires for its in done)
    keys = sum(its.keys for its in done) / wires, sum(its.keys_by_hand for its in done) / wires
    return Slips(number, *found, wires, *keys)


def page_of(its: Slips) -> str:
    rows = "".join(
        f"| {became} | {its.short.get(what, 0)} | {its.plain.get(what, 0) if what != 'asked at once' else '-'} |\n"
        for what, became in BECAME.items()
    )
    asked = round(100 * its.short.get("asked at once", 0) / its.tries)
    short, plain = its.unseen(its.short, its.short_keys), its.unseen(its.plain, its.plain_keys)
    return f"""\
# One wrong key

A key missed, doubled, swapped with the next, or hit beside, once in a wire: {its.tries} tries each on the wires of the sample
vehicles, everything else of the platform being typed in (`python -m tests.transcribing.one_wrong_key`, seed 14). No people
typed.

| | short lines | plain typing |
|---|---|---|
{rows}| keys a wire, mean over {its.wires} wires of the samples | {its.short_keys:.1f} | {its.plain_keys:.1f} |

Of 100 slips in a short line {asked} are asked while the finger is still on the paper, against none. At one slip in 1,000 keys,
{short:.1f} in 1,000 wires are told by nobody, against {plain:.1f} in plain typing: fewer keys, fewer slips.
What is left are terminals, colours and sizes that are as good as the right ones: the line that is shown in full, and
the paper beside it, are what finds those.

Keys are characters, Enter, and one more for each run that needs Shift; an answer to a question counts two.
"""


def main() -> None:
    PAGE.write_text(page_of(counted(TRIES)), "utf-8")
    print(PAGE.read_text("utf-8"))


if __name__ == "__main__":
    main()
