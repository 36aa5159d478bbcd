"""How the work for each question grows with a hostile platform: counted at n, 2n and 4n."""

from collections.abc import Callable
from functools import partial

import pytest

from circuitmap.failures import LimitReached
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed, suspects
from circuitmap.flows.drawing import DrawingAsked, diagram
from circuitmap.flows.questions import Bench, in_common, platform_from, trace, worksheet
from circuitmap.flows.states import live, state_of
from circuitmap.reports.circuit.common_text import common_text
from circuitmap.reports.circuit.trace_text import trace_text
from circuitmap.reports.live.live_text import live_text
from circuitmap.source import SourceFile
from tests.limits.every_platform import EVERY
from tests.limits.hostile import Hostile
from tests.work_done import steps_of

AT_MOST = 4.6
"""By how much the work may grow at twice the size: what grows with the square of the size comes to four."""


def opened(hostile: Hostile, size: int) -> Bench:
    files = hostile.files(size)
    return Bench(platform_from(tuple(SourceFile(name, text) for name, text in sorted(files.items()))), {})


def traced(bench: Bench, hostile: Hostile, size: int) -> None:
    for name in hostile.asked(size):
        if name in bench.platform.parts:
            its = trace(bench, name)
            trace_text(bench.platform, its.trace, its.fed)


def lived(bench: Bench, hostile: Hostile, size: int) -> None:
    now = live(bench, state_of(bench))
    live_text(now.powered, now.classes, now.expected)


def listed(bench: Bench, hostile: Hostile, size: int) -> None:
    worksheet(bench, "txt")


def compared(bench: Bench, hostile: Hostile, size: int) -> None:
    common_text(bench.platform, in_common(bench, hostile.fuses(size)))


def suspected(bench: Bench, hostile: Hostile, size: int) -> None:
    readings = ("BAT=0.9A", *(f"{fuse}={k % 5 / 10}A" for k, fuse in enumerate(hostile.fuses(size))))
    suspects(bench, evidence_typed(bench.platform, TypedEvidence(readings=readings)))


def drawn(bench: Bench, hostile: Hostile, size: int) -> None:
    diagram(bench, DrawingAsked(parts=tuple(n for n in hostile.asked(size) if n in bench.platform.parts)), "dot")


QUESTIONS: tuple[Callable[[Bench, Hostile, int], None], ...] = (traced, lived, listed, compared, suspected, drawn)
OF_TEXT = ("a statement of near words", "a list without commas", "a wire of broken arrows", "quotes that do not close")


@pytest.mark.slow
@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: question.__name__)
@pytest.mark.parametrize("hostile", EVERY, ids=lambda hostile: hostile.name)
def test_work_grows_no_faster_than_the_square(
    hostile: Hostile, question: Callable[[Bench, Hostile, int], None]
) -> None:
    if hostile.name in OF_TEXT:
        pytest.skip("its size is that of one statement, and its circuit is always the same")

    def work(size: int, benches: dict[int, Bench]) -> None:
        try:
            question(benches[size], hostile, size)
        except LimitReached as limit:
            pytest.skip(str(limit))

    sizes = [hostile.small * times for times in (1, 2, 4)]
    work(sizes[0], {sizes[0]: opened(hostile, sizes[0])})  # what is made only once is not counted
    benches = {size: opened(hostile, size) for size in sizes}
    small, twice, four_times = (steps_of(partial(work, size, benches)) for size in sizes)
    print(f"{hostile.name}: {small}, {twice}, {four_times}")
    assert four_times < AT_MOST * twice + 2_000, (small, twice, four_times)


@pytest.mark.slow
@pytest.mark.parametrize("hostile", EVERY, ids=lambda hostile: hostile.name)
def test_reading_grows_no_faster_than_the_square(hostile: Hostile) -> None:
    sizes = [hostile.small * times for times in (1, 2, 4)]
    opened(hostile, sizes[0])
    small, twice, four_times = (steps_of(partial(opened, hostile, size)) for size in sizes)
    assert four_times < AT_MOST * twice + 2_000, (small, twice, four_times)
