"""The jobs put to the program, step by step, and what is expected of each answer held against the fields of its JSON.

`python -m tests.jobs_by_strangers.asking [JOB]...` prints what holds and what does not.

How the words of README.md are read:

- Something is *first* where the likeliest explanation (`classes[0]`) names it. Where that holds several that nothing
  tells apart, at least half of them must be in the list; what the answer puts beside it as level, about the same thing
  by another kind of fault, counts too. A bundle of wires is one of these wires; it is excluded as *not first* only if all of
  its wires are.
- Something is *ruled out* below 2 %, and below a fifth of what it was before the first reading.
- *Two faults* are the pair of `classes[0]`, or where that is a pair, the pair of subjects that `if_two` puts first.
"""

import contextlib
import io
import json
import re
import shlex
import sys
import tempfile
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import yaml

from circuitmap.cli.ending import end_of
from circuitmap.cli.main import program
from circuitmap.flows.questions import open_platform
from circuitmap.wiring.parts import SECOND, Fuse, Ground, OpenEnd, Relay, Terminal
from circuitmap.wiring.platform import Platform

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
JOBS = sorted(HERE.glob("*.yaml"))
DAY = "2026-11-24"
RULED_OUT, FALLEN_TO = 0.02, 0.2
LIKELY = 0.5
NOT_DRAWN = "on no sheet"


class Held(NamedTuple):
    """One expectation, and whether it holds."""

    job: str
    step: int
    expected: str
    holds: bool
    instead: str


def run(*words: str) -> dict[str, Any]:
    """The answer to a command; one that was refused says why in `error`."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = end_of(program, list(words))
    assert code in (0, 1) or "--json" in words, (words, code, err.getvalue())
    return dict(json.loads(out.getvalue())) if "--json" in words else {}


def asked(path: Path) -> Iterator[Held]:
    """Every expectation of a job."""
    job = yaml.safe_load(path.read_text(encoding="utf-8"))
    platform = ROOT / job["platform"]
    names = Names(open_platform(platform))
    with tempfile.TemporaryDirectory() as folder:
        answers = by_card(job, platform, Path(folder)) if job["by"] == "card" else by_words(job, platform)
        before, *after = answers
        for number, (step, answer) in enumerate(zip(job["steps"], after, strict=True), 1):
            judge = Judge(names, answer, before) if "error" not in answer else None
            for item in step["expected"]:
                word, of = (item, None) if isinstance(item, str) else next(iter(item.items()))
                told = word if of is None else f"{word}: {', '.join(map(str, of))}"
                if judge is None:
                    yield Held(path.stem, number, told, False, answer["error"]["message"])
                else:
                    yield Held(path.stem, number, told, judge.holds(word, of), judge.instead())


ALWAYS = ("--json", "--top", "100", "--without-earlier-jobs")


def by_words(job: dict[str, Any], platform: Path) -> Iterator[dict[str, Any]]:
    """The answer before any reading, then after each step."""
    words: list[str] = []
    first = [word for entry in job["steps"][0]["said"] for word in shlex.split(entry)]
    equipment = ("--without", "--option", "--set")
    car = [one for n, one in enumerate(first) if one.startswith(equipment) or (n and first[n - 1] in equipment)]
    yield run("suspects", str(platform), *car, *ALWAYS)
    for step in job["steps"]:
        words += [word for entry in step["said"] for word in shlex.split(entry)]
        yield run("suspects", str(platform), *words, *ALWAYS)


def by_card(job: dict[str, Any], platform: Path, folder: Path) -> Iterator[dict[str, Any]]:
    card = folder / "card.yaml"
    run("card", "new", str(platform), str(card), *(word for entry in job["new"] for word in shlex.split(entry)))
    yield run("suspects", str(platform), "--card", str(card), *ALWAYS)
    for step in job["steps"]:
        for entry in step["said"]:
            if "strike" in entry:
                entries = yaml.safe_load(card.read_text(encoding="utf-8"))["entries"]
                numbers = [n for n, its in enumerate(entries, 1) if entry["strike"] in written(its)]
                run("card", "strike", str(card), str(numbers[-1]), entry["because"])
                continue
            more = [f"--{key}={entry[key]}" for key in ("meter", "resolution") if key in entry]
            run("card", "add", str(card), entry["line"], "--at", f"{DAY} {entry['at']}", *more)
        yield run("suspects", str(platform), "--card", str(card), *ALWAYS)


def written(entry: dict[str, Any]) -> str:
    """The readings of an entry as they were typed."""
    return " ".join(f"{place}={value}" for place, value in (entry.get("read") or {}).items())


class Names:
    """What the words of an answer name on a platform: parts, connectors and wires."""

    def __init__(self, platform: Platform) -> None:
        self.platform = platform
        above: dict[Terminal, Terminal] = {}

        def top(of: Terminal) -> Terminal:
            while above.setdefault(of, of) != of:
                of = above[of]
            return of

        for wire in platform.wires:
            if not any(isinstance(platform.parts.get(end.part), Ground) for end in (wire.a, wire.b)):
                above[top(wire.a)] = top(wire.b)
        self.piece = {terminal: top(terminal) for terminal in list(above)}

    def wires(self, pieces: Iterable[Terminal | None]) -> frozenset[frozenset[Terminal]]:
        its = {piece for piece in pieces if piece is not None}
        return frozenset(frozenset((w.a, w.b)) for w in self.platform.wires if self.piece.get(w.a) in its)

    def reached(self, base: Terminal | None, parted: set[str]) -> set[Terminal]:
        """The pieces of wire that go on from one through all plugs but those that are parted."""
        found = {base} if base is not None else set()
        size = 0
        while size < len(found):
            size = len(found)
            ends = {(t.part, t.pin) for t, piece in self.piece.items() if piece in found and t.part not in parted}
            plugs = {end for end in ends if self.platform.parts[end[0]].kind == "connector"}
            found |= {piece for t, piece in self.piece.items() if (t.part, t.pin) in plugs}
        return found

    @cache  # noqa: B019
    def bundle(self, told: str) -> frozenset[frozenset[Terminal]]:
        """The wires that are at fault where an answer tells of wires."""
        parts, last = self.platform.parts, told.rpartition(" ")[2]
        if isinstance(parts.get(told), OpenEnd):
            return frozenset(frozenset((w.a, w.b)) for w in self.platform.wires_at.get(told, ()))
        if told.startswith("wire "):  # one piece of a wire, from plug to plug
            ends = set(told.removeprefix("wire ").split(" to "))
            both = ((w, {str(w.a), str(w.b)}) for w in self.platform.wires)
            return frozenset(frozenset((w.a, w.b)) for w, names in both if names == ends)
        if told.startswith("wiring behind ") and isinstance(parts.get(last), Fuse):
            return self.wires([self.piece.get(Terminal(last, SECOND))])
        if behind := BEHIND.fullmatch(told):
            where = {name: (its or "").split(" and ") for name, its in behind.groupdict().items()}
            base = self.piece.get(Terminal(behind["fuse"], SECOND))
            its = self.reached(base, {*where["before"], *where["to"]})
            if not behind["before"]:
                its -= self.reached(base, {*where["between"], *where["beyond"]})
            return self.wires(its)
        if told.startswith("control wire of ") and isinstance(relay := parts.get(last), Relay):
            return self.wires(self.piece.get(Terminal(last, pin)) for pin in relay.coil)
        if told.startswith("ground-side wire of "):
            pieces = {self.piece.get(end) for w in self.platform.wires_at.get(last, ()) for end in (w.a, w.b)}
            fed = {self.piece[t] for t in self.piece if isinstance(parts.get(t.part), Fuse)}
            return self.wires(pieces - fed)
        return frozenset()

    def is_named(self, wanted: str, told: str) -> bool:
        """Whether an answer that tells of something names what is wanted."""
        if wanted == NOT_DRAWN:
            return told.startswith(("something ", "unknown at "))
        if " -> " in wanted:
            one, other = wanted.split(" -> ")
            return any(
                (meets(a, one) and meets(b, other)) or (meets(a, other) and meets(b, one))
                for a, b in (tuple(ends) for ends in self.bundle(told) if len(ends) == 2)
            )
        joins = {t.part for ends in self.bundle(told) for t in ends if self.platform.parts[t.part].kind in JOINS}
        return wanted in (told, told.removeprefix("line of "), told.removeprefix("control wire of ")) or wanted in joins

    def is_nothing_else(self, told: str, wanted: list[str]) -> bool:
        """Whether all that is told of is wanted: of a bundle every wire."""
        wires = [w for w in wanted if " -> " in w]
        bundle = self.bundle(told)
        if not bundle:
            return any(self.is_named(one, told) for one in wanted)
        for ends in bundle:
            a, b = (*ends, *ends)[:2]
            if not any(
                (meets(a, one) and meets(b, other)) or (meets(a, other) and meets(b, one))
                for one, other in (w.split(" -> ") for w in wires)
            ):
                return told in wanted
        return True


BEHIND = re.compile(
    r"wiring behind (?P<fuse>\S+)"
    r"(?: as far as (?P<before>.+)| from (?P<between>.+) to (?P<to>.+)| beyond (?P<beyond>.+))?"
)
JOINS = ("connector", "splice", "joint")


def meets(terminal: Terminal, written: str) -> bool:
    name = f"{terminal.part}.{terminal.pin}" if terminal.pin else terminal.part
    return written in (name, terminal.part) or (written == "?" and terminal.part.startswith("?"))


class Judge:
    """One answer held against what was expected of it."""

    def __init__(self, names: Names, answer: dict[str, Any], before: dict[str, Any]) -> None:
        self.names, self.answer, self.before = names, answer, before
        self.top = answer["classes"][0] if answer["classes"] else {"members": [], "level_with": [], "fault": ""}

    def instead(self) -> str:
        """What the answer says, for whoever reads the table."""
        its = [[fault["part"] for fault in member] for member in self.top["members"][:3]]
        test = next(iter(self.answer["tests"]), {"action": "-", "parts": []})
        go = self.answer["mend"] or f"{test['action']} {','.join(test['parts'])}"
        fits = " NOTHING FITS" if self.answer["nothing_fits"] else ""
        return f"{self.top['fault']} {its} of {len(self.top['members'])} {self.answer['something_wrong']:.2f}{fits}; next {go}"

    def holds(self, word: str, of: Any) -> bool:
        match word:
            case "first":
                return self.first(of)
            case "not first":
                return not self.all_first(of)
            case "both":
                return self.both(of)
            case "no second fault":
                return len(next(iter(self.top["members"]), ())) == 1
            case "cleared":
                return self.answer["no_draw"] is not None or all(self.ruled_out(one) for one in of)
            case "not cleared":
                return not any(self.ruled_out(one) for one in of)
            case "something is wrong":
                return self.answer["something_wrong"] >= LIKELY and self.answer["no_draw"] is None
            case "nothing is wrong":
                return self.answer["something_wrong"] < LIKELY and self.answer["no_draw"] is not None
            case "settled":
                return bool(self.answer["mend"])
            case "not settled":
                return not self.answer["mend"]
            case "wait":
                gaps = [gap for gap in self.answer["incomplete"] if gap["kind"] == "set aside"]
                return any(gap["why"] in ("early", "woken") for gap in gaps)
            case "doubted":
                return all(self.doubted(place) for place in of)
            case "next is one of":
                return self.goes_to(of)
            case "next is not":
                return not self.goes_to(of)
            case _:
                raise ValueError(word)

    def tied(self) -> list[list[str]]:
        """The parts of each member of the first explanation."""
        return [[fault["part"] for fault in member] for member in self.top["members"]]

    def named(self, wanted: list[str], told: Iterable[str]) -> bool:
        return any(self.names.is_named(one, its) for one in wanted for its in told)

    def first(self, wanted: list[str]) -> bool:
        if self.answer["nothing_fits"]:
            return False
        its = [self.named(wanted, member) for member in self.tied()]
        return (bool(its) and sum(its) * 2 >= len(its)) or self.named(wanted, self.level())

    def level(self) -> list[str]:
        """What else is level about the same thing."""
        level = {words for rival in self.top["level_with"] for words in rival}
        about = {fault["about"] for member in self.top["members"] for fault in member}
        faults = [f for c in self.answer["classes"] for member in c["members"] if len(member) == 1 for f in member]
        return [fault["part"] for fault in faults if fault["words"] in level and fault["about"] in about]

    def all_first(self, unwanted: list[str]) -> bool:
        if self.answer["nothing_fits"]:
            return False
        its = [any(self.names.is_nothing_else(told, unwanted) for told in member) for member in self.tied()]
        return bool(its) and sum(its) * 2 > len(its)

    def both(self, wanted: list[list[str]]) -> bool:
        if self.answer["nothing_fits"]:
            return False
        one, other = wanted
        pairs = [member for member in self.tied() if len(member) == 2]
        if pairs and self.answer.get("if_two"):
            told = self.answer["if_two"][0]
            pairs.append(told["about"])
            pairs += [list(pair) for pair in told.get("parts", [])]
        return any(
            (self.named(one, [a]) and self.named(other, [b])) or (self.named(one, [b]) and self.named(other, [a]))
            for a, b in pairs
        )

    def ruled_out(self, wanted: str) -> bool:
        now, before = (self.chance(answer, wanted) for answer in (self.answer, self.before))
        return now < RULED_OUT and now < FALLEN_TO * before if before > 0.0 else now < RULED_OUT

    def chance(self, answer: dict[str, Any], wanted: str) -> float:
        return float(sum(p["probability"] for p in answer["parts"] if self.names.is_named(wanted, p["part"])))

    def doubted(self, place: str) -> bool:
        misfits = [misfit["reading"] for misfit in self.answer["misfits"]]
        again = [part for test in self.answer["tests"] if test["action"] == "read-again" for part in test["parts"]]
        clashes = [word for clash in self.answer["contradictions"] for word in (clash["place"], *clash["readings"])]
        return any(re.search(rf"(^|[^\w.]){re.escape(place)}\b", told) for told in (*misfits, *again, *clashes))

    def goes_to(self, wanted: list[str]) -> bool:
        if self.answer["mend"]:
            return self.named(wanted, [self.answer["mend"]])
        test = next(iter(self.answer["tests"]), None)
        if test is None:
            lead = [part for member in self.tied()[:1] for part in member]
            return self.named(wanted, lead)
        # Whoever reads live data goes to none of the modules whose inputs are left to look at.
        told = [*test["parts"], *(test["look_for"] if test["action"] != "inputs" else ())]
        told += [
            part.rpartition(" ")[2] for part in test["look_for"] if part.startswith(("something on", "wiring behind"))
        ]
        told += [part.rpartition(".")[0] for part in test["parts"] if part not in self.names.platform.parts]
        if test["action"] == "read-box":  # who reads all that is in a box goes to the box
            told += [part.rpartition(".")[0] for part in test["parts"][:1]]
        return self.named(wanted, told)


def main() -> None:
    wanted = sys.argv[1:]
    right = count = 0
    for path in JOBS:
        if wanted and not any(word in path.stem for word in wanted):
            continue
        for held in asked(path):
            count += 1
            right += held.holds
            sign = "right" if held.holds else "WRONG"
            if not held.holds or wanted:
                print(f"{held.job} {held.step} {sign} {held.expected[:150]}\n      {held.instead}")
    print(f"{right} of {count} hold")


if __name__ == "__main__":
    main()
