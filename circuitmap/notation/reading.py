"""From the text of a file to its statements: every problem in one run, each once."""

import re
from bisect import bisect_left
from collections import deque
from collections.abc import Iterator, Sequence

from circuitmap.notation.bounds import RoomLeft
from circuitmap.notation.characters import HIDDEN, hidden_characters
from circuitmap.notation.conflicts import conflicts_in
from circuitmap.notation.draft import draft_of, parsed
from circuitmap.notation.habits import places_of_habits
from circuitmap.notation.lines import LONGEST_STATEMENT, StatementText, statement_texts
from circuitmap.notation.names import STATEMENT_WORDS
from circuitmap.notation.older_wires import as_now_written
from circuitmap.notation.parser import Node, read_tree
from circuitmap.notation.statements import Notation, Statement, Word
from circuitmap.notation.trade_words import keywords
from circuitmap.notation.transformer import StatementMaker
from circuitmap.problems import Problem, Severity, in_order
from circuitmap.source import SourceFile, Span

_MENDED_WITH_CARE = 50
_FIRST_WORD = re.compile(r"\S+")

MOST_UNREADABLE = 300
"""Most statements of one file whose faults are told; a file with more faulty ones is not notation."""


def read_text(source: SourceFile, bounds: RoomLeft | None = None) -> tuple[Notation, tuple[Problem, ...]]:
    """All statements of a file in their order, and whatever could not be read or makes no sense.

    A statement that cannot be read is left out; it never changes how the others are read. `bounds` are shared by all
    files of a platform; raises LimitReached once they are exceeded.
    """
    bounds = bounds or RoomLeft()
    problems: list[Problem] = []
    if HIDDEN.search(source.text):
        problems.extend(hidden_characters(source))
    maker = StatementMaker(source, problems)
    statements: list[Statement] = []
    unread: list[Word] = []
    older: list[StatementText] = []
    unreadable = 0
    conflicts = conflicts_in(source)
    problems.extend(conflicts.problems)
    habits = places_of_habits(source.text)
    waiting = deque(statement_texts(source, conflicts.skipped))
    bounds.count_statements(len(waiting))
    last_place: StatementText | None = None
    while waiting:
        place = waiting.popleft()
        if place.indented:
            problems.append(_indented(source, place))
        tree = None if _holds_one_of(habits, place) else _tree(source, place)
        if tree is not None:
            statements.append(maker.statement(tree, place.start, place.end))
            bounds.count_words(maker.words_made())
            last_place = place
            continue
        if tree := _of_older_form(source, place, bounds):
            older.append(place)
            last_place = place
            statements.append(maker.statement(tree, place.start, place.end))
            bounds.count_words(maker.words_made())
            continue
        unreadable += 1
        if unreadable > MOST_UNREADABLE:
            problems.append(_too_many(source, place))
            break
        if last_place and (tree := _continued(source, last_place, place)):
            if not place.indented:
                problems.append(_not_indented(source, place))
            last_place = StatementText(last_place.start, place.end)
            statements[-1] = maker.statement(tree, last_place.start, last_place.end)
            continue
        if waiting and _tree(source, waiting[0]) is None and (tree := _joined(source, place, waiting[0])):
            problems.append(_not_indented(source, waiting[0]))
            last_place = StatementText(place.start, waiting.popleft().end)
            statements.append(maker.statement(tree, last_place.start, last_place.end))
            continue
        last_place = None
        # Most texts have nothing to mend: they need not wait for the mending code to be imported.
        from circuitmap.notation.mending import MOST_TRIALS, mend

        effort = bounds.mending_of_one()
        mended = mend(source, place, effort, MOST_TRIALS if unreadable <= _MENDED_WITH_CARE else MOST_TRIALS // 10)
        bounds.mended(effort)
        problems.extend(mended.problems)
        unread.extend(mended.unread)
        its_maker = maker if mended.certain else StatementMaker(source, [])
        statements.extend(its_maker.statement(tree, start, end) for tree, start, end in mended.trees)
    if older:
        problems.append(_older_form(source, older))
    return Notation(path=source.path, statements=tuple(statements), unread=tuple(unread)), in_order(problems)


def statements_and_soundness(source: SourceFile) -> Iterator[tuple[StatementText, bool]]:
    """Every statement of a file, and whether it can be read as it stands, by itself, with nothing wrong in it."""
    problems: list[Problem] = []
    maker = StatementMaker(source, problems)
    habits = places_of_habits(source.text)
    hidden = [match.start() for match in HIDDEN.finditer(source.text)]
    for place in statement_texts(source):
        first, last = source.position(place.start)[0], source.position(max(place.start, place.end - 1))[0]
        starts = source.line_starts
        lines = StatementText(starts[first - 1], starts[last] if last < len(starts) else len(source.text))
        sound = not place.indented and not _holds_one_of(hidden, lines) and not _holds_one_of(habits, place)
        tree = _tree(source, place) if sound else None
        if tree is not None:
            problems.clear()
            maker.statement(tree, place.start, place.end)
        yield place, tree is not None and not problems


def _holds_one_of(places: Sequence[int], statement: StatementText) -> bool:
    at = bisect_left(places, statement.start)
    return at < len(places) and places[at] < statement.end


def _tree(source: SourceFile, place: StatementText) -> Node | None:
    if place.end - place.start > LONGEST_STATEMENT:
        return None
    tree = read_tree(source.text, place.start, place.end)
    return tree if isinstance(tree, Node) else None


def _of_older_form(source: SourceFile, place: StatementText, bounds: RoomLeft) -> Node | None:
    """The tree of a wire whose colour stands in an arrow or after a colon."""
    if place.end - place.start > LONGEST_STATEMENT:
        return None
    changes = as_now_written(source.text[place.start : place.end])
    if not changes:
        return None
    return parsed(draft_of(source, place, bounds.mending_of_one()).with_mends(changes))


def _older_form(source: SourceFile, older: Sequence[StatementText]) -> Problem:
    one = len(older) == 1
    return Problem(
        "older-wires",
        Severity.NOTE,
        "A wire is written in the older form; it is read as before."
        if one
        else f"{len(older)} wires are written in the older form; they are read as before.",
        Span(source, older[0].start, older[0].end),
        advice=f"circuitmap tidy turns {'it' if one else 'them'}: A -> B in RD 1.",
    )


def _continued(source: SourceFile, before: StatementText, place: StatementText) -> Node | None:
    """Both together, if the second one begins with a word that only continues statements."""
    word = _FIRST_WORD.match(source.text, place.start, place.end)
    if word is None or word[0] in STATEMENT_WORDS or word[0] not in keywords().values():
        return None
    return _tree(source, StatementText(before.start, place.end)) if place.indented else _joined(source, before, place)


def _joined(source: SourceFile, first: StatementText, second: StatementText) -> Node | None:
    """Two statements on neighbouring lines, read as a single one."""
    if source.position(second.start)[0] != source.position(first.end)[0] + 1:
        return None
    return _tree(source, StatementText(first.start, second.end))


def _not_indented(source: SourceFile, place: StatementText) -> Problem:
    word = _FIRST_WORD.match(source.text, place.start, place.end)
    return Problem(
        "not-indented",
        Severity.ERROR,
        "This line belongs to the one above: indent it.",
        Span(source, place.start, word.end() if word else place.end),
        advice="Begin it with a blank or more.",
    )


def _indented(source: SourceFile, place: StatementText) -> Problem:
    line_end = source.text.find("\n", place.start)
    end = place.end if line_end < 0 else min(place.end, line_end)
    return Problem(
        "indented-line",
        Severity.ERROR,
        "This line is indented, but nothing above goes on.",
        Span(source, place.start, end),
        advice="Begin it at the margin. An empty line ends a statement.",
    )


def _too_many(source: SourceFile, place: StatementText) -> Problem:
    return Problem(
        "too-many-faults",
        Severity.ERROR,
        f"More than {MOST_UNREADABLE} statements of this file cannot be read; from here on it is not read.",
        Span(source, place.start, place.start + 1),
        advice="Is this a file of notation?",
    )
