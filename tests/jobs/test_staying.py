"""What was added and is to stay is accounted for once something was mended; a share that went, came and is gone proves
what was mended, whatever else draws. Common practice, no source."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.flows.job import job_from
from circuitmap.flows.questions import platform_from
from circuitmap.jobs.job import Job
from circuitmap.jobs.mended_way import places_passed
from circuitmap.reports.job.job_json import job_json
from circuitmap.reports.job.mended_text import mended_well_sentences
from circuitmap.reports.job.standing_text import headline, left_sentence
from circuitmap.reports.pages.report import report_of
from circuitmap.reports.words.limit_words import ampere_words
from circuitmap.source import SourceFile
from circuitmap.wiring.platform import Platform

SCOW = """\
platform "Scow" supply 12V sleep 5min..10min limit 20mA
battery BAT 90Ah
fuse MAIN 80A mega "all"
fuse F1 10A mini "lamp", F2 10A mini "locks", F3 10A mini "heater"
module LOCK "locks" supply 1 ground 2 asleep 2mA
module HEAT "heater" supply 1 ground 2 asleep 1mA
module BILGE "bilge" supply 1 ground 2 asleep 1mA
ground G
BAT.+ -> MAIN -> F1 -> BILGE.1
MAIN -> F2 -> LOCK.1
MAIN -> F3 -> HEAT.1
LOCK.2, HEAT.2, BILGE.2, BAT.- -> G
"""
READ = (
    'at: "14:00", state: locked, meter: low current clamp, resolution: 1mA, zeroed: yes',
    'at: "14:20", total: 90mA, read: {MAIN: 32mA, F1: 8mA, F2: 12mA, F3: 12mA}, steady: yes',
)
ADDED = ('at: "14:25", added: {remote: F1, receiver: F2, cool box: F3}', 'at: "14:26", added: {charger: BAT}')
TRIED = (
    'at: "14:30", out: [charger]', 'at: "14:42", total: 32mA, steady: yes',
    'at: "14:43", back: [charger]', 'at: "14:55", total: 90mA, steady: yes',
)  # fmt: skip
MENDED = (
    'at: "15:00", cause: "charger, left on without mains", mended: "charger taken off"',
    'at: "15:01", state: locked',
)
SINCE = 'at: "15:20", total: 32mA, steady: yes'


@pytest.fixture(scope="module")
def scow() -> Platform:
    return platform_from((SourceFile("scow.circuit", SCOW),))


def job(platform: Platform, *entries: str) -> Job:
    its = job_from(platform, "job: 1\nbattery: 90Ah\nentries:\n" + "".join(f"  - {{{e}}}\n" for e in entries), "j.yaml")
    assert not its.problems, its.problems
    return its


def test_what_was_read_where_it_hangs_is_accounted_for(scow: Platform) -> None:
    """By hand: 8 - 1, 12 - 2 and 12 - 1 mA are what the three take, 28 mA; with 4 mA by the sheets 32 mA. The charger is
    gone, and counts for nothing."""
    its = job(scow, *READ, *ADDED, *TRIED, *MENDED, SINCE)
    known = its.standing.limits.known_at("BAT")
    assert known is not None and known.by_added == pytest.approx(0.028, abs=0.002)
    assert known.added == ("cool box", "receiver", "remote")
    assert its.standing.stage == "mended" and its.standing.found is not None and its.standing.found.grade == "proven"
    said = headline(scow, its.standing)
    assert "over the limit, but no more than is known with what was added" in said
    assert "0.028 A what was added (cool box, receiver and remote)" in said
    fields = job_json(its)["limit"]["known"]
    assert fields == [
        {"battery": "BAT", "amps": pytest.approx(0.032, abs=0.002), "by_added": pytest.approx(0.028, abs=0.002),
         "added": ["cool box", "receiver", "remote"]}
    ]  # fmt: skip


@pytest.mark.parametrize(
    "entries",
    [
        (*READ, *TRIED, *MENDED, SINCE),  # nobody said that something was added
        (*READ, *ADDED, *TRIED, *MENDED, SINCE.replace("32mA", "60mA")),  # more than they take
        (READ[0], READ[1].replace("12mA, F3: 12mA", "3mA, F3: 2mA"), *ADDED, *TRIED, *MENDED, SINCE),  # they took less
        (READ[0], 'at: "14:20", total: 90mA, steady: yes', *ADDED, *TRIED, *MENDED, SINCE),  # nobody read them
    ],
)
def test_what_is_not_accounted_for_is_hunted(scow: Platform, entries: tuple[str, ...]) -> None:
    entries = entries if "added" in str(entries) else tuple(e.replace("[charger]", "[BILGE]") for e in entries)
    assert job(scow, *entries).standing.stage == "not-repaired"


def test_what_was_read_with_the_mended_part_in_says_nothing_of_the_rest(scow: Platform) -> None:
    """What was read at F3 was the cool box and the heater, that was mended since, together."""
    tried = (e.replace("charger", "HEAT") for e in TRIED)
    entries = (*READ, ADDED[0], *tried, 'at: "15:00", cause: "HEAT leaks", mended: "new HEAT"', MENDED[1], SINCE)
    known = job(scow, *entries).standing.limits.known_at("BAT")
    assert known is None or "cool box" not in known.added
    again = job(scow, *entries, 'at: "15:25", total: 32mA, read: {F3: 12mA}, steady: yes')
    known = again.standing.limits.known_at("BAT")
    assert known is not None and "cool box" in known.added


def test_its_share_gone_for_good_is_proof_above_the_limit_too(scow: Platform) -> None:
    """By hand: 90 mA, 32 without, 90 again, and 32 since; of the rest nobody knows what takes it."""
    entries = [e.replace("charger", "BILGE") for e in (*READ, *TRIED, *MENDED, SINCE)]
    its = job(scow, *entries)
    assert its.standing.stage == "not-repaired"
    assert its.standing.found is not None and its.standing.found.grade == "proven"
    assert "NOT REPAIRED" in headline(scow, its.standing)
    assert "its share is gone, which proves it" in " ".join(mended_well_sentences(scow, its.standing))
    page = report_of(its)
    assert "not proven yet" not in str(page.customer) and "not yet proof" not in str(page.customer)
    unsteady = [e.replace(", steady: yes", "") if e.startswith('at: "15:') else e for e in entries]
    unsteady[-1] = unsteady[-1].replace("15:20", "15:08")
    found = job(scow, *unsteady).standing.found
    assert found is not None and found.grade != "proven"


def test_where_a_current_flowed(scow: Platform) -> None:
    evidence = job(scow, *READ, *ADDED).evidence
    circuit = circuit_of(scow)
    assert places_passed(circuit, evidence, ["charger"]) == {"charger", "BAT"}
    assert places_passed(circuit, evidence, ["HEAT"]) == {"F3", "MAIN", "BAT"}
    assert places_passed(circuit, evidence, ["HEAT", "no such thing"]) is None
    assert places_passed(circuit, evidence, ["BAT"]) is None


def test_before_it_is_mended_what_is_left_is_held_to_it_too(scow: Platform) -> None:
    """32 mA are left without the charger, 12 more than the limit, and no more than is known: nothing else is hunted."""
    its = job(scow, *READ, *ADDED, *TRIED)
    leading = its.standing.leading
    assert leading is not None and leading.out == ("charger",)
    left = left_sentence(leading, its.standing)
    assert "no more than is known to flow there" in left and "something else" not in left
    assert "0.028 A what was added (cool box, receiver and remote)" in left
    assert its.standing.stage == "proven"
    unknown = job(scow, *READ, ADDED[1], *TRIED)  # of the others nobody said that they were added
    leading = unknown.standing.leading
    assert leading is not None and "something else draws too" in left_sentence(leading, unknown.standing)
    assert unknown.standing.stage == "involved"
    more = job(scow, *READ, *ADDED, *(entry.replace("32mA", "60mA") for entry in TRIED))  # more than they take
    leading = more.standing.leading
    assert leading is not None and "something else draws too" in left_sentence(leading, more.standing)


def test_what_a_log_has_to_stay_within_is_what_is_known(scow: Platform) -> None:
    its = job(scow, *READ, *ADDED, *TRIED, *MENDED, SINCE)
    known = its.standing.limits.known_at("BAT")
    assert known is not None and 0.032 <= known.at_most < 0.045  # and what may be off
    most = ampere_words(known.at_most, True)
    said = headline(scow, its.standing)
    assert (
        f"stays within {most}, all that is known at the most: the limit is 0.02 A (this platform's), but 0.032 A is known"
        in said
    )
