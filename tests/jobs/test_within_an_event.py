"""What is taken out while a draw that comes and goes is up: whether it went with that, or had ended by itself, is a matter
of minutes. Source: of what is up for a known time, and was seen up at a known minute, each minute up to its latest end is
as likely to be the last (uniform, common practice, no source)."""

from collections.abc import Sequence

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.within_an_event import LEAST_ENDED, ended_by
from circuitmap.flows.job import job_from
from circuitmap.jobs.job import Job
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.standing_text import standing_text
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from

COOLED = """\
platform "Rowan Finch 22 cool van" supply 12V return body sleep 10min..20min limit 40mA
battery BAT 100Ah
box CAB "cab panel" at "behind the flap" reach 2min
fuse CAB.F1 20A mini, CAB.F2 10A mini, CAB.F3 10A mini
bar CAB.B1 feeds CAB.F1..F3
relay CAB.K1 "cooler relay" make running 150mA
module KEYC "key controller" supply 1 ground 2 asleep 2mA awake 150mA reach 12min
output KEYC.16 grounds "cooler relay: its own timer, also when asleep"
module DISP "display" supply 1 ground 2 asleep 2mA awake 150mA
motor M1 "cooler" running 4.5A
ground G1
sheet "1"
BAT.+ -> CAB.B1
CAB.F1 -> CAB.K1.30, CAB.K1.86
CAB.F2 -> KEYC.1
CAB.F3 -> DISP.1
CAB.K1.87 -> M1 -> G1
CAB.K1.85 -> KEYC.16 in BN
KEYC.2, DISP.2 -> G1
BAT.- -> G1
"""
LOCKED = 'at: "2026-03-01 18:00", state: locked, meter: clamp, resolution: 10mA, zeroed: yes'
LOG = 'at: "2026-03-02 07:00", log: {floor: 0.01A, peak: 4.66A, mean: 1.56A, for: 12h, every: 60min}'
DOWN = 'at: "2026-03-02 07:30", total: 0.01A, during: floor'
UP = 'at: "2026-03-02 07:42", total: 4.66A, read: {F1: 4.65A, F2: 0A, F3: 0A}, during: event'
STILL = 'at: "2026-03-02 07:46", total: 4.66A, relays: {K1: held}'
OUT = 'at: "2026-03-02 07:47", out: [KEYC]'
GONE = 'at: "2026-03-02 07:48", total: 0.01A, steady: yes'
BACK = 'at: "2026-03-02 07:50", back: [KEYC]'
AGAIN = 'at: "2026-03-02 08:42", total: 4.66A, during: event'
TRY = (LOCKED, LOG, DOWN, UP, STILL, OUT, GONE)


@pytest.fixture(scope="module")
def van() -> Circuit:
    return circuit_from(COOLED)


def job(van: Circuit, entries: Sequence[str]) -> Job:
    text = "job: 1\nplatform: x\nentries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    found = job_from(van.platform, text, "job.yaml")
    assert not found.problems, found.problems
    return found


def answered(van: Circuit, *entries: str) -> tuple[Job, Diagnosis]:
    its = job(van, entries)
    return its, diagnose(van, its.evidence)


def share_of(found: Diagnosis, part: str) -> float:
    return next((its.probability for its in found.parts if its.part == part), 0.0)


@pytest.mark.parametrize(
    ("gone", "earliest", "latest", "chance"),
    [(5.0, 0.0, 20.0, 0.25), (5.0, 0.0, 10.0, 0.5), (4.0, 5.0, 20.0, LEAST_ENDED), (25.0, 0.0, 20.0, 1.0)],
)
def test_each_minute_is_as_likely(gone: float, earliest: float, latest: float, chance: float) -> None:
    assert ended_by(gone, earliest, latest) == pytest.approx(chance)


def test_gone_within_it_is_a_sighting(van: Circuit) -> None:
    """Down at 07:30 and up for 20 min: not over before 07:50. So it hardly ended by itself at 07:48."""
    its, found = answered(van, *TRY)
    (one,) = its.evidence.tries
    assert one.ended == LEAST_ENDED
    (tried,) = found.tried
    assert (tried.why_not, tried.outcome, tried.ended) == ("", "normal", LEAST_ENDED)
    (verdict,) = its.standing.tries
    assert verdict.verdict == "involved"
    assert found.tests.waits == ()


def test_it_weighs_by_how_likely_it_had_ended(van: Circuit) -> None:
    """Without the look at 07:30 it may have been up since 07:26: of 16 minutes left two went by, one in eight."""
    _, without = answered(van, *TRY[:5])
    its, found = answered(van, *(entry for entry in TRY if entry != DOWN))
    assert its.evidence.tries[0].ended == pytest.approx(2 / 16, abs=0.01)
    _, sure = answered(van, *TRY)
    assert share_of(without, "KEYC") < share_of(found, "KEYC") < share_of(sure, "KEYC")


@pytest.mark.parametrize(
    ("remark", "chance"),
    [
        ("still up", 0.125),
        ("its lamp still on", 0.125),
        ("click", 6 / 20),
        ("still up there, still off here", 6 / 20),  # says neither
    ],
)
def test_it_may_be_said_in_words_that_it_is_up(van: Circuit, remark: str, chance: float) -> None:
    said = f'at: "2026-03-02 07:46", volts: {{KEYC.16: 0.1V}}, remark: "{remark}"'
    its, _ = answered(van, LOCKED, LOG, UP, said, OUT, GONE)
    assert its.evidence.tries[0].ended == pytest.approx(chance, abs=0.01)


def test_long_after_it_was_seen_it_waits_as_before(van: Circuit) -> None:
    late = (GONE.replace("07:48", "08:00"),)
    its, found = answered(van, *TRY[:6], *late)
    assert its.evidence.tries[0].ended is not None and its.evidence.tries[0].ended > 0.5
    assert (its.standing.tries[0].verdict, found.tried[0].why_not) == ("too-early", "too early")
    assert found.tests.waits == ("KEYC",)


def test_taken_out_while_it_is_down_it_waits_three_times(van: Circuit) -> None:
    down = (
        LOCKED,
        LOG.replace("for: 12h", "for: 3h"),
        UP,
        'at: "2026-03-02 08:20", total: 0.01A, during: floor',
        OUT.replace("07:47", "08:22"),
    )
    its, _ = answered(van, *down, GONE.replace("07:48", "08:45"))
    (one,) = its.standing.tries
    assert (one.verdict, one.reason, one.wait) == ("too-early", "period", pytest.approx(180 - 23))
    later, _ = answered(van, *down, GONE.replace("07:48", "11:30"))
    assert later.standing.tries[0].verdict == "involved" and later.standing.tries[0].ended == 0.0


def test_the_chance_is_told(van: Circuit) -> None:
    without = [entry for entry in TRY if entry != DOWN]
    its, found = answered(van, *without, BACK, AGAIN)
    text = " ".join(" ".join(standing_text(van.platform, its.standing, Clock())).split())
    assert "Take KEYC out once more while it is up, and read at once: the draw must go again." in text
    assert "4.66 A with it, 0.01 A without, 4.66 A with it again (that it ended by itself just then: 1 in 10)" in text
    assert "with KEYC out: back to normal (by itself: 1 in 10)" in " ".join(suspects_text(van.platform, found).split())


def test_put_back_too_early_it_is_done_once_more_while_it_is_up(van: Circuit) -> None:
    its, _ = answered(van, *TRY[:6], GONE.replace("07:48", "08:00"), BACK.replace("07:50", "08:01"), AGAIN)
    text = " ".join(" ".join(standing_text(van.platform, its.standing, Clock())).split())
    assert "Take it out once more while it is up, and read at once." in text and "Wait until" not in text


def test_by_chance_each_time_is_less_and_less(van: Circuit) -> None:
    """Twice 4 in 10 is 0.16, which proves nothing yet; a third time does."""
    its: list[str] = [entry for entry in TRY[:4] if entry != DOWN]
    wanted = []
    for hour in ("07", "08", "09"):
        up, out, gone, back = f"{hour}:42", f"{hour}:43", f"{hour}:50", f"{hour}:52"
        if hour != "07":
            its.append(f'at: "2026-03-02 {up}", total: 4.66A, during: event')
        its += [
            f'at: "2026-03-02 {out}", out: [KEYC]', f'at: "2026-03-02 {gone}", total: 0.01A, steady: yes',
            f'at: "2026-03-02 {back}", back: [KEYC]',
        ]  # fmt: skip
        (one,) = job(van, its).standing.tries
        assert one.ended == pytest.approx(0.4 ** (int(hour) - 6), abs=0.01)
        wanted.append("out-again" in one.needs)
    assert wanted == [True, True, False]
