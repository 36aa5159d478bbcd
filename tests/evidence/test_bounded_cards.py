"""Cards that are too long, names that do not exist: the work is bounded, and the answer says what was not looked at."""

import os
from pathlib import Path

import pytest

from circuitmap.evidence import yaml_events
from circuitmap.evidence.card_text import LONGEST, MOST_VALUES, read_yaml
from circuitmap.evidence.job_card import MOST_KEYS_MEANT, read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.failures import LimitReached, WrongUse
from circuitmap.flows.job import add_to_card, open_job
from circuitmap.flows.questions import Bench
from circuitmap.flows.states import state_of
from circuitmap.jobs import job as jobs
from circuitmap.notation.names import LONGEST_NAME
from circuitmap.notation.reading import read_text
from circuitmap.reports.problems.problems_text import MOST_TOLD, excerpt, told_of_card
from circuitmap.source import SourceFile, Span
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.names import find_part, find_terminal
from circuitmap.wiring.near_names import NearNames
from circuitmap.wiring.platform import Platform
from tests.card_texts import with_entry
from tests.work_done import steps_of


def platform(fuses: int) -> Platform:
    lines = ["battery BAT", "box CAB", *(f"fuse CAB.F{n} 10A" for n in range(1, fuses + 1))]
    return platform_of([read_text(SourceFile("a.circuit", "\n".join(lines)))[0]])


@pytest.fixture(scope="module")
def small() -> Platform:
    return platform(30)


@pytest.fixture
def card(tmp_path: Path) -> Path:
    (tmp_path / "van").mkdir()
    (tmp_path / "van" / "a.circuit").write_text("battery BAT\nbox CAB\nfuse CAB.F1 10A\n", "utf-8")
    path = tmp_path / "job.yaml"
    path.write_text("job: 1\nplatform: van\nentries:\n", "utf-8")
    return path


# ---- how long a card may be ----


def test_the_size_of_a_file_is_looked_at_before_it_is_read(card: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    os.truncate(card, 3_000_000_000)
    monkeypatch.setattr(jobs, "read_content", lambda path: pytest.fail(f"{path} was read"))
    for use in (open_job, lambda path: add_to_card(path, "locked")):
        with pytest.raises(LimitReached, match=r"job\.yaml is longer than 1,000,000 characters"):
            use(card)


@pytest.mark.parametrize("more", [-1, 0, 1])
@pytest.mark.parametrize("letter", ["x", "ü", "🙂"])
def test_the_longest_card(card: Path, more: int, letter: str) -> None:
    head = card.read_text("utf-8") + "# "
    card.write_text(head + letter * (LONGEST - len(head) + more), "utf-8")
    if more > 0:
        with pytest.raises(LimitReached, match="longer than 1,000,000 characters"):
            open_job(card)
    else:
        assert not open_job(card).problems


def test_a_card_that_would_grow_too_long_is_left_as_it_is(card: Path) -> None:
    head = card.read_text("utf-8") + "# "
    card.write_text(head + "x" * (LONGEST - len(head) - 5) + "\n", "utf-8")
    before = card.read_bytes()
    with pytest.raises(LimitReached, match="is full"):
        add_to_card(card, "locked")
    assert card.read_bytes() == before


@pytest.mark.parametrize("more", [-1, 0, 1])
def test_the_most_values(more: int) -> None:
    words = MOST_VALUES - 2 + more  # the list and its key are two, the mapping around them a third
    root, problems = read_yaml(SourceFile("job.yaml", f"complaint: [{', '.join(['x'] * (words - 1))}]\n"))
    assert [(p.code, p.headline) for p in problems] == (
        [("card-too-long", "The card has more than 20,000 values.")] if more > 0 else []
    )
    assert (root is None) == (more > 0)


def test_a_card_of_too_many_values_is_refused_with_its_place(card: Path) -> None:
    card.write_text(card.read_text("utf-8") + "  - {}\n" * (MOST_VALUES + 1), "utf-8")
    with pytest.raises(LimitReached, match=r"job\.yaml:\d+:\d+: The card has more than 20,000 values"):
        open_job(card)


@pytest.mark.parametrize("text", ["[],", "{a: [", "- - ", "a?: [x, "])
def test_no_more_is_read_than_may_stand_there(text: str) -> None:
    """Twice the values, the same work: reading stops at the limit."""
    few = SourceFile("job.yaml", ("a: [" + text * (LONGEST // len(text) // 4))[:LONGEST])
    many = SourceFile("job.yaml", ("a: [" + text * (LONGEST // len(text) // 2))[:LONGEST])
    assert steps_of(lambda: read_yaml(many)) <= 1.1 * steps_of(lambda: read_yaml(few))


@pytest.mark.parametrize("more", [0, 1])
def test_what_takes_long_to_read_has_a_limit_of_its_own(more: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(yaml_events, "LONGEST_READ_SLOWLY", 2_000)
    head = "complaint: what? "
    _, problems = read_card(SourceFile("job.yaml", head + "x" * (2_000 - len(head) + more)))
    assert [p.code for p in problems] == ["card-too-long"] * more
    quoted = 'complaint: "what? ' + "x" * 4_000 + '"'
    assert not read_card(SourceFile("job.yaml", quoted))[1]


# ---- names that do not exist ----


def near(length: int) -> int:
    return steps_of(lambda: NearNames(["CAB.F1", "HEATER"]).nearest("X" * length))


@pytest.mark.parametrize("length", [LONGEST_NAME - 1, LONGEST_NAME, LONGEST_NAME + 1])
def test_a_name_one_slip_longer_than_any_is_still_near(length: int) -> None:
    known = "X" * (LONGEST_NAME - 1) + "Y"
    written = known[: length - 1] + "Y" if length < LONGEST_NAME else known[:-1] + "Z" * (length > LONGEST_NAME) + "Y"
    assert (NearNames([known]).near(written) == known) == (written != known)


def test_what_is_longer_than_a_name_is_near_to_none() -> None:
    near(10)
    assert near(LONGEST_NAME + 2) == near(4_000) == near(40_000) <= near(10)
    assert NearNames(["X" * 4_000]).nearest("X" * 60) == ()


@pytest.mark.parametrize("name", ["X", "A.", "CAB.F1.", "?"])
def test_asking_for_a_long_name_costs_no_more_than_for_a_short_one(small: Platform, name: str) -> None:
    def asked(length: int) -> int:
        written = (name * length)[:length]

        def all_ways() -> None:
            for find in (find_part, find_terminal):
                with pytest.raises(WrongUse, match="There is no part") as refused:
                    find(small, written)
                assert len(refused.value.message) < 200
            with pytest.raises(WrongUse):
                state_of(Bench(small, {}), unplugged=[written])

        all_ways()
        return steps_of(all_ways)

    # A few lines more or less: what collects garbage in between runs lines of its own.
    assert asked(40_000) <= asked(4_000) + 50
    assert asked(4_000) <= 1.5 * asked(LONGEST_NAME - 1) + 200


def test_a_long_name_is_shown_short(small: Platform) -> None:
    with pytest.raises(WrongUse) as refused:
        find_part(small, "X" * 40_000)
    assert refused.value.message == f"There is no part {'X' * 40}... (40,000 characters; a name has at most 80)."


def unknown(names: int, of: Platform) -> int:
    read = ", ".join(f"Q{n}X: 1A" for n in range(names))
    source = SourceFile("job.yaml", f"job: 1\nentries:\n  - {{at: 10:00, read: {{{read}}}}}\n")

    def told() -> None:
        found, problems = read_card(source)
        more = evidence_on(of, found)[1]
        assert not problems and len(more) == names
        told_of_card(more)

    told()
    return steps_of(told)


def test_the_work_of_unknown_names_grows_as_they_do(small: Platform) -> None:
    few, some, many = (unknown(n, small) for n in (100, 200, 400))
    assert some - few < 2 * few and many - some < 2.2 * (some - few)


def test_an_unknown_name_costs_the_same_on_a_platform_four_times_as_large(small: Platform) -> None:
    large = platform(120)
    unknown(10, large)
    assert unknown(200, large) < 1.2 * unknown(200, small)


def test_what_is_meant_by_an_unknown_key_is_asked_of_the_first_only() -> None:
    keys = "".join(f"complaunt{'x' * (n % 3)}{n}: x\n" for n in range(MOST_KEYS_MEANT + 20))
    _, problems = read_card(SourceFile("job.yaml", keys))
    assert sum(bool(problem.suggestion) for problem in problems) <= MOST_KEYS_MEANT
    assert len(problems) == MOST_KEYS_MEANT + 20


# ---- what is told of it ----


@pytest.mark.parametrize("more", [-1, 0, 1])
def test_the_first_problems_are_told_and_the_rest_counted(small: Platform, more: int) -> None:
    read = ", ".join(f"Q{n}X: 1A" for n in range(MOST_TOLD + more))
    found, _ = read_card(SourceFile("job.yaml", f"entries:\n  - {{read: {{{read}}}}}\n"))
    told = told_of_card(evidence_on(small, found)[1])
    assert told.count("There is no part") == min(MOST_TOLD, MOST_TOLD + more)
    assert ("These are the first 50; 1 more are not shown." in told) == (more > 0)


@pytest.mark.parametrize("at", [0.0, 0.5, 0.99])
def test_of_a_long_line_only_what_is_shown_is_looked_at(at: float) -> None:
    def shown(length: int) -> int:
        source = SourceFile("a", "x" * length)
        start = int(length * at)
        lines = excerpt(Span(source, start, start + 3))
        assert len(lines[0]) < 120 and lines[1].strip() == "^^^"
        return steps_of(lambda: excerpt(Span(source, start, start + 3)))

    assert shown(400_000) <= 1.1 * shown(40_000)


def test_one_name_of_200_kB_is_one_short_problem(small: Platform) -> None:
    source = SourceFile("job.yaml", f"entries:\n  - {{out: [{'X' * 200_000}]}}\n")
    (problem,) = evidence_on(small, read_card(source)[0])[1]
    assert len(problem.headline) < 120 and "200,000 characters" in problem.headline
    assert len(told_of_card((problem,))) < 500


def test_an_entry_is_never_half_added_at_a_limit(card: Path) -> None:
    text = card.read_text("utf-8") + "  - {}\n" * (MOST_VALUES - 8)
    with pytest.raises(LimitReached, match="is full"):
        with_entry(SourceFile("job.yaml", text), (("at", "10:00"), ("remark", "x")))
