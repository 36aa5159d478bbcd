"""What stands on the screen: the words for figures, and the answers that are no answer."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.written_readings import written_reading
from circuitmap.reports.suspects.next_test import test_lines as lines_of_test
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.reports.words.chance_words import chance, weight
from tests.diagnosis.cards import circuit
from tests.diagnosis.test_laws import heater_circuit


@pytest.mark.parametrize(
    ("probability", "words"),
    [
        (0.9999, "over 99 in 100"), (0.95, "19 in 20"), (0.93, "19 in 20"), (0.91, "9 in 10"), (0.5, "5 in 10"),
        (0.1, "1 in 10"), (0.08, "1 in 10"), (0.05, "1 in 20"), (0.02, "1 in 20"), (0.019, "under 1 in 50"),
        (0.0, "under 1 in 50"),
    ],
)  # fmt: skip
def test_probabilities_in_words(probability: float, words: str) -> None:
    assert chance(probability) == words


@pytest.mark.parametrize(
    ("decibans", "sign"),
    [(0.0, "0"), (0.99, "0"), (-0.99, "0"), (1.0, "+"), (-4.9, "-"), (5.0, "++"), (-10.0, "--"), (10.1, "+++"),
     (-40.0, "---")],
)  # fmt: skip
def test_weights_as_signs(decibans: float, sign: str) -> None:
    assert weight(decibans) == sign


def told(vehicle: str, *words: str, meter: str = "clamp") -> str:
    its = heater_circuit() if vehicle == "heater" else circuit(vehicle)
    return suspects_text(its.platform, asked(its, *words, meter=meter))


def asked(its: Circuit, *words: str, meter: str = "clamp") -> Diagnosis:
    readings = tuple(written_reading(its.platform, word, meter_named(meter)) for word in words)
    return diagnose(its, Evidence(readings=readings))


def test_with_nothing_read_the_total_comes_first() -> None:
    text = told("van")
    assert "NOTHING READ YET" in text
    assert "\n 1  Clamp the plus cable of BAT" in text
    assert "NOT KNOWN  The total was not read: nobody knows what is missing." in text


def test_with_little_read_it_is_too_early() -> None:
    text = told("truck", "BAT=0.9A")
    assert "TOO EARLY" in text and "Do NEXT 1, " in text
    assert "LOOK AT" not in text and "WHY" not in text


def test_no_draw_is_an_answer() -> None:
    text = told("van", "BAT=0.03A", meter="low-current-clamp")
    assert "NO DRAW FOUND while we watched" in text
    assert "LOOK AT" not in text


def test_branches_that_carry_more_than_the_total_are_told_before_anything_is_concluded() -> None:
    text = told("truck", "BAT=0.05A", "F6=8mV", "F11=8mV")
    assert "READ AGAIN: the total and the readings behind it cannot both be right." in text
    assert "These don't go together: BAT 0.05 A, and behind it MAIN.F6 1.67 A and CAB.F11 1.75 A" in text
    assert "NO DRAW" not in text


def test_a_current_the_wrong_way_round_is_told() -> None:
    assert "the current runs the wrong way" in told("van", "BAT=-0.80A")


def test_readings_that_nothing_explains() -> None:
    """Three fuses that share nothing, each drawing more than anything on it could draw."""
    text = told("heater", "F1=9A", "F2=9A", "F3=9A", "ENG1=0A", meter="series")
    assert "None of this explains the readings." in text or "don't go together" in text


def test_a_fuse_that_hides_a_current_is_not_quiet() -> None:
    text = told("truck", "BAT=0.47A", "F40=0.0mV", "F41=0.0mV")
    assert "FRM.F40 and FRM.F41 show nothing, yet up to 0.10 A can hide in them: not cleared." in text


def test_cautions_stand_at_the_step() -> None:
    text = told("truck", "BAT=0.9A")
    assert "CARE" in text
    assert "24 V: meter, leads and fuses must be made for it (58 V types)." in " ".join(text.split())
    assert "The maker's procedure, local rules and licensed practice come first." in text


def test_a_look_says_what_to_look_for_also_while_nothing_stands_out() -> None:
    van = circuit("van")
    found = asked(van, "BAT=0.50A")
    look = next(test for test in found.tests.choices if test.action.doing == "look")
    lines = lines_of_test(van.platform, found, 1, look._replace(look_for=()), 100)
    assert any("Look for: anything that burns, hums or is warm" in line for line in lines)
    assert "Look for: ." not in " ".join(lines) and not any("hand over" in line for line in lines)


def test_a_label_that_says_run_only_makes_a_fuse_dead_while_parked() -> None:
    van = circuit("van")
    found = asked(van, "BAT=0.85A", "ENG.F16=0.80A")
    assert [(dead.place, dead.label) for dead in found.dead] == [("ENG.F16", ("run", "start"))]
    text = " ".join(suspects_text(van.platform, found).split())
    assert "ENG.F16 draws 0.80 A, and nothing should feed it" in text
    assert "it is fed only with the key at run or start, by its label" in text
    assert not asked(van, "BAT=0.85A", "ENG.F13=0.80A").dead  # its label says: at all times


def test_below_the_list_it_says_what_tells_level_kinds_apart_and_how_long_it_takes() -> None:
    van = circuit("van")
    found = asked(van, "BAT=14.8A", "F93=14.6A", "F70=14.6A", "F72=12.4A", "F73=2.2A", "F27=0.16A", "F21=0A")
    text = suspects_text(van.platform, found)
    lines = [line for line in text.splitlines() if line[:1].strip()]
    assert [line.partition("  ")[0] for line in lines[1:5]] == ["LOOK AT", "MAY BE", "OR ELSE", "TELL BY"]
    assert "REAR.K2" in lines[1] and " min" in lines[4]


def test_while_things_are_level_line_one_is_the_test_that_parts_them() -> None:
    text = told("truck", "BAT=0.9A")
    first = next(line for line in text.splitlines() if line.startswith("TOO EARLY"))
    assert "Do NEXT 1, " in first and " min" in " ".join(text.split())


@pytest.mark.parametrize(
    ("kind", "part", "hint"),
    [
        ("chafed", "wiring behind CAB.F24", "Wiggle its wires along the run with an eye on the clamp"),
        ("lamp", "DOORD", "leave a telephone filming inside"),
        ("by-itself", "HEATER", "By infrared"),
    ],
)
def test_a_look_names_the_quick_test_that_fits(kind: str, part: str, hint: str) -> None:
    van = circuit("van")
    found = asked(van, "BAT=0.50A")
    look = next(test for test in found.tests.choices if test.action.doing == "look")
    fault = next(f for f in found.faults if f.kind == kind and (f.part == part or kind == "by-itself"))
    its = " ".join(" ".join(lines_of_test(van.platform, found, 1, look._replace(look_for=(fault,)), 100)).split())
    assert hint in its
    assert ("not pressed home" in its) == (kind == "lamp")
    assert ("moved live may spark" in its) == ("Wiggle" in its), (
        "the caution stands where wires are moved, and only there"
    )
