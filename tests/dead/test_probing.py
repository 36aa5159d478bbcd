"""The sheet of probes: each outcome leads on or ends in what it is, and whoever follows it comes to the thing that is
interrupted. The law needs no source: the volts that are followed are those of the net with that thing out."""

import itertools
from pathlib import Path

import pytest

from circuitmap.dead import probing as probing_module
from circuitmap.dead.dead_loads import dead_loads
from circuitmap.dead.known import KnownInterruptions
from circuitmap.dead.probes import shown_at
from circuitmap.dead.probing import MOST_ROWS, Probing, probing
from circuitmap.flows.dead import complaint_of, dead
from circuitmap.flows.questions import Bench, open_bench
from circuitmap.flows.states import state_of
from circuitmap.reports.dead.dead_json import dead_json
from tests.bay.test_dead_on_page import PLATFORM
from tests.cli.conftest import Run


@pytest.fixture(scope="module")
def screens(tmp_path_factory: pytest.TempPathFactory) -> Path:
    room = tmp_path_factory.mktemp("screens")
    (room / "all.circuit").write_text(PLATFORM)
    return room


@pytest.fixture(scope="module")
def bench(screens: Path) -> Bench:
    return open_bench(screens)


@pytest.fixture(scope="module")
def found(bench: Bench) -> Probing:
    return probing(bench.circuit, state_of(bench, key="run"), complaint_of(bench, ["SCRL,SCRR"], ["DOME"], ()))


def test_each_row_is_gone_to_from_one_outcome_before_it(found: Probing) -> None:
    assert [row.number for row in found.rows] == list(range(1, len(found.rows) + 1)) and len(found.rows) <= MOST_ROWS
    gone_to = [(onward.row, row.number) for row in found.rows for onward in row.onward if onward.row]
    assert sorted(row for row, _ in gone_to) == [row.number for row in found.rows[1:]]
    assert all(before < row for row, before in gone_to)
    assert not found.cut_off


def test_no_row_holds_the_probe_where_nobody_may(found: Probing, bench: Bench) -> None:
    assert all(bench.circuit.hands_off.may_probe(str(row.point)) for row in found.rows)


def test_whoever_follows_it_comes_to_what_is_interrupted(found: Probing, bench: Bench) -> None:
    first = found.first
    nominal = bench.platform.supply_volts
    tried = KnownInterruptions().of(first.watched)
    sure = [one for one, odds in first.suspects if odds >= 0.04]
    assert len(sure) >= 5
    for one, there in tried.volts(sure).items():
        row = found.rows[0]
        for _ in range(MOST_ROWS):
            shown = shown_at(there.volts[bench.circuit.number[row.point]], nominal)
            onward = next(its for its in row.onward if its.outcome.shown == shown)
            if not onward.row:
                break
            row = found.rows[onward.row - 1]
        assert one in onward.left, one


def test_the_forms_hold_every_row_with_its_cautions(
    screens: Path, found: Probing, tmp_path: Path, circuitmap: Run
) -> None:
    asked = ("--dead", "SCRL,SCRR", "--works", "DOME", "--key", "run")
    for form in ("txt", "html", "pdf"):
        ran = circuitmap("worksheet", screens, *asked, "-o", tmp_path / f"s.{form}")
        assert ran.code == 0, ran.err
    text, page = ((tmp_path / f"s.{form}").read_text() for form in ("txt", "html"))
    for words in ("pierce nothing", "it is not dead", "never across a fuse", "find the short"):
        assert words in " ".join(text.split()) and words in page
    assert text.count("read ________ V") == len(found.rows) == page.count('class="w" rowspan')
    assert (tmp_path / "s.pdf").read_bytes().startswith(b"%PDF")


def test_what_works_and_the_state_belong_to_what_does_not_work(screens: Path, tmp_path: Path, circuitmap: Run) -> None:
    for more in (("--works", "DOME"), ("--key", "run")):
        ran = circuitmap("worksheet", screens, *more, "-o", tmp_path / "s.txt")
        assert ran.code == 2 and "--dead" in ran.err and not (tmp_path / "s.txt").exists()


def test_what_is_known_changes_no_answer(bench: Bench) -> None:
    known = KnownInterruptions()
    state = state_of(bench, key="run")
    for works, saw in itertools.product((["DOME"], []), ([], ["HAB.F1=0V"], ["HAB.F1=12.4V"])):
        complaint = complaint_of(bench, ["SCRL,SCRR"], works, saw)
        kept, anew = (dead_loads(bench.circuit, state, complaint, its) for its in (known, None))
        assert dead_json(bench.platform, kept) == dead_json(bench.platform, anew)


def test_a_position_in_which_all_are_dead_is_part_of_the_state(bench: Bench) -> None:
    said = dead(bench, state_of(bench), ["SCRL@key=run", "SCRR@key=run"], ["DOME@key=run"], ["HAB.F1=0V"])
    asked = dead(bench, state_of(bench, key="run"), ["SCRL", "SCRR"], ["DOME"], ["HAB.F1=0V"])
    one, other = (dead_json(bench.platform, its) for its in (said, asked))
    differs = {name for name in one if one[name] != other[name]}
    assert differs <= {"dead", "works", "groups", "state_not_said"}, "names, not chances"
    assert [its["chance"] for its in one["groups"]] == [its["chance"] for its in other["groups"]]
    apart = dead(bench, state_of(bench), ["SCRL@key=run", "SCRR@key=off"], [], [])
    assert len(apart.watched.states) > 1, "two positions are two states"


@pytest.mark.parametrize("more", [-1, 0, 1])
def test_more_rows_than_a_sheet_holds_are_said(
    more: int, found: Probing, bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = len(found.rows)
    monkeypatch.setattr(probing_module, "MOST_ROWS", whole + more)
    its = probing(bench.circuit, state_of(bench, key="run"), found.first.complaint)
    assert its.cut_off is (more < 0) and len(its.rows) == min(whole, whole + more)
