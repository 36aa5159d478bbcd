"""A feeder that carries more than was found behind it: told with what was not read there, and which zeros may be wrong."""

from random import Random

import pytest

from circuitmap.diagnosis.seen.missing_behind import MissingBehind
from circuitmap.reports.suspects.count import count_sentences
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told

FUSES = [f"CAB.F{n}" for n in range(1, 9)]
VAN = """\
platform "Small van" sleep 10min..25min limit 50mA
battery BAT 95Ah
box CAB
fuse F90 60A, F91 60A
fuse CAB.F1 10A, CAB.F2 10A, CAB.F3 10A, CAB.F4 10A, CAB.F5 10A, CAB.F6 10A, CAB.F7 10A, CAB.F8 10A
bar CAB.B1 feeds CAB.F1..F8
ground G1
BAT.- -> G1
BAT.+ -> F90, F91 in RD 16
F90 -> CAB.B1 in RD 10
""" + "".join(f'lamp L{n} "lamp {n}"\nCAB.F{n} -> L{n} -> G1 in GN 1\n' for n in range(1, 9))


def missing(readings: dict[str, float]) -> tuple[dict[str, MissingBehind], str]:
    read = ", ".join(f"{place}: {amps:.2f}A" for place, amps in readings.items())
    found, _ = told(circuit_from(VAN), "at: 08:00, state: locked", f"at: 09:00, read: {{{read}}}")
    return {its.place: its for its in found.missing}, " ".join(count_sentences(found))


@pytest.mark.parametrize("seed", range(12))
def test_what_was_not_read_and_what_showed_nothing_are_told_apart_and_nothing_is_left_out(seed: int) -> None:
    """Whichever fuses are read, drawing or quiet: every fuse behind the feeder that does not draw is one of the two."""
    random = Random(seed)
    read = random.sample(FUSES, random.randint(2, 8))
    drawing = read[: random.randint(1, len(read))]
    amps = {fuse: 0.1 if fuse in drawing else 0.0 for fuse in read}
    its_all, said = missing({"BAT": 2.0, "F90": 2.0, "F91": 0.0, **amps})
    its = its_all["F90"]
    assert its.misses and its.found == pytest.approx(0.1 * len(drawing))
    assert sorted(its.unread) == sorted(set(FUSES) - set(read))
    assert sorted(its.quiet) == sorted(set(read) - set(drawing))
    assert f"F90 carries 2.00 A, and {its.found:.2f} A was found right behind it" in said
    assert ("All that is typed in and fed there was read" in said) == (len(read) == len(FUSES))


def test_where_all_is_found_nothing_is_missing() -> None:
    its, said = missing({"BAT": 0.8, "F90": 0.8, "F91": 0.0, **dict.fromkeys(FUSES, 0.1)})
    assert its == {} and "right behind it" not in said


def test_of_a_box_that_was_nearly_read_the_rest_is_named() -> None:
    its, said = missing({"BAT": 0.6, "F90": 0.6, **dict.fromkeys(FUSES[:6], 0.1)})
    assert its["F90"].unread == ("CAB.F7", "CAB.F8") and not its["F90"].misses
    assert "Not read behind F90: CAB.F7 and CAB.F8." in said


def test_a_feeder_that_was_not_read_stands_for_nothing_while_its_fuses_were() -> None:
    """The bar's fuses hang on F90, which nobody clamped: at the battery the fuses count as looked at."""
    its, _ = missing({"BAT": 2.0, "CAB.F1": 0.1, **dict.fromkeys(FUSES[1:6], 0.0)})
    assert set(its["BAT"].unread) == {"CAB.F7", "CAB.F8", "F91"}


SWITCHED = VAN.replace("F91 in RD 16\n", "F91 in RD 16\nbar CAB.B15 feeds CAB.F21, CAB.F22\n").replace(
    "bar CAB.B1", 'fuse CAB.F21 10A, CAB.F22 10A\nrelay K7 "blower relay" make\nbar CAB.B1'
)
SWITCHED += "CAB.B1 -> K7.30 in RD 6\nK7.87 -> CAB.B15 in BK 6\nK7.85 -> G1\n"
SWITCHED += "".join(f'motor M{n} "motor {n}"\nCAB.F{n} -> M{n} -> G1 in GN 1\n' for n in (21, 22))


@pytest.mark.parametrize(("read", "told_there"), [({}, True), ({"CAB.F21": 0.0, "CAB.F22": 0.0}, False)])
def test_a_contact_that_the_feeder_feeds_unfused_is_a_way_for_what_is_missing(
    read: dict[str, float], told_there: bool
) -> None:
    amps = {"BAT": 2.0, "F90": 2.0, "F91": 0.0, "CAB.F1": 0.1, **dict.fromkeys(FUSES[1:], 0.0), **read}
    words = ", ".join(f"{place}: {its:.2f}A" for place, its in amps.items())
    found, _ = told(circuit_from(SWITCHED), "at: 08:00, state: locked", f"at: 09:00, read: {{{words}}}")
    [its] = [one for one in found.missing if one.place == "F90"]
    assert [(one.relay, one.to) for one in its.contacts] == [("K7", ("CAB.F21", "CAB.F22"))] * told_there
    said = " ".join(count_sentences(found))
    assert ("over the contact of K7, if it does not open, onto CAB.F21 and CAB.F22, not read" in said) == told_there


SLEEPS = VAN.replace(
    "lamp L1 ", 'module M9 "clock and alarm" supply 1 ground 2 asleep 30mA\nF91 -> M9.1\nM9.2 -> G1\nlamp L1 ', 1
)


@pytest.mark.parametrize(("total", "doubted"), [(0.03, False), (0.50, True)])
def test_a_reading_of_nothing_is_not_doubted_for_what_sleeps_where_nobody_read(total: float, doubted: bool) -> None:
    fuses = ", ".join(f"{place}: 0.000A" for place in ("F90", *FUSES))
    entry = f"at: 09:00, meter: low current clamp, read: {{BAT: {total:.3f}A, {fuses}}}, steady: yes"
    found, _ = told(circuit_from(SLEEPS), "at: 08:00, state: locked", entry)
    (its,) = found.missing
    assert its.place == "BAT" and its.misses and its.unread == ("F91",)
    assert bool(its.quiet) is doubted
    assert ("or a reading of nothing is wrong" in " ".join(count_sentences(found))) is doubted
