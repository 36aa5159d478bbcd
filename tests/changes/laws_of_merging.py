"""The laws that every merge keeps, whatever the three texts are: checked by counting, independently of how the merge
works."""

import re
from collections import Counter
from collections.abc import Iterator
from itertools import product
from typing import NamedTuple

from circuitmap.changes.merge import Merged, merge_files
from circuitmap.failures import Failure
from circuitmap.notation.conflicts import conflicts_in
from circuitmap.notation.lines import comment_start, statement_texts
from circuitmap.source import SourceFile

_MARKS = re.compile(r"^(<{7} ours|={7}|>{7} theirs)\r?\n", re.MULTILINE)
# Blanks outside quoted texts are layout; other characters are not, even if nobody can see them.
_WORDS = re.compile(r'"(?:[^"\\\r\n]|\\[^\r\n])*"|[A-Za-z0-9_/+.]+|.', re.DOTALL)

Said = tuple[str, ...]
Placed = tuple[str, Said]


class Reading(NamedTuple):
    """What a text holds: each statement with its sheet, the comments of lines without a statement, and those after
    statements or in them."""

    statements: Counter[Placed]
    comments: Counter[str]
    inner: Counter[str]
    above: dict[Placed, tuple[str, ...]]
    sheets: Counter[str]


def reading_of(text: str) -> Reading:
    source = SourceFile("law", text.removeprefix("\ufeff"))
    statements: Counter[Placed] = Counter()
    comments: Counter[str] = Counter()
    inner: Counter[str] = Counter()
    above: dict[Placed, tuple[str, ...]] = {}
    sheets: Counter[str] = Counter()
    sheet = ""
    line = 1
    for place in statement_texts(source):
        first, last = source.position(place.start)[0], source.position(max(place.start, place.end - 1))[0]
        said = words(source.text[place.start : place.end])
        if said[0] == "sheet":
            sheet = said[1] if len(said) > 1 else "sheet"
            sheets[sheet] += 1
        before = tuple(_comments(source, line, first))
        comments.update(before)
        inner.update(_comments(source, first, last + 1))
        statements[sheet, said] += 1
        above[sheet, said] = before
        line = last + 1
    comments.update(_comments(source, line, len(source.line_starts) + 1))
    return Reading(statements, comments, inner, above, sheets)


def words(text: str) -> Said:
    """The words of a statement, without comments and blanks."""
    lines = (line[: comment_start(line)] for line in re.split(r"(?<=\n)", text))
    return tuple(word for word in _WORDS.findall("".join(lines)) if word not in " \t\r\n")


def _comments(source: SourceFile, first: int, behind: int) -> Iterator[str]:
    for number in range(first, behind):
        line = source.line(number)
        comment = line[comment_start(line) :].rstrip()
        if comment:
            yield comment


def resolved(text: str, side: int) -> str:
    """The merged text with every conflict decided for ours (0) or theirs (1)."""
    pieces = _MARKS.split(text.removeprefix("\ufeff"))
    kept = [pieces[0]]
    for number in range(1, len(pieces), 2):
        mark, piece = pieces[number : number + 2]
        if mark[0] in (">", "<="[side]):
            kept.append(piece)
    return "".join(kept)


def together(base: int, ours: int, theirs: int) -> int:
    """How often something is there after both changes: what both added is there once; what one deleted is gone."""
    mine, other = ours - base, theirs - base
    return max(0, base + max(0, mine, other) + min(0, mine) + min(0, other))


def broken_laws(base: str, ours: str, theirs: str, merged: Merged) -> list[str]:
    """The laws that a merge of these texts broke, in words; empty where it kept them all."""
    if ours == base or theirs in (base, ours):
        expected = theirs if ours == base else ours
        return [] if merged == Merged(expected, ()) else ["one side changed nothing: the other one's text is changed"]
    broken = list(_marks(merged))
    if broken:
        return broken
    old, mine, other = (reading_of(text) for text in (base, ours, theirs))
    outcomes = [reading_of(resolved(merged.text, side)) for side in ((0, 1) if merged.conflicts else (0,))]
    broken += _statements(old, mine, other, outcomes)
    broken += _comments_kept(old, mine, other, outcomes)
    if not merged.conflicts:
        broken += _nothing_back(old, mine, other, outcomes[0])
        broken += _above_their_statements(old, mine, other, outcomes[0])
    return broken


def _marks(merged: Merged) -> Iterator[str]:
    found = conflicts_in(SourceFile("law", merged.text.removeprefix("\ufeff"))).problems
    if [problem.span.line for problem in found] != [conflict.line for conflict in merged.conflicts]:
        yield f"conflicts are told in lines {[c.line for c in merged.conflicts]}, found {[p.span.line for p in found]}"
    if any(problem.headline.startswith("A mark") for problem in found):
        yield "a mark has lost its partner"


def _statements(old: Reading, mine: Reading, other: Reading, outcomes: list[Reading]) -> Iterator[str]:
    missing: Counter[Placed] = Counter()
    for key in {*mine.statements, *other.statements}:
        if any(count > 1 for reading in (old, mine, other) for count in reading.sheets.values()):
            # Nobody can say on which sheet of one number a copy belongs; it is enough that it is there.
            wanted = min(1, together(*(_everywhere(reading, key[1]) for reading in (old, mine, other))))
            there = max(_everywhere(outcome, key[1]) for outcome in outcomes)
        else:
            wanted = together(old.statements[key], mine.statements[key], other.statements[key])
            there = max(outcome.statements[key] for outcome in outcomes)
        missing[key] = max(0, wanted - there - _deleted_before_renumbering(key, old, mine, other))
    missing = +missing
    for key in list(missing):
        for sheet in _renumbered(key[0], old, mine, other):
            missing[key] -= min(missing[key], max(outcome.statements[sheet, key[1]] for outcome in outcomes))
    missing = +missing
    for key in list(missing):
        if _is_put_together(key, old, mine, other, outcomes):
            del missing[key]
    yield from (f"lost on sheet {sheet or 'none'}: {' '.join(said)}" for sheet, said in missing)


def _everywhere(reading: Reading, said: Said) -> int:
    return sum(count for (_, its), count in reading.statements.items() if its == said)


def _deleted_before_renumbering(key: Placed, old: Reading, mine: Reading, other: Reading) -> int:
    """How often one side deleted a statement from a sheet to which the other one may have given the number in `key`."""
    sheet, said = key
    return sum(
        max(0, old.statements[before, said] - one.statements[before, said])
        for one, two in ((mine, other), (other, mine))
        if two.sheets[sheet] > old.sheets[sheet]
        for before in old.sheets - two.sheets
    )


def _renumbered(sheet: str, old: Reading, mine: Reading, other: Reading) -> set[str]:
    """The numbers that a sheet may have been given by one side."""
    found: set[str] = set()
    for side in (mine, other):
        if side.sheets[sheet] < old.sheets[sheet]:
            found |= {*(side.sheets - old.sheets)}
    return found


def _is_put_together(key: Placed, old: Reading, mine: Reading, other: Reading, outcomes: list[Reading]) -> bool:
    """Whether a statement of one side is part of one that was put together from it and a statement of the other
    side."""
    return any(
        key in _parents(said, old, mine, other, key)
        for outcome in outcomes
        for _, said in outcome.statements
        if _may_be_parent(key[1], said)
    )


def _parents(said: Said, old: Reading, mine: Reading, other: Reading, one: Placed | None = None) -> list[Placed]:
    """The statements of ours and theirs, if any, from which this one was put together: it has the words that result
    from both sides' changes to a common ancestor. `one` has to be one of them."""
    count = Counter(said)
    candidates = [
        [placed for placed in reading.statements if _may_be_parent(placed[1], said)] for reading in (old, mine, other)
    ]
    for before, ours, theirs in product(*candidates):
        if one is not None and one not in (ours, theirs):
            continue
        a, b, c = (Counter(its) for _, its in (before, ours, theirs))
        enough = all(count[word] >= together(a[word], b[word], c[word]) for word in {*b, *c})
        if enough and count <= b + c:
            return [ours, theirs]
    return []


def _may_be_parent(said: Said, merged: Said) -> bool:
    return said[0] == merged[0] or bool({*said} & {*merged})


def _comments_kept(old: Reading, mine: Reading, other: Reading, outcomes: list[Reading]) -> Iterator[str]:
    """A comment that neither side deleted is there. Its copies are not counted: both may have put it in one place."""
    every = [reading.comments + reading.inner for reading in (old, mine, other)]
    for comment in {*every[1], *every[2]}:
        if together(*(its[comment] for its in every)) and not any(
            outcome.comments[comment] + outcome.inner[comment] for outcome in outcomes
        ):
            yield f"lost comment: {comment}"


def _nothing_back(old: Reading, mine: Reading, other: Reading, outcome: Reading) -> Iterator[str]:
    """No statement stands on a sheet more often than one side put it there, and none comes back that one side took
    away everywhere."""
    totals = [Counter[Said]() for _ in range(4)]
    for total, reading in zip(totals, (old, mine, other, outcome), strict=True):
        for (_, said), count in reading.statements.items():
            total[said] += count
    before, ours, theirs, after = totals
    for said in after:
        if said not in ours and said not in theirs:
            if not _parents(said, old, mine, other):
                yield f"nobody wrote: {' '.join(said)}"
        elif said[0] != "sheet" and before[said] >= max(ours[said], theirs[said]) and 0 in (ours[said], theirs[said]):
            yield f"came back: {' '.join(said)}"
    for (sheet, said), count in outcome.statements.items():
        if (said in ours or said in theirs) and old.sheets[sheet] == mine.sheets[sheet] == other.sheets[sheet]:
            b, o, t = (reading.statements[sheet, said] for reading in (old, mine, other))
            if count > b + max(0, o - b) + max(0, t - b) - max(0, b - o, b - t):
                yield f"there too often on sheet {sheet or 'none'}: {' '.join(said)}"


def _above_their_statements(old: Reading, mine: Reading, other: Reading, outcome: Reading) -> Iterator[str]:
    """A statement that is the only one of its kind on its sheet has above it what both sides have there."""
    for key, above in outcome.above.items():
        readings = (old, mine, other, outcome)
        if any(reading.statements[key] != 1 or reading.sheets[key[0]] > 1 for reading in readings):
            continue
        versions = [Counter(reading.above[key]) for reading in readings[:3]]
        there = Counter(above)
        for comment in {*versions[1], *versions[2]}:
            if together(*(its[comment] for its in versions)) and not there[comment]:
                yield f"no longer above {' '.join(key[1])}: {comment}"


def broken_symmetry(base: str, ours: str, theirs: str, merged: Merged) -> list[str]:
    """How the merge differs in what it says when the sides are exchanged."""
    if ours == base or theirs in (base, ours):
        return []
    try:
        swapped = merge_files(base, theirs, ours)
    except Failure as failure:
        return [f"only with the sides exchanged: {failure.message}"]
    broken = []
    if len(swapped.conflicts) != len(merged.conflicts):
        broken.append(f"{len(merged.conflicts)} conflicts, and {len(swapped.conflicts)} with the sides exchanged")
    for side in (0, 1):
        one, two = reading_of(resolved(merged.text, side)), reading_of(resolved(swapped.text, 1 - side))
        pairs = (_in_any_order(one), _in_any_order(two)), (one.comments + one.inner, two.comments + two.inner)
        for a, b in pairs:
            if a != b:
                broken.append(f"only one way: {a - b}, only with the sides exchanged: {b - a}")  # type: ignore[operator]
    return broken


def _in_any_order(reading: Reading) -> Counter[Placed]:
    """What both sides add to one list stands there in the order of the sides."""
    return Counter((sheet, tuple(sorted(said))) for sheet, said in reading.statements.elements())
