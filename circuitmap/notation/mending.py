"""Reading a statement that is not in order: what is wrong with it, telling each fault once, and what it still says."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from circuitmap.effort import Effort
from circuitmap.notation.characters import (
    HIDDEN,
    with_straight_quotes,
    without_foreign_characters,
    without_hidden_characters,
)
from circuitmap.notation.draft import Draft, draft_of, parsed, where_stuck
from circuitmap.notation.habits import unknown_pins, with_comments_after_hash, with_pins_after_points
from circuitmap.notation.lines import LONGEST_STATEMENT, StatementText
from circuitmap.notation.mends import CANDIDATES, Mend, may_end, problem_at, unexpected, unfinished
from circuitmap.notation.names import STATEMENT_WORDS
from circuitmap.notation.parser import Node, Stuck
from circuitmap.notation.quotes import with_quotes_closed
from circuitmap.notation.statements import Word
from circuitmap.notation.trade_words import keywords
from circuitmap.problems import Problem, Severity
from circuitmap.source import SourceFile, Span

MOST_FAULTS = 10
"""Most faults that are told apart in one statement."""
MOST_TRIALS = 150
"""How many other texts are tried, at most, in place of a statement that cannot be read."""
_SHOWN = 40

_PLAIN = frozenset(("foreign-character", "stray-words", "bad-name"))
"""Faults of characters, and others where it is plain what was meant."""

_NAMES_IN_TEXT = re.compile(r'"(?:[^"\\\r\n]|\\[^\r\n])*"|#[^\r\n]*|[A-Za-z0-9_/+]+(?:[-.][A-Za-z0-9_/+]+)*')


@dataclass(frozen=True, slots=True)
class Mended:
    """What became of a statement that is not in order: its trees, each with the stretch of the file that it was read
    from, its problems, and the words of what could not be read.

    `certain`: it was plain what the statement meant, so faults in its words can be told as well.
    """

    trees: tuple[tuple[Node, int, int], ...]
    problems: tuple[Problem, ...]
    unread: tuple[Word, ...]
    certain: bool = True


def mend(source: SourceFile, place: StatementText, effort: Effort, trials: int = MOST_TRIALS) -> Mended:
    """What is wrong with a statement that the parser refused, and what the statement says once it is mended.

    `trials` is how many other texts are tried, at most, in its place. Once the `effort` is used up, it is only told
    where the statement cannot be read, and that not all slips were looked for.
    """
    if place.end - place.start > LONGEST_STATEMENT:
        span = Span(source, place.start, place.end)
        headline = f"This statement is longer than {LONGEST_STATEMENT:,} characters."
        return Mended((), (Problem("too-long", Severity.ERROR, headline, span),), ())
    draft = without_hidden_characters(draft_of(source, place, effort))
    problems: list[Problem] = []
    for repair in (
        with_comments_after_hash,
        with_straight_quotes,
        with_quotes_closed,
        without_foreign_characters,
        with_pins_after_points,
    ):
        draft, found = repair(draft)
        problems += found[:MOST_FAULTS]
    unknown = unknown_pins(draft)
    if unknown:
        return Mended((), (*problems, *unknown[:MOST_FAULTS]), _words_of(draft))
    # A guess about quotes or characters that does not help is no basis for finding more faults.
    if problems or HIDDEN.search(source.text, place.start, place.end):
        tree = parsed(draft)
        if tree:
            certain = all(problem.code in _PLAIN for problem in problems)
            return Mended(((tree, place.start, place.end),), tuple(problems), (), certain)
        if not problems or not all(_is_plain(problem) for problem in problems):
            return Mended((), tuple(problems), _words_of(draft))
    mended = _mend_words(draft, problems, trials)
    if not effort.used_up:
        return mended
    return replace(mended, problems=(*mended.problems, _cut_off(source, place)))


def _cut_off(source: SourceFile, place: StatementText) -> Problem:
    end = min(place.end, place.start + _SHOWN)
    return Problem(
        "too-many-faults",
        Severity.ERROR,
        "There are so many slips in this statement that not all of them were looked for (cut off).",
        Span(source, place.start, end),
        advice="Mend what was found, and check again.",
    )


def _is_plain(problem: Problem) -> bool:
    """Whether it is plain what was meant, as with a foreign letter in a word: then reading can go on."""
    if problem.code != "foreign-character":
        return problem.code in _PLAIN
    return any(character.isalnum() for character in problem.span.text)


def _mend_words(draft: Draft, problems: list[Problem], trials: int) -> Mended:
    trees: list[tuple[Node, int, int]] = []
    unread: tuple[Word, ...] = ()
    waiting = [draft]
    faults = 0
    invented = False
    while waiting:
        draft = waiting.pop(0)
        stuck = where_stuck(draft)
        if stuck is None:
            tree = parsed(draft)
            assert tree is not None
            if invented:
                unread += _words_of(draft)
            else:
                trees.append((tree, draft.origin[0], draft.origin[-1]))
            invented = False
            continue
        if not stuck.tokens and not stuck.word:
            continue  # Nothing is left of it but characters that have been reported.
        faults += 1
        parts = _two_statements(stuck, draft)
        if parts and faults < MOST_FAULTS:
            problem, first, second = parts
            problems.append(problem)
            waiting = [first, second, *waiting]
            continue
        chosen: tuple[Mend, ...] = ()
        if faults < MOST_FAULTS and not draft.effort.used_up:
            chosen, trials = _chosen(stuck, draft, MOST_FAULTS - faults, trials)
        if not chosen:
            problems.append(unexpected(stuck, draft) if stuck.word else unfinished(stuck, draft).problem)
            unread += _words_of(draft)
            invented = False
            continue
        problems += (mend.problem for mend in chosen)
        faults += len(chosen) - 1
        invented = invented or any(mend.invented for mend in chosen)
        waiting.insert(0, chosen[-1].draft)
    return Mended(tuple(trees), tuple(problems), unread)


def _chosen(stuck: Stuck, draft: Draft, most: int, trials: int) -> tuple[tuple[Mend, ...], int]:
    """The fewest mends with which the whole statement can be read, or else the first mend with which more of it can be
    read; and how many of the `trials` are left."""
    for depth in range(1, most + 1):
        if trials <= 0 or draft.effort.used_up:
            break
        mends, trials = _mends_to_the_end(stuck, draft, depth, trials)
        if mends:
            return mends, trials
    for mend in _offered(stuck, draft):
        if draft.effort.used_up:
            break
        then = where_stuck(mend.draft)
        if then is None:
            return (mend,), trials
        left, left_then = len(draft.text) - stuck.end, len(mend.draft.text) - then.at
        if left_then > left:
            continue
        # A guess counts when it leads on by more than the word at fault, or to one more fault of its kind.
        again = any(later.problem.code == mend.problem.code for later in _offered(then, mend.draft))
        if mend.sure or again or len(then.tokens) >= len(stuck.tokens) + 3:
            return (mend,), trials
    return (), trials


def _mends_to_the_end(stuck: Stuck, draft: Draft, depth: int, trials: int) -> tuple[tuple[Mend, ...], int]:
    """At most `depth` mends after which the statement can be read, and how many of the `trials` are left."""
    for mend in _offered(stuck, draft):
        if trials <= 0 or draft.effort.used_up:
            break
        trials -= 1
        then = where_stuck(mend.draft)
        if then is None:
            return (mend,), trials
        if depth > 1:
            rest, trials = _mends_to_the_end(then, mend.draft, depth - 1, trials)
            if rest:
                return (mend, *rest), trials
    return (), trials


def _offered(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    if not stuck.word:
        mend = unfinished(stuck, draft)
        if mend.draft is not draft:
            yield mend
        return
    for candidate in CANDIDATES:
        yield from candidate(stuck, draft)


def _two_statements(stuck: Stuck, draft: Draft) -> tuple[Problem, Draft, Draft] | None:
    """A statement that begins inside another one: without a line of its own, or in a line indented by mistake."""
    if not stuck.tokens or not may_end(stuck) or not stuck.word:
        return None
    indented = "\n" in draft.text[stuck.behind : stuck.at]
    second = draft.part(stuck.at, len(draft.text))
    if stuck.word not in STATEMENT_WORDS and not (indented and parsed(second)):
        return None
    first = draft.part(0, stuck.behind)
    if parsed(first) is None:
        return None
    if indented:
        problem = problem_at(
            draft, stuck.at, stuck.end, "indented-line",
            "This indented line does not fit the one above.",
            advice="Begin it at the margin.",
        )  # fmt: skip
    else:
        problem = problem_at(
            draft, stuck.at, stuck.end, "two-statements", "A second statement begins in this line.",
            advice="Begin it in a line of its own.",
        )  # fmt: skip
    return problem, first, second


def _words_of(draft: Draft) -> tuple[Word, ...]:
    """All words of a draft that may be names."""
    known = set(keywords().values())
    return tuple(
        Word(match[0], draft.span(match.start(), match.end()))
        for match in _NAMES_IN_TEXT.finditer(draft.text)
        if match[0][0] not in '"#' and match[0] not in known
    )
