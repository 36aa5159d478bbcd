"""Where a car has more faults, or readings tell more of them apart, than are weighed: the rest is left out and told."""

import json
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from circuitmap.diagnosis.car import parked
from circuitmap.diagnosis.next_test import actions, predicting
from circuitmap.diagnosis.next_test.handling import Action
from circuitmap.diagnosis.weighing import likeliest, tables
from circuitmap.diagnosis.weighing.sightings import CurrentSighting, ZeroError
from tests.diagnosis.test_against_listing import made_up
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_not_said import READ, TWO_BATTERIES, asked
from tests.diagnosis.test_suspects_command import TRUCK, run

WORDS = (TRUCK, "BAT=0.9A", "F12=0.85A", "F6=0.0A", "F24=0.0A", "F33=0.02A", "F40=0.0A", "F11=0.01A")


@pytest.fixture
def few(monkeypatch: pytest.MonkeyPatch) -> Callable[[object, str, int], None]:
    def less(module: object, name: str, most: int) -> None:
        monkeypatch.setattr(module, name, most)

    return less


def told(*words: str) -> tuple[dict, str]:  # type: ignore[type-arg]
    code, out, _ = run(*WORDS, "--json", *words)
    assert code == 0
    return json.loads(out), " ".join(run(*WORDS, *words)[1].split())


def test_faults_that_are_too_much_work_are_left_out_and_named(few: Callable[[object, str, int], None]) -> None:
    few(parked, "MOST_WORK", 160_000)
    answer, text = told("--top", "100")
    [gap] = [gap for gap in answer["incomplete"] if gap["kind"] == "faults cut off"]
    assert gap["names"] and "was too much to work out; they are not weighed (cut off)." in text
    stuck = {m["part"] for its in answer["classes"] for member in its["members"] for m in member if m["contact"]}
    assert stuck - set(gap["names"]) and set(gap["names"]) - stuck


def test_the_likeliest_of_those_told_apart_are_weighed(few: Callable[[object, str, int], None]) -> None:
    before, text = told()
    assert "cut off" not in text
    few(likeliest, "MOST_TOLD_APART", 12)
    after, text = told()
    [gap] = [gap for gap in after["incomplete"] if gap["kind"] == "pairs cut off"]
    assert int(gap["why"]) > 0 and f"the {gap['why']} unlikeliest are not weighed (cut off)." in text
    assert after["classes"][0]["members"] == before["classes"][0]["members"]


def test_what_nobody_said_is_not_tried_where_that_would_take_too_much_work(
    few: Callable[[object, str, int], None],
) -> None:
    assert asked(circuit_from(TWO_BATTERIES), *READ).worlds
    few(parked, "MOST_WORK", 2_000)
    answer = asked(circuit_from(TWO_BATTERIES), *READ)
    assert not answer.worlds
    [gap] = [gap for gap in answer.incomplete if gap.kind == "worlds cut off"]
    assert set(gap.names) == {"LIVSW", "BOOST"}


@pytest.mark.parametrize("seed", range(30))
def test_in_pieces_or_at_once_it_comes_to_the_same(seed: int, few: Callable[[object, str, int], None]) -> None:
    sightings, odds = made_up(seed)
    currents = [s for s in sightings if isinstance(s, CurrentSighting)]
    zero = ZeroError("clamp", 0.01)
    shared = [replace(s, zero=zero, label=n) for n, s in enumerate([*currents, *currents])]
    whole = tables.tables_of(shared, len(odds))[0].log_chance
    few(tables, "_AT_ONCE", 1)
    assert np.allclose(whole, whole.T, rtol=0, atol=1e-12)
    assert np.allclose(tables.tables_of(shared, len(odds))[0].log_chance, whole, rtol=0, atol=1e-12)


def test_of_too_many_steps_those_about_the_likeliest_parts_are_compared(
    few: Callable[[object, str, int], None],
) -> None:
    before, text = told()
    assert (
        "steps cut off" not in {gap["kind"] for gap in before["incomplete"]}
        and "steps" not in text.split("NOT KNOWN")[1]
    )
    few(actions, "MOST_COMPARED", 5)
    after, text = told()
    [gap] = [gap for gap in after["incomplete"] if gap["kind"] == "steps cut off"]
    assert (
        int(gap["why"]) > 0
        and f"too many steps: the {gap['why']} about the unlikeliest parts are not compared (cut off)." in text
    )
    assert after["tests"][0]["parts"] == before["tests"][0]["parts"]


def test_the_work_for_the_next_test_stops_growing(few: Callable[[object, str, int], None]) -> None:
    """Counted at n, 2n and 4n switched loads: with each there are more steps to choose from, and no more are compared."""

    def compared(count: int) -> tuple[int, int]:
        lines = [
            "naming SP* splice, G* ground",
            "battery BAT 90Ah",
            "BAT.- -> G1",
            "fuse MAIN 100A",
            "BAT.+ -> MAIN -> SPM",
        ]
        for n in range(count):
            lines += [
                f"fuse F{n} 10A",
                f"relay K{n} make",
                f"lamp L{n}",
                f"SPM -> F{n} -> K{n}.30",
                f"K{n}.87 -> L{n} -> G1",
            ]
        seen: list[int] = []
        weighed = predicting.Predictions.of_all

        def counted(self: predicting.Predictions, worth_it: list[Action]) -> object:
            seen.append(sum(action.tells in ("what is left", "what flows there") for action in worth_it))
            return weighed(self, worth_it)

        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(predicting.Predictions, "of_all", counted)
            answer = asked(circuit_from("\n".join(lines) + "\n"), "BAT=0.9A")
        return seen[0], answer.tests.not_compared

    few(actions, "MOST_COMPARED", 12)
    (few_steps, left), (more, more_left), (most, most_left) = (compared(count) for count in (10, 20, 40))
    assert 0 < left < more_left < most_left
    assert 20 < few_steps <= 24 and more == most == 24
