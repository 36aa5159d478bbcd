"""The work of evaluating a state grows no faster than the vehicle."""

from collections.abc import Callable
from functools import partial
from itertools import pairwise

import pytest

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.power import series_ways
from circuitmap.power.carried import carried
from circuitmap.power.evaluate import evaluate
from circuitmap.power.perhaps import perhaps_drawing
from circuitmap.power.plan import plan_of
from circuitmap.power.state import VehicleState
from circuitmap.reports.live.in_series_text import in_series_lines
from circuitmap.wiring.fitting import Answer
from tests.power.vehicle import vehicle
from tests.work_done import steps_of


def rows_of_relays(count: int) -> Circuit:
    """`count` times a fuse, a switch, a relay and a lamp, each wired in chains of three: 11 wires each."""
    lines = ["naming SP* splice, G* ground", "battery BAT 60Ah", "BAT.- -> G1", "fuse MAIN 100A", "BAT.+ -> MAIN"]
    for n in range(count):
        lines += [
            f"fuse F{n} 10A", f"switch S{n} positions off, on closes 1 to 2 in on", f"relay K{n} make", f"lamp L{n}",
            f"MAIN -> SPA{n} -> F{n}", f"F{n} -> SPB{n} -> S{n}.1", f"S{n}.2 -> SPC{n} -> K{n}.86", f"K{n}.85 -> G1",
            f"SPB{n} -> K{n}.30", f"K{n}.87 -> SPD{n} -> L{n} -> G1",
        ]  # fmt: skip
    return vehicle("\n".join(lines) + "\n")


def test_all_relays_pulled_in() -> None:
    def work(circuit: Circuit, count: int) -> None:
        state = VehicleState(switches={f"S{n}": "on" for n in range(count)})
        assert len(evaluate(circuit, state).draws) >= count

    vehicles = {count: rows_of_relays(count) for count in (5, 40, 80)}
    work(vehicles[5], 5)  # what is made only once is not counted
    assert steps_of(partial(work, vehicles[80], 80)) < 2.2 * steps_of(partial(work, vehicles[40], 40))


def test_asleep_from_nothing() -> None:
    def work(count: int) -> None:
        evaluate(circuit_of(platforms[count]), VehicleState())

    platforms = {count: rows_of_relays(count).platform for count in (5, 40, 80)}
    work(5)
    assert steps_of(partial(work, 80)) < 2.2 * steps_of(partial(work, 40))


AT_MOST = 4.6
"""By how much work may grow at twice the size: what grows with the square of the size comes to four."""


def grows(work: Callable[[Circuit], object], made: Callable[[int], Circuit], size: int) -> None:
    """Counted at n, 2n and 4n; what is made only once is not counted."""
    work(made(size))
    small, twice, four_times = (steps_of(partial(work, made(size * times))) for times in (1, 2, 4))
    assert 0 < small < twice and twice < AT_MOST * small and four_times < AT_MOST * twice, (small, twice, four_times)


def fuses_in_a_row(count: int) -> Circuit:
    """Each fuse behind the one before, with a lamp of its own: what the first carries passes all ways."""
    lines = ["naming SP* splice, G* ground", "battery BAT 60Ah", "BAT.- -> G1", "BAT.+ -> SP0"]
    for n in range(count):
        lines += [f"fuse F{n} 10A", f"lamp L{n} running 2A", f"SP{n} -> F{n} -> SP{n + 1} -> L{n} -> G1"]
    return vehicle("\n".join(lines) + "\n")


def lamps_in_series(rows: int, count: int) -> Circuit:
    """Rows of lamps, one behind the other, side by side; the last lamp of each row goes to ground."""
    lines = [
        "naming SP* splice, G* ground",
        "battery BAT 60Ah",
        "BAT.- -> G1",
        "fuse MAIN 100A",
        "BAT.+ -> MAIN -> SPMAIN",
    ]
    for row in range(rows):
        names = [f"E{row}_{n}" for n in range(count)]
        lines += [*(f"lamp {name}" for name in names), f"SPMAIN -> {names[0]}.1"]
        lines += [f"{one}.2 -> {other}.1" for one, other in pairwise(names)]
        lines += [f"{names[-1]}.2 -> G1"]
    return vehicle("\n".join(lines) + "\n")


def a_ladder_of_lamps(count: int) -> Circuit:
    """A lamp on every rung and every rail: the ways from plus to ground double with each rung."""
    lines = [
        "naming SP* splice, G* ground",
        "battery BAT 60Ah",
        "BAT.- -> G1",
        "fuse MAIN 100A",
        "BAT.+ -> MAIN -> SPA0",
    ]
    for n in range(count):
        lines += [f"lamp A{n}", f"lamp B{n}", f"lamp R{n}", f"SPA{n} -> A{n} -> SPA{n + 1}"]
        lines += [f"SPB{n} -> B{n} -> SPB{n + 1}", f"SPA{n} -> R{n} -> SPB{n}"]
    return vehicle("\n".join(lines) + f"\nSPB{count} -> G1\n")


def tell_what_is_in_series(circuit: Circuit) -> list[str]:
    powered = evaluate(circuit, VehicleState())
    found = perhaps_drawing(powered, [its for its in powered.loads.values() if its.draws == Answer.MAY_BE])
    assert found.in_series
    return in_series_lines(circuit.platform, powered, found, 100)


def test_what_fuses_carry() -> None:
    def work(circuit: Circuit) -> None:
        its = carried(evaluate(circuit, VehicleState()), {})
        lamps = sum(name.startswith("L") for name in circuit.platform.parts)
        assert [len(one.parts) for one in its if one.kind == "fuse"] == list(range(lamps, 0, -1))

    grows(work, fuses_in_a_row, 15)


def test_ways_through_one_long_row() -> None:
    grows(tell_what_is_in_series, partial(lamps_in_series, 1), 15)


def test_ways_through_many_rows() -> None:
    grows(tell_what_is_in_series, lambda count: lamps_in_series(count, 3), 8)


def test_ways_through_a_ladder_are_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    """Their number doubles with each rung; what is looked at does not. That there are more is said, or, where none was
    found, all that may lie on one."""
    assert any("and in other ways" in line for line in tell_what_is_in_series(a_ladder_of_lamps(4)))
    monkeypatch.setattr(series_ways, "MOST_LOOKED_AT", 60)
    assert any("and 13 more" in line for line in tell_what_is_in_series(a_ladder_of_lamps(12)))
    grows(tell_what_is_in_series, a_ladder_of_lamps, 12)


def test_labels_on_one_splice() -> None:
    """Whether a battery is drawn behind a label is not looked for anew through all that hangs there."""

    def labelled(count: int) -> Circuit:
        lines = ["naming SP* splice, G* ground", "battery BAT 60Ah", "BAT.- -> G1", "BAT.+ -> SP1"]
        for n in range(count):
            lines += [f"fuse F{n} 10A", f"lamp L{n}", f"SP1 -> F{n} -> L{n} -> G1", f"stated F{n} always"]
        return vehicle("\n".join(lines) + "\n")

    def work(circuit: Circuit) -> None:
        assert not plan_of(circuit).stated

    work(labelled(10))
    small, twice, four_times = (steps_of(partial(work, labelled(10 * times))) for times in (1, 2, 4))
    assert twice < 2.2 * small and four_times < 2.2 * twice, (small, twice, four_times)
