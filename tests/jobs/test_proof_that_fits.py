"""What proof still lacks fits the part: nobody tests apart what is plugged in, or what a door contact feeds."""

import pytest

from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.standing_text import standing_text
from circuitmap.wiring.platform import Platform
from tests.jobs.test_found_cause import READ, bus, job, tried  # noqa: F401
from tests.jobs.test_taken_away import ADDED, TRIED

OUT_AGAIN = ('at: "20:50", out: [{part}]', 'at: "21:40", total: 0.01A')


def again(part: str) -> tuple[str, ...]:
    return tuple(entry.format(part=part) for entry in OUT_AGAIN)


@pytest.mark.parametrize(
    ("entries", "verdict", "needs"),
    [
        ((*ADDED, *TRIED[:2]), "involved", ("in-again", "out-again")),
        ((*ADDED, *TRIED, *again("warming locker")), "proven", ()),
        ((*READ, *tried("S12")), "involved", ("out-again", "itself")),
        ((*READ, *tried("S12"), *again("S12"), "tested: {S12: bad}"), "proven", ()),
        ((*READ, *tried("S12"), *again("S12"), "tested: {S12: fine}"), "involved", ("inputs",)),
        ((*READ, *tried("S12"), *again("S12"), "tested: {S12 inputs: fine}"), "proven", ()),
        ((*READ, *tried("S12"), *again("S12"), "tested: {S12 inputs: bad}"), "involved", ()),
        ((*READ, *tried("K1")), "involved", ("out-again", "inputs", "outputs")),
    ],
)
def test_what_is_asked_for(bus: Platform, entries: tuple[str, ...], verdict: str, needs: tuple[str, ...]) -> None:  # noqa: F811
    (one,) = job(bus, *entries).standing.tries
    assert (one.verdict, one.needs) == (verdict, needs)


def test_a_log_made_while_it_was_out_is_told(bus: Platform) -> None:  # noqa: F811
    logged = 'at: "23:59", log: {floor: 0.01A, peak: 0.02A, mean: 0.01A, for: 4h}'
    found = job(bus, *ADDED, *TRIED[:2], logged)
    said = " ".join(" ".join(standing_text(bus, found.standing, Clock())).split())
    assert "0.010 A without; a log of 4 h without it: 0.010 A on average, 0.020 A at most" in said
    assert "a log of" not in " ".join(standing_text(bus, job(bus, *ADDED, *TRIED[:2]).standing, Clock()))


def test_a_log_with_it_in_is_none_of_it(bus: Platform) -> None:  # noqa: F811
    logged = 'at: "23:59", log: {floor: 0.01A, peak: 0.02A, mean: 0.01A, for: 3h}'
    assert job(bus, *ADDED, *TRIED, logged).standing.tries[0].logged is None
