"""Tries of a draw that comes and goes over a sound floor. Worked out by hand: between two events all takes what a sound
vehicle takes, whatever is out, so no look made then clears or accuses anybody; an event that began with something out
came without it."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.jobs.job import Job
from circuitmap.jobs.trying import TryVerdict
from circuitmap.reports.job.claims import claims_on
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.job_json import job_json
from circuitmap.reports.job.standing_text import standing_text
from circuitmap.wiring.platform import Platform
from tests.diagnosis.test_answers import circuit_from
from tests.jobs.test_out_over_a_use import job

REEFER = """\
platform "Hallin 5 cold box van" supply 12V return body sleep 4min..6min limit 50mA
battery BAT 80Ah
box BX
fuse BX.F1 15A mini "body control", BX.F2 15A mini "locks", BX.F3 15A mini "cooling", BX.F4 15A mini "towing"
bar BX.B1 feeds BX.F1..F4
switch HANDLE "touch handle" positions released, touched closes 1 to 2 in touched
module BODYC "body control" supply 1 ground 2 asleep 4mA awake 300mA
module LOCKS "lock control" supply 1 ground 2 wake 6 by ground asleep 4mA awake 150mA
module COOLC "cooling control" supply 1 ground 2 asleep 3mA awake 630mA
module TOWC "towing control" supply 1 ground 2 asleep 3mA awake 120mA
network NET can members BODYC (7, 8), LOCKS (7, 8), COOLC (7, 8), TOWC (7, 8)
ground G1
BAT.- -> G1
BAT.+ -> BX.B1
BX.F1 -> BODYC.1
BX.F2 -> LOCKS.1
BX.F3 -> COOLC.1
BX.F4 -> TOWC.1
LOCKS.6 -> HANDLE.1
HANDLE.2, BODYC.2, LOCKS.2, COOLC.2, TOWC.2 -> G1
"""
CAME = (
    'at: "2026-02-01 18:00", state: locked, meter: low current clamp, resolution: 1mA, zeroed: yes',
    'at: "2026-02-01 18:10", claim: "the towing control wakes by itself", remark: "another workshop"',
    'at: "2026-02-02 07:00", log: {floor: 0.015A, mean: 0.54A, peak: 1.20A, period: 9min, for: 11h}',
    'at: "07:20", total: 1.203A, during: event, network: {NET: awake}', 'at: "07:26", total: 0.014A, during: floor',
)  # fmt: skip
EVENT, FLOOR = "total: 1.085A, during: event", "total: 0.012A, during: floor"


def out(part: str, *looks: str, back: str = "") -> tuple[str, ...]:
    """Taken out at 7:30, and looked at every five minutes from 7:40 on."""
    seen = tuple(f'at: "07:{40 + 5 * n}", {look}' for n, look in enumerate(looks))
    again = (f'at: "08:00", back: [{part}]', f'at: "08:15", {back}') if back else ()
    return f'at: "07:30", out: [{part}]', *seen, *again


@pytest.fixture(scope="module")
def reefer() -> Platform:
    return circuit_from(REEFER).platform


def tried(found: Job, part: str) -> TryVerdict:
    return next(one for one in found.standing.tries if one.out == (part,))


def odds(platform: Platform, found: Job, *parts: str) -> float:
    return sum(one.probability for one in diagnose(circuit_of(platform), found.evidence).parts if one.part in parts)


OR_ITS_WIRE = {"HANDLE": ("HANDLE", "wire HANDLE.1 to LOCKS.6", "LOCKS")}
"""Once a switch was out it is told apart from its wire, and from the module that misreads it."""


@pytest.mark.parametrize("part", ["BODYC", "LOCKS", "COOLC", "TOWC", "HANDLE", "BX.F1", "BX.F2"])
@pytest.mark.parametrize("looks", [(FLOOR,), (FLOOR, FLOOR)])
@pytest.mark.parametrize("back", ["", "total: 0.014A, during: floor", "total: 1.203A, during: event"])
def test_no_look_between_two_events_clears_or_accuses_anybody(
    reefer: Platform, part: str, looks: tuple[str, ...], back: str
) -> None:
    found = job(reefer, *CAME, *out(part, *looks, back=back))
    one = tried(found, part)
    assert (one.verdict, one.reason) == ("cannot-tell", "between")
    parts = OR_ITS_WIRE.get(part, (part,))
    assert odds(reefer, found, *parts) == pytest.approx(odds(reefer, job(reefer, *CAME), *parts), abs=0.01)
    assert "CLEARED" not in str(claims_on(found))


@pytest.mark.parametrize("looks", [(EVENT,), (EVENT, FLOOR), (FLOOR, EVENT), (FLOOR, EVENT, FLOOR)])
@pytest.mark.parametrize("back", ["", "total: 1.203A, during: event"])
def test_an_event_that_began_with_it_out_clears_it_whatever_is_read_between(
    reefer: Platform, looks: tuple[str, ...], back: str
) -> None:
    found = job(reefer, *CAME, *out("TOWC", *looks, back=back))
    one = tried(found, "TOWC")
    assert (one.verdict, one.reason) == ("cleared", "came") and one.figures[:2] == (1.203, 1.085)
    assert odds(reefer, found, "TOWC") < 0.02
    said = " ".join(" ".join(standing_text(reefer, found.standing, Clock())).split())
    assert "An event came without it; 0.12 A less is no more than it takes itself" in said
    told = next(its for its in job_json(found)["tries"] if its["out"] == ["TOWC"])
    assert (told["verdict"], told["reason"], told["after"]["amps"]) == ("cleared", "came", 1.085)


def test_what_is_low_later_is_not_held_against_an_event_that_came_without_it(reefer: Platform) -> None:
    one = tried(job(reefer, *CAME, *out("TOWC", EVENT, "total: 0.012A")), "TOWC")
    assert (one.verdict, one.reason) == ("cleared", "came")


def test_an_event_that_may_have_begun_with_it_in_says_nothing_of_that_yet(reefer: Platform) -> None:
    up = 'at: "07:38", total: 1.203A, during: event'
    found = job(reefer, *CAME, up, 'at: "07:39", out: [TOWC]', 'at: "07:40", total: 1.085A, during: event')
    assert tried(found, "TOWC").reason != "came"


def test_what_went_with_it_for_three_periods_is_involved(reefer: Platform) -> None:
    low = ('at: "07:30", out: [HANDLE]', 'at: "08:20", total: 0.015A, steady: yes', 'at: "08:22", back: [HANDLE]')
    found = job(reefer, *CAME, *low, 'at: "08:41", total: 1.203A, during: event')
    one = tried(found, "HANDLE")
    assert one.verdict == "involved" and one.figures == (1.203, 0.015, 1.203)
    then = job(reefer, *CAME, *low[:2], 'at: "08:21", total: 0.014A, during: floor', *low[2:])
    assert tried(then, "HANDLE").verdict == "involved"  # a look between two events takes nothing of it


@pytest.mark.parametrize(("amps", "tells"), [("0.01A", True), ("0.40A", False)])
def test_of_a_floor_that_is_too_much_something_may_go(reefer: Platform, amps: str, tells: bool) -> None:
    log = 'at: "2026-02-02 07:00", log: {floor: 0.40A, mean: 0.45A, peak: 1.20A, period: 9min, for: 11h}'
    found = job(reefer, CAME[0], log, *out("TOWC", f"total: {amps}, during: floor"))
    assert (tried(found, "TOWC").reason != "between") == tells
    assert tried(found, "TOWC").verdict != "cleared"
