"""What fuse is in a slot says what a drop across it is worth, whenever it was looked at. Resistances by the published
ones and the tool's own for a rating alone."""

import pytest

from circuitmap.evidence.fuse_drop import cold_resistance
from circuitmap.flows.job import job_from
from circuitmap.jobs.job import Job
from circuitmap.jobs.short_line import entry_of
from circuitmap.reports.job.card_text import entry_words
from circuitmap.reports.job.job_json import job_json
from circuitmap.reports.job.job_text import job_text
from circuitmap.wiring.platform import Platform
from tests.diagnosis.test_answers import circuit_from

BUS: Platform = circuit_from("""\
platform "Thornby bus" supply 12V return body sleep 10min..15min limit 50mA
battery BAT 80Ah
fuse F4 "spare" empty
fuse F5 10A mini "heater"
breaker CB1 20A "lift"
lamp STEP "step lamp" running 5W
heater HEAT "heater" running 6A
heater LIFT "lift" running 6A
BAT.- -> case
BAT.+ -> F4 -> STEP -> case
BAT.+ -> F5 -> HEAT -> case
BAT.+ -> CB1 -> LIFT -> case
""").platform
LOOK = "at: 09:00, total: 1.20A, read: {F4: 8.6mV, F5: 0.0mV}"


def job(*entries: str) -> Job:
    text = "job: 1\nplatform: x\nentries:\n" + "".join(
        f"  - {{{its}}}\n" for its in ("at: 08:00, state: locked, meter: clamp", *entries)
    )
    return job_from(BUS, text, "job.yaml")


def amps_at(its: Job, place: str) -> float | None:
    return next(one.amps for one in its.evidence.readings if one.place == place)


@pytest.mark.parametrize(
    "entries", [("at: 08:50, in-slot: {F4: 10A mini}", LOOK), (LOOK, "at: 09:10, in-slot: {F4: 10A mini}")]
)
def test_a_drop_becomes_a_current(entries: tuple[str, ...]) -> None:
    """A 10 A mini has some 7 milliohms: 8.6 mV are 1.1 to 1.3 A. Without it only that it draws is known."""
    its, unknown = job(*entries), job(LOOK)
    assert not its.problems and not unknown.problems
    resistance = cold_resistance("mini", 10.0)
    assert resistance is not None and 6.0 < resistance.milliohms < 8.5
    assert amps_at(its, "F4") == pytest.approx(8.6 / resistance.milliohms)
    assert amps_at(unknown, "F4") is None
    assert job_json(its)["in_slot"] == [{"fuse": "F4", "amps": 10.0, "style": "mini"}]


def test_its_rating_alone_is_enough_and_the_last_look_counts() -> None:
    alone = job(LOOK, "at: 09:10, in-slot: {F4: 10A}")
    assert (amps_at(alone, "F4") or 0.0) > 0.5
    later = job(LOOK, "at: 09:10, in-slot: {F4: 30A mini}", "at: 09:20, in-slot: {F4: 10A mini}")
    assert amps_at(later, "F4") == amps_at(job(LOOK, "at: 09:10, in-slot: {F4: 10A mini}"), "F4")
    struck = job(LOOK, "at: 09:10, in-slot: {F4: 10A mini}, struck: wrong slot")
    assert amps_at(struck, "F4") is None


@pytest.mark.parametrize(("size", "told"), [("20A", True), ("10A", False), ("7.5A", False)])
def test_a_larger_one_than_belongs_there_is_told(size: str, told: bool) -> None:
    text = " ".join(" ".join(job_text(job(LOOK, f"at: 09:10, in-slot: {{F5: {size}}}"))).split())
    assert (f"F5: {size[:-1]} A is in it, and 10 A belongs there" in text) == told
    assert ("WRONG FUSE" in text) == told


@pytest.mark.parametrize(
    "said", ["F9: 10A", "CB1: 10A", "HEAT: 10A", "F4: big", "F4: mini", "F4: 10A mini maxi", "F4: 0A"]
)
def test_what_makes_no_sense_is_refused_with_its_place(said: str) -> None:
    [problem] = job(LOOK, f"at: 09:10, in-slot: {{{said}}}").problems
    assert problem.code == "card-value" and problem.span.text in said


def test_it_is_typed_as_one_line() -> None:
    entry = entry_of(BUS, "in-slot F4 10A mini; F4=8.6mV")
    assert dict(entry.fields)["in-slot"] == (("F4", "10A mini"),)
    assert "in the slot of F4: 10A mini" in entry_words(job("at: 09:10, in-slot: {F4: 10A mini}").card.entries[-1])
