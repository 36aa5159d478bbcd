"""What on a card points to the cause that was mended: each try, test, reading and sign of it; and what is no culprit."""

import pytest

from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.standing_text import standing_text
from circuitmap.wiring.platform import Platform
from tests.jobs.test_found_cause import READ, SINCE, bus, graded, job, mended, tried  # noqa: F401

NOTHING = "Nothing else on the card points there"
GONE = (*tried("A6", came_back=False), 'at: "20:20", total: 0.01A')
CAUSE = mended("A6 hangs", "new A6")


def told(bus: Platform, *entries: str) -> str:  # noqa: F811
    return " ".join(" ".join(standing_text(bus, job(bus, *entries).standing, Clock())).split())


@pytest.mark.parametrize(
    ("entries", "says"),
    [
        (GONE, "A6: BAT 0.93 A with it, 0.010 A without, 0.010 A with it again: it had gone by itself."),
        (("tested: {A6 outputs: bad}",), "A6 outputs tested: bad."),
        (("tested: {A6 inputs: bad}",), "A6 inputs tested: bad."),
        (("tested: {A6 ground: 1.20V}",), "A6 ground tested: bad."),
        (("volts: {A6.6: 12.2V}",), "Measured there: A6.6 12.2 V."),
        (("found: {A6: warm}",), "A6 found warm."),
    ],
)
def test_what_is_on_the_card_is_told(bus: Platform, entries: tuple[str, ...], says: str) -> None:  # noqa: F811
    said = told(bus, *READ, *entries, CAUSE, *SINCE)
    assert says in said and NOTHING not in said


@pytest.mark.parametrize(
    ("entries", "grade"),
    [
        ((*READ, *GONE, CAUSE, *SINCE), "seen"),  # it was quiet before it was mended
        ((*READ, "tested: {A6 outputs: bad}", CAUSE, *SINCE), "borne-out"),
        ((*READ, "volts: {A6.6: 12.2V}", CAUSE, *SINCE), "told"),  # a figure by itself says neither this nor that
        ((*READ, "tested: {A6 outputs: fine}", CAUSE, *SINCE), "told"),
        ((*READ, "tested: {A7 outputs: bad}", CAUSE, *SINCE), "told"),
    ],
)
def test_how_far_it_is_borne_out(bus: Platform, entries: tuple[str, ...], grade: str) -> None:  # noqa: F811
    assert graded(job(bus, *entries))[1] == grade


def test_with_nothing_there_that_is_said(bus: Platform) -> None:  # noqa: F811
    assert NOTHING in told(bus, *READ, "tested: {A7 outputs: bad}", CAUSE, *SINCE)


@pytest.mark.parametrize(
    ("cause", "parts"),
    [
        ("S12, its contact stays closed, STEP burns all night; kind stuck contact", ("S12",)),
        ("stuck contact of S12 keeps STEP on", ("S12",)),
        ("K1 welded, so A7 runs", ("CAB.K1",)),
        ("A6 hangs, feeds the coils of K1 and A7", ("A6",)),
        ("S12 sticks; A6 stays awake by it", ("S12",)),
        ("A6 stays awake, and A7 leaks", ("A6", "A7")),
        ("A6 awake; A7 awake", ("A6", "A7")),  # the sheets join them by nothing
        ("STEP burns, its holder is bridged", ("STEP",)),
        ("S12 and K1 stick", ("S12", "CAB.K1")),
    ],
)
def test_what_only_follows_is_no_culprit(bus: Platform, cause: str, parts: tuple[str, ...]) -> None:  # noqa: F811
    found = job(bus, *READ, mended(cause, "done"))
    assert graded(found)[0] == parts
    assert "kind" not in (found.standing.found.words if found.standing.found is not None else "")
