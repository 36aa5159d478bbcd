"""Fuses of different ratings that all show the same few millivolts show the zero of the leads. Worked out by hand from the
cold resistances in `evidence/fuse_drop.py`: 0.6 mV are 34 mA in a 5 A fuse and 0.25 A in a 25 A one, which nothing makes
alike; held together, the leads show the same. What flows is at F6: 6.0 mV less 0.6 mV in 7.42 mohm are 0.73 A."""

import pytest

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.seen.shared_zero import shared_zero
from circuitmap.reports.bay.steps import tap_of
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told

RATINGS = {"F1": 5, "F2": 10, "F3": 15, "F4": 25, "F5": 5, "F6": 10}
COACH = """\
platform "Vennick coach" supply 12V return body sleep 5min..10min limit 40mA
battery BAT 110Ah
box BX
bar BX.B1 feeds BX.F1..F6
ground G1
""" + "fuse " + ", ".join(f"BX.{name} {rating}A mini" for name, rating in RATINGS.items()) + "\n"  # fmt: skip
for name in RATINGS:
    COACH += f'heater H{name} "heater {name}" supply 1 ground 2 running 700mA..760mA\n'
    COACH += f"switch S{name} positions off, on closes 1 to 2 in on\n"
    COACH += f"BX.{name} -> S{name}.1\nS{name}.2 -> H{name}.1\nH{name}.2 -> G1\n"
COACH += "BAT.+ -> BX.B1\nBAT.- -> G1\n"
LOCKED = "at: 09:00, state: locked"
ALIKE = ("BX.F1", "BX.F2", "BX.F3", "BX.F4", "BX.F5")


def read(at: str, shown: dict[str, float], total: str = "0.74A") -> str:
    its = ", ".join(f"{name}: {millivolts:.1f}mV" for name, millivolts in shown.items())
    return f"at: {at}, total: {total}, read: {{{its}}}"


def answer(*entries: str) -> tuple[Diagnosis, str]:
    its = circuit_from(COACH)
    found = told(its, LOCKED, *entries)[0]
    return found, " ".join(suspects_text(its.platform, found).split())


SLIPPED = {**dict.fromkeys(ALIKE, 0.6), "BX.F6": 6.0}


def test_the_same_millivolts_everywhere_are_read_again_first_and_draw_nothing() -> None:
    found, text = answer(read("09:40", SLIPPED))
    first = found.tests.choices[0]
    assert (first.action.doing, first.action.parts) == ("leads-again", tuple(sorted(SLIPPED)))
    assert not tap_of(first, "").lines
    assert "1 Hold the leads together: what shows is their zero." in text
    assert "all show about 0.6 mV, whatever their rating" in text
    assert found.netted.contradictions == ()
    zero = shared_zero(found.netted)
    assert zero is not None and zero.places == ALIKE and zero.drop == pytest.approx(0.0006)
    assert found.parts[0].part == "SF6"
    assert not any(found.netted.readings[name].shows_current for name in ALIKE)


def test_once_the_leads_were_zeroed_what_they_show_counts() -> None:
    again = read("09:50", {**dict.fromkeys(ALIKE, 0.0), "BX.F6": 5.4})
    found, _ = answer(read("09:40", SLIPPED), again)
    assert shared_zero(found.netted) is None
    assert all(test.action.doing != "leads-again" for test in found.tests.choices)
    assert found.parts[0].part == "SF6"


def test_what_shows_the_same_once_more_is_believed() -> None:
    found, _ = answer(read("09:40", SLIPPED), read("09:50", SLIPPED))
    assert all(test.action.doing != "leads-again" for test in found.tests.choices)
    assert all(found.netted.readings[name].shows_current for name in ALIKE)


@pytest.mark.parametrize(
    "shown",
    [
        {**SLIPPED, "BX.F2": 0.0},  # one shows less
        {"BX.F1": 0.6, "BX.F5": 0.6, "BX.F6": 6.0},  # two are chance
        {
            "BX.F1": 0.2,
            "BX.F2": 0.2,
            "BX.F3": 0.2,
            "BX.F4": 0.2,
            "BX.F6": 6.0,
        },  # the last digit alone may be off so far
        {"BX.F1": 2.4, "BX.F2": 2.4, "BX.F3": 2.4, "BX.F4": 2.4, "BX.F6": 6.0},  # more than leads give
    ],
)
def test_what_may_as_well_be_currents_is_left_as_it_was_read(shown: dict[str, float]) -> None:
    found, _ = answer(read("09:40", shown))
    assert shared_zero(found.netted) is None
    assert all(test.action.doing != "leads-again" for test in found.tests.choices)


def test_fuses_of_one_rating_may_feed_as_many_of_a_kind() -> None:
    """Three lamps of one kind behind three fuses of one rating show the same, and it is their current."""
    one = COACH
    for name, rating in RATINGS.items():
        one = one.replace(f"BX.{name} {rating}A mini", f"BX.{name} 10A mini")
    found = told(circuit_from(one), LOCKED, read("09:40", SLIPPED, "1.21A"))[0]
    assert shared_zero(found.netted) is None


def test_while_readings_do_not_go_together_nothing_is_told_as_settled() -> None:
    """More behind a fuse than comes to it: whatever leads, one of the readings is read again before it is proven."""
    two = COACH.replace("bar BX.B1 feeds BX.F1..F6", "fuse M1 60A bolted\nbar BX.B1 feeds BX.F1..F6").replace(
        "BAT.+ -> BX.B1", "BAT.+ -> M1 -> BX.B1"
    )
    its = "at: 09:40, total: 0.74A, read: {M1: 0.74A, BX.F6: 5.4mV, BX.F1: 0.0mV, BX.F2: 0.0mV, BX.F3: 0.0mV}"
    its, tested = its.replace("BX.F3: 0.0mV", "BX.F3: 0.0mV, BX.F5: 0.0mV"), "at: 09:45, tested: {SF6: bad}"
    odd = its.replace("BX.F5: 0.0mV", "BX.F5: 0.0mV, BX.F4: 3.5mV")
    settled, odd_one = (told(circuit_from(two), LOCKED, entry, tested)[0] for entry in (its, odd))
    assert settled.tests.mend == "SF6" and settled.parts[0].probability > 0.95
    assert odd_one.netted.contradictions and odd_one.tests.mend == "" and odd_one.parts[0].probability < 0.95
    assert odd_one.tests.choices[0].action.doing == "read-again"
