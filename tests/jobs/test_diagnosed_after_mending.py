"""What still draws after something was mended is diagnosed by what was read since: what was mended is explained."""

from dataclasses import replace
from functools import cache
from random import Random
from typing import NamedTuple

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import _case
from circuitmap.diagnosis.seen.mending import MENDED_BADLY
from circuitmap.diagnosis.seen.settled import ended_with
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import read_card
from circuitmap.flows.job import diagnosis_now, diagnosis_of, next_lines
from circuitmap.jobs.job import Job, job_on
from circuitmap.reports.job.job_text import job_text
from circuitmap.source import SourceFile
from tests.diagnosis.random_cards import vehicle

BEFORE = ["{{at: 08:00, state: locked}}", "{{at: 09:00, read: {{{battery}: 3.0A, {first}: 2.0A, {second}: 1.0A}}}}",
          "{{at: 09:10, out: [{first}]}}", "{{at: 10:10, read: {{{battery}: 1.0A}}}}", "{{at: 10:20, back: [{first}]}}"]  # fmt: skip
MENDED = "{{at: 10:30, mended: that}}"
SINCE = ["{{at: 10:40, state: locked}}", "{{at: 12:00, read: {{{battery}: 1.0A, {first}: 0A}}}}",
         "{{at: 12:10, read: {{{second}: 1.0A}}}}", "{{at: 12:20, out: [{second}]}}",
         "{{at: 13:20, read: {{{battery}: 0.0A}}}}", "{{at: 13:30, back: [{second}]}}",
         "{{at: 14:40, read: {{{battery}: 1.0A}}}}"]  # fmt: skip


class Two(NamedTuple):
    """A vehicle in which two fuses draw: the first one's draw is mended, the second one's is found afterwards."""

    circuit: Circuit
    battery: str
    first: str
    second: str


@cache
def two(number: int) -> Two | None:
    """None where the vehicle has not got two fuses at one battery that may be pulled."""
    circuit = vehicle(number)
    platform = circuit.platform
    batteries = [part.name for part in platform.parts.values() if part.kind == "battery"]
    fuses = [fuse.name for fuse in platform.fuses if circuit.hands_off.may_touch(fuse.name)]
    if len(batteries) != 1 or len(fuses) < 2:
        return None
    return Two(circuit, batteries[0], *Random(number).sample(fuses, 2))


def card(its: Two, entries: list[str]) -> Job:
    lines = (entry.format(**its._asdict()) for entry in entries)
    text = "job: 1\nentries:\n" + "".join(f"  - {line}\n" for line in lines)
    return job_on(its.circuit.platform, *read_card(SourceFile("job.yaml", text)), its.circuit)


def told(evidence: Evidence) -> list[tuple[object, ...]]:
    tries = [
        (t.out, t.before and t.before.amps, t.after.amps, t.back and t.back.amps, t.after.speaks)
        for t in evidence.tries
    ]  # fmt: skip
    return [*((r.place, r.amps, r.without, r.speaks, r.minutes) for r in evidence.readings), *tries]


VEHICLES = [number for number in range(1, 60) if two(number) is not None]


@pytest.mark.parametrize("number", VEHICLES[::3])
def test_the_vehicle_since_is_the_one_that_a_card_of_its_own_would_tell_of(number: int) -> None:
    """Wherever the card is cut: neither readings nor tries of the one vehicle say anything of the other."""
    its = two(number)
    assert its is not None
    for length in range(2, len(SINCE) + 1):
        since = SINCE[:length]
        both = card(its, [*BEFORE, MENDED, *since])
        now = both.evidence.told_between(both.card.entries[len(BEFORE)].span.start, None)
        assert told(now) == told(card(its, since).evidence)
        as_it_came = both.evidence.told_between(0, both.card.entries[len(BEFORE)].span.start)
        assert told(as_it_came) == told(card(its, BEFORE).evidence)


@pytest.mark.parametrize("number", VEHICLES[::4])
def test_what_was_mended_keeps_its_share_of_the_odds_and_no_more(number: int) -> None:
    """Against a sound vehicle each fault that ends with what was out is worth that share, every other one the same."""
    its = two(number)
    assert its is not None
    platform = its.circuit.platform
    evidence = card(its, SINCE[:2]).evidence
    ((_, plain), (faults, mended)) = (
        (its_case.faults, its_case.weighing)
        for its_case in (_case(its.circuit, e, {}, None) for e in (evidence, replace(evidence, mended=((its.first,),))))
    )  # fmt: skip
    ended = ended_with((its.first,), faults, platform, ())
    assert not ended or len(ended) < len(faults)
    for n, (alone, now) in enumerate(zip(plain.singles / plain.nothing, mended.singles / mended.nothing, strict=True)):
        assert now == pytest.approx(alone * (MENDED_BADLY if n in ended else 1.0), rel=1e-9)


@pytest.mark.parametrize("number", VEHICLES[::4])
def test_the_second_fault_is_found_and_the_first_one_is_not_told_again(number: int) -> None:
    its = two(number)
    assert its is not None
    job = card(its, [*BEFORE, MENDED, *SINCE])
    standing = job.standing
    assert standing.stage == "not-repaired"
    assert [one.out for one in standing.tries_since] == [(its.second,)]
    if standing.tries_since[0].verdict != "feeds-all":
        assert standing.in_hand is not None and standing.in_hand.out == (its.second,)
    text = "\n".join(job_text(job, next_lines(job)))
    assert "SINCE" in text and "NEXT" in text


def test_a_report_tells_of_the_vehicle_as_it_came_in() -> None:
    its = two(VEHICLES[0])
    assert its is not None
    before, after = card(its, BEFORE), card(its, [*BEFORE, MENDED, *SINCE])
    assert diagnosis_of(after).parts == diagnosis_of(before).parts
    assert diagnosis_now(after).parts != diagnosis_of(after).parts
