"""What was turned, or taken out, and left so while somebody reads on: the vehicle as it stands now is what is hunted on."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.jobs.since_mending import as_it_is_now
from circuitmap.jobs.standing import standing_of
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.mended_text import mended_headline
from circuitmap.reports.job.standing_text import headline
from circuitmap.reports.suspects.suspects_json import suspects_json
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.diagnosis.test_two_batteries_joined import SKIFF
from tests.jobs.test_standing import standing

ON = 'at: "14:00", stands: {ICE: "on"}'
LOCKED = 'at: "14:01", state: locked, meter: clamp, resolution: 10mA, zeroed: yes'
READ = 'at: "15:10", read: {SB: 0.01A, HB: 5.25A}, steady: yes'
OFF = 'at: "15:15", turned: {ICE: "off"}'
NOW = 'at: "15:25", read: {HB: 1.20A, FH: 0.00A}, steady: yes'
FUSES = 'at: "15:28", read: {HB: 1.20A, FL: 1.20A, FW: 0.00A}'
"""The cold box takes 4.05 A, and is meant to; the lamp, whose switch does not open, 1.2 A."""


@pytest.fixture(scope="module")
def skiff() -> Platform:
    return platform_of([read_text(SourceFile("skiff.circuit", SKIFF))[0]])


def answer(platform: Platform, *entries: str) -> Diagnosis:
    text = "job: 1\nentries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    card, problems = read_card(SourceFile("job.yaml", text))
    evidence, more = evidence_on(platform, card)
    assert not problems and not more, (problems, more)
    circuit = circuit_of(platform)
    now = as_it_is_now(platform, card, evidence, standing_of(platform, card, evidence, circuit))
    return diagnose(circuit, now, now.options)


def chances(its: Diagnosis) -> dict[str, float]:
    return {part.part: part.probability for part in its.parts}


def test_fuses_read_after_a_switch_was_turned_count(skiff: Platform) -> None:
    its = answer(skiff, ON, LOCKED, READ, OFF, NOW, FUSES)
    assert its.netted.readings["FL"].amps == pytest.approx(1.2)
    assert its.account is not None and its.account.total == pytest.approx(1.21)
    assert {part.part for part in its.parts[:3]} & {"LS", "LMP"}
    assert chances(its).get("COMP", 0.0) < 0.01
    text = suspects_text(skiff, its)
    assert "LEFT SO    ICE" in text and "4.05 A of 5.25 A went" in text and "was not read" not in text
    left = suspects_json(skiff, its, 3)["left_so"]
    assert left == {"out": [], "turned": {"ICE": "off"}, "place": "HB", "before": 5.25, "after": 1.2}


def test_the_answer_is_that_of_the_same_readings_asked_alone(skiff: Platform) -> None:
    turned = answer(skiff, ON, LOCKED, READ, OFF, NOW, FUSES)
    off = ON.replace('"on"', '"off"')
    alone = answer(skiff, off, LOCKED, 'at: "15:10", read: {SB: 0.01A}', NOW, FUSES)
    assert chances(turned) == pytest.approx(chances(alone), abs=0.02)


@pytest.mark.parametrize(
    ("entries", "turned"),
    [
        ((ON, LOCKED, READ, 'at: "15:15", stands: {ICE: "off"}', NOW, FUSES), True),
        ((ON, LOCKED, READ, OFF, NOW, 'at: "15:27", stands: {ICE: "off"}', FUSES), True),
        ((ON, LOCKED, READ, 'at: "15:15", stands: {ICE: "on"}'), False),
    ],
)
def test_how_it_stands_may_be_said_again(skiff: Platform, entries: tuple[str, ...], turned: bool) -> None:
    """Said otherwise after something was read, it was turned since; said as it stands, it stands so still."""
    its = answer(skiff, *entries)
    assert (its.left_so is not None and dict(its.left_so.turned) == {"ICE": "off"}) == turned
    if turned:
        assert chances(its) == pytest.approx(chances(answer(skiff, ON, LOCKED, READ, OFF, NOW, FUSES)), abs=1e-6)


def test_it_may_be_out_as_well_as_turned(skiff: Platform) -> None:
    its = answer(skiff, ON, LOCKED, READ, 'at: "15:15", out: [ICE]', NOW, FUSES)
    assert its.netted.readings["FL"].amps == pytest.approx(1.2)
    assert its.left_so is not None and its.left_so.out == ("ICE",) and not its.left_so.turned


def test_what_is_tried_besides_is_held_against_the_vehicle_as_it_stands(skiff: Platform) -> None:
    out = ('at: "15:30", out: [LS]', 'at: "15:40", read: {HB: 0.01A, FL: 0.00A}, steady: yes')
    its = answer(skiff, ON, LOCKED, READ, OFF, NOW, FUSES, *out)
    assert [(one.attempt.out, one.outcome) for one in its.tried] == [(("LS",), "normal")] * 2
    assert its.parts[0].part == "LS" and its.parts[0].probability > 0.95


def test_its_own_share_is_not_blamed(skiff: Platform) -> None:
    found = standing(skiff, ON, LOCKED, READ, OFF, NOW)
    assert [(one.verdict, one.out) for one in found.tries] == [("own-share", ("ICE",))]
    assert headline(skiff, found).startswith("IT DRAWS 1.20 A at HB; the limit is 0.05 A (this platform's).")


def test_more_than_it_takes_is_not_its_own_share(skiff: Platform) -> None:
    """Of 9.25 A 8.05 went: the cold box is known to take half of that."""
    found = standing(skiff, ON, LOCKED, READ.replace("5.25", "9.25"), OFF, NOW)
    assert [one.verdict for one in found.tries] == ["involved"]


def test_turned_back_it_is_as_it_was(skiff: Platform) -> None:
    mended = ('at: "16:00", mended: "new switch LS"', 'at: "16:05", turned: {ICE: "on"}')
    entries = (ON, LOCKED, READ, OFF, NOW, FUSES, 'at: "15:30", out: [LS]', 'at: "15:40", read: {HB: 0.01A}', *mended)
    found = standing(skiff, *entries, 'at: "16:40", read: {SB: 0.01A, HB: 4.05A}, steady: yes')
    said = mended_headline(skiff, found)
    assert found.stage == "mended" and "HB 4.05 A (4.05 A is known there" in said
    assert found.total is not None and found.total.amps == pytest.approx(1.2)
    failed = standing(skiff, *entries, 'at: "16:40", read: {SB: 0.01A, HB: 9.25A}, steady: yes')
    assert failed.stage == "not-repaired"


def test_turned_back_before_anything_is_mended_all_counts_as_first_read(skiff: Platform) -> None:
    back = ('at: "15:40", turned: {ICE: "on"}', 'at: "15:50", read: {HB: 5.25A, FH: 4.05A}, steady: yes')
    its = answer(skiff, ON, LOCKED, READ, OFF, NOW, *back)
    assert its.left_so is None
    assert {place: r.amps for place, r in its.netted.readings.items()} == {"SB": 0.01, "HB": 5.25, "FH": 4.05}


def test_a_fuse_that_stays_out_leaves_the_rest_to_be_found(skiff: Platform) -> None:
    """The locker heater's fuse is out for good: 2 A of it went; what is read behind the other fuses is what goes on."""
    read = ('at: "14:00", state: locked, meter: clamp, resolution: 10mA', 'at: "15:10", read: {SB: 0.01A, HB: 3.20A}')
    out = ('at: "15:15", out: [FW]', 'at: "15:40", read: {HB: 1.20A, FL: 1.20A, FH: 0.00A}, steady: yes')
    its = answer(skiff, *read, *out)
    assert its.left_so is not None and its.left_so.out == ("FW",)
    assert its.netted.readings["FL"].amps == pytest.approx(1.2)
    assert its.parts[0].part in ("LS", "LMP") and chances(its).get("WS", 0.0) < 0.01


def test_what_made_no_difference_stays_a_suspect_of_nothing_and_hides_no_reading(skiff: Platform) -> None:
    read = ('at: "14:00", state: locked, meter: clamp, resolution: 10mA', 'at: "15:10", read: {SB: 0.01A, HB: 1.20A}')
    out = ('at: "15:15", out: [FW]', 'at: "15:40", read: {HB: 1.20A, FL: 1.20A}, steady: yes')
    its = answer(skiff, *read, *out)
    assert its.left_so is None and its.netted.readings["FL"].amps == pytest.approx(1.2)
    assert [one.outcome for one in its.tried] == ["stays"]


def test_a_place_that_drew_before_is_to_be_read_again(skiff: Platform) -> None:
    first = 'at: "15:10", read: {SB: 0.01A, HB: 5.25A, FH: 4.05A, FW: 0.00A}, steady: yes'
    its = answer(skiff, ON, LOCKED, first, OFF, 'at: "15:25", read: {HB: 1.20A, FL: 1.20A}, steady: yes')
    assert "FH was read before that: read it again as it stands now." in " ".join(suspects_text(skiff, its).split())
    assert "FW" in its.netted.readings and "FH" not in its.netted.readings


def test_with_a_steady_reading_what_was_woken_sleeps_again(skiff: Platform) -> None:
    """Turning the switch may wake something. Once the total was watched and did not move, what is read next counts."""
    its = answer(skiff, ON, LOCKED, READ, OFF, NOW, 'at: "15:27", read: {FL: 1.20A}')
    assert its.netted.readings["FL"].amps == pytest.approx(1.2)
    moving = NOW.replace(", steady: yes", "").replace("15:25", "15:16")
    its = answer(skiff, ON, LOCKED, READ, OFF, moving, 'at: "15:17", read: {FL: 1.20A}')
    assert "FL" not in its.netted.readings
