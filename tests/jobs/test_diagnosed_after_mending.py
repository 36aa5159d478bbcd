"""What still draws after something was mended is diagnosed by what was read since: what was mended is explained."""

from dataclasses import replace
from functools import cache
from random import Random
from typing import NamedTuple

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.case import case_of
from circuitmap.diagnosis.seen.mending import MENDED_BADLY
from circuitmap.diagnosis.seen.settled import ended_with
from circuitmap.evidence.evidence import Evidence, MendedThing
from circuitmap.evidence.job_card import read_card
from circuitmap.flows.job import diagnosis_now, diagnosis_of, next_steps
from circuitmap.jobs.job import Job, job_of, job_on
from circuitmap.jobs.since_mending import as_it_is_now
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.job_text import job_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
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
        for its_case in (case_of(its.circuit, e, {}, None) for e in (evidence, replace(evidence, mended=(MendedThing((its.first,), "something"),))))
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
    text = "\n".join(job_text(job, next_steps(job).lines))
    assert "SINCE" in text and "NEXT" in text


def test_a_report_tells_of_the_vehicle_as_it_came_in() -> None:
    its = two(VEHICLES[0])
    assert its is not None
    before, after = card(its, BEFORE), card(its, [*BEFORE, MENDED, *SINCE])
    assert diagnosis_of(after).parts == diagnosis_of(before).parts
    assert diagnosis_now(after).parts != diagnosis_of(after).parts


NIGHT_BUS = """\
platform "Orvane Plover" sleep 20min limit 50mA
battery BAT 90Ah
fuse F1 15A, F2 15A
relay K1 "heater relay" make
heater H1
module A6 "heater controller" supply 2 ground 4
output A6.9 grounds
ground GND
BAT.+ -> F1 -> K1.30
BAT.+ -> F2 -> A6.2
K1.87 -> H1.1
F1 -> K1.86
K1.85 -> A6.9 in BN 0.5 code "619"
H1.2 -> GND
A6.4 -> GND
BAT.- -> GND
"""
DREW = ['at: "09:00", state: locked', 'at: "09:40", total: 4.6A, steady: yes']
AND_DRAWS = ['at: "11:00", state: locked', 'at: "11:40", total: 4.6A, steady: yes']
AND_RESTS = ['at: "11:00", state: locked', 'at: "11:40", total: 0.01A, steady: yes']


def tried(name: str, left: str) -> list[str]:
    return [f'at: "09:50", out: [{name}]', f'at: "10:20", total: {left}', f'at: "10:25", back: [{name}]',
            'at: "10:50", total: 4.6A']  # fmt: skip


def on_the_night_bus(*entries: str) -> Job:
    read, problems = read_text(SourceFile("b.circuit", NIGHT_BUS))
    assert not [p for p in problems if p.severity.name == "ERROR"], problems
    text = "entries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    job = job_of(platform_of([read]), SourceFile("job.yaml", text))
    assert not job.problems, job.problems
    return job


@pytest.mark.parametrize(
    ("before", "cause", "mended"),
    [
        (tried("A6", "4.6A"), "wire 619, K1.85 to A6, pinched", ()),  # A6 was cleared, and a wire was mended
        ([], "wire 619, K1.85 to A6, pinched", ()),
        (tried("K1", "0.01A"), "wire 619 pinched", ()),  # K1 was out, and is not what was mended
        (tried("K1", "0.01A"), "K1, its contact sticks", (MendedThing(("K1",), "themselves"),)),
        (tried("F1", "0.01A"), "wire 619 pinched", (MendedThing(("F1",), "hangs"),)),
        (tried("F1", "0.01A"), "K1, its contact sticks", (MendedThing(("K1",), "named"),)),
        ([], "K1, its contact sticks", (MendedThing(("K1",), "named"),)),
        (tried("F1", "0.01A"), "water in a plug", (MendedThing(("F1",), "something"),)),
    ],
)
def test_only_what_was_out_and_was_mended_is_said_so(
    before: list[str], cause: str, mended: tuple[MendedThing, ...]
) -> None:
    job = on_the_night_bus(*DREW, *before, f'at: "10:55", cause: "{cause}", mended: done', *AND_DRAWS)
    assert job.standing.stage == "not-repaired"
    assert as_it_is_now(job.platform, job.card, job.evidence, job.standing).mended == mended
    text = "\n".join(next_steps(job).lines)
    assert ("out, and that was mended" in " ".join(text.split())) <= any(its.how == "themselves" for its in mended)
