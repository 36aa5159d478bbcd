"""What comes and goes, measured while it is down: volts of a relay that is open then neither clear nor accuse what drives
it later. Source: by hand. At the floor the coil's end that a timer pulls to ground shows plus through the coil, and the
contact nothing, whether the wire rubs, the timer hangs or nothing is wrong at all."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.while_it_drew import while_it_drew
from circuitmap.flows.job import job_from
from tests.diagnosis.test_answers import circuit_from

COOLER = """\
platform "Rowan Finch 61 cool box van" supply 12V return body sleep 5min..8min limit 50mA
battery BAT 100Ah
box CAB "cab panel" at "behind the seat" reach 2min
fuse CAB.F1 5A mini, CAB.F2 20A mini, CAB.F3 10A mini
bar CAB.B1 feeds CAB.F1..F3
relay CAB.K1 "cooler" make
module TIMER "cooler timer" supply 1 ground 2 asleep 2mA awake 20mA
output TIMER.3 grounds "cooler relay K1"
motor FAN "cooler compressor" running 4.5A
heater PAN "drip pan heater" running 4.5A
switch PANSW "drip pan switch" positions off, on closes 1 to 2 in on
module DASH "display" supply 1 ground 2 asleep 5mA awake 200mA
ground G1
sheet "1"
BAT.+ -> CAB.B1
CAB.F1 -> TIMER.1
CAB.F2 -> CAB.K1.30
CAB.F2 -> CAB.K1.86
CAB.K1.85 -> TIMER.3
CAB.K1.87 -> FAN -> G1
CAB.F2 -> PANSW.1
PANSW.2 -> PAN -> G1
CAB.F3 -> DASH.1
TIMER.2, DASH.2 -> G1
BAT.- -> G1
"""
LOCKED = "at: '2026-04-13 18:00', state: locked, meter: clamp, resolution: 10mA, zeroed: yes"
LOG = "at: '2026-04-14 07:00', log: {floor: 0.01A, peak: 4.66A, mean: 1.56A, for: 12h, period: 60min}"
FLOOR = "at: '2026-04-14 07:10', total: 0.01A, read: {F2: 0.0mV}, during: floor"
LOW = "at: '2026-04-14 07:10', total: 0.01A"
UP = "at: '2026-04-14 07:42', total: 4.66A, read: {F2: 4.66A}, during: event"
VOLTS = "at: '2026-04-14 07:14', volts: {K1.87: 0.0V, K1.85: 12.4V}"
OPEN = "at: '2026-04-14 07:14', relays: {K1: open}"


@pytest.fixture(scope="module")
def cooler() -> Circuit:
    return circuit_from(COOLER)


def evidence(cooler: Circuit, *entries: str) -> Evidence:
    text = "job: 1\nplatform: cooler\nentries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    found = job_from(cooler.platform, text, "job.yaml")
    assert not found.problems, found.problems
    return found.evidence


def shares(found: Diagnosis) -> dict[str, float]:
    return {one.part: round(one.probability, 6) for one in found.parts}


@pytest.mark.parametrize(
    ("before", "check"),
    [
        pytest.param(FLOOR, VOLTS, id="pins, by the look before"),
        pytest.param(LOW, VOLTS, id="pins, by its height alone"),
        pytest.param(FLOOR, OPEN, id="relay, by the look before"),
        pytest.param(LOW, VOLTS.replace("07:14", "11:14") + ", during: floor", id="pins, said"),
        pytest.param(LOW, OPEN.replace("07:14", "11:14") + ", during: floor", id="relay, said"),
    ],
)
def test_at_the_floor_it_tells_nothing_of_what_draws_in_the_event(cooler: Circuit, before: str, check: str) -> None:
    later = UP.replace("07:42", "11:42")
    its = evidence(cooler, LOCKED, LOG, before, check, later)
    assert [one.during for one in (*its.volts, *its.relays)] == ["floor"] * len((*its.volts, *its.relays))
    without = evidence(cooler, LOCKED, LOG, before, later)
    found = diagnose(cooler, its)
    assert shares(found) == shares(diagnose(cooler, without))
    left = [(its.name, its.detail) for its in found.incomplete if its.kind == "set aside"]
    names = ["CAB.K1.87", "CAB.K1.85"] if "volts" in check else ["CAB.K1"]
    assert set(left) >= {(name, "quiet-phase") for name in names}


def test_in_the_event_it_counts(cooler: Circuit) -> None:
    check = "at: '2026-04-14 07:44', volts: {K1.87: 0.0V, K1.85: 12.4V}"
    its = evidence(cooler, LOCKED, LOG, FLOOR, UP, check)
    assert [one.during for one in its.volts] == ["event", "event"]
    before = shares(diagnose(cooler, evidence(cooler, LOCKED, LOG, FLOOR, UP)))
    now = shares(diagnose(cooler, its))
    assert before["TIMER"] > 5 * now.get("TIMER", 0.0), "its output does not pull down, and it draws"


@pytest.mark.parametrize(
    ("entries", "why"),
    [
        ((LOCKED, LOG, FLOOR, VOLTS.replace("07:14", "07:24")), "too long after the look"),
        ((LOCKED, LOG, FLOOR, "at: '07:12', out: [DASH]", VOLTS), "something was taken out since"),
        ((LOCKED, FLOOR.replace("2026-04-14 07:10", "18:40"), LOG, VOLTS), "a log was read since"),
        ((LOCKED, LOG, VOLTS), "nobody looked"),
        ((LOCKED, LOG, LOW.replace("0.01A", "2.00A"), VOLTS), "neither of the two"),
    ],
)
def test_the_state_of_a_check_is_not_guessed(cooler: Circuit, entries: tuple[str, ...], why: str) -> None:
    assert [one.during for one in evidence(cooler, *entries).volts] == ["", ""], why


def test_a_contact_that_is_closed_without_its_coil_is_so_at_the_floor_too(cooler: Circuit) -> None:
    its = evidence(cooler, LOCKED, LOG, FLOOR, OPEN.replace("open", "stuck"))
    assert [(one.state, one.during) for one in while_it_drew(its).relays] == [("stuck", "floor")]


def test_with_no_log_a_floor_takes_nothing_away(cooler: Circuit) -> None:
    its = evidence(cooler, LOCKED, FLOOR, VOLTS + ", during: floor")
    assert while_it_drew(its).volts == its.volts
