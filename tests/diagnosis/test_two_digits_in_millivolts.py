"""Millivolts of as many digits as the display may be off: what they show may be nothing, and hardly is. Another draw is
found there; a single digit, which a display makes up by itself, is none."""

from itertools import pairwise
from math import erf, sqrt

import numpy as np
import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.case import case_of
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.seen.taking_off import as_display_errs
from circuitmap.diagnosis.weighing.reading_chance import Strip
from circuitmap.diagnosis.weighing.reading_chance import chance_of as chance_to_show
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.written_readings import written_reading
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_keeping_faith import asked, chance_of


def with_a_lamp(others: int = 4) -> Circuit:
    """A lamp with its switch on a fuse of its own, and sockets on others, with nothing plugged in."""
    rows = []
    for n in range(1, others + 1):
        rows += [f"fuse F{n} 10A mini", f'socket S{n} "a socket"', f"F{n} -> S{n}.1", f"S{n}.2 -> G"]
    fuses = ", ".join(f"F{n}" for n in range(others + 1))
    return circuit_from(
        "\n".join(
            [
                "battery B", "ground G", "fuse F0 10A mini", "switch SW", "lamp L running 400mA", "F0 -> SW.1",
                "SW.2 -> L.1", "L.2 -> G", *rows, f"bar BAR feeds {fuses}", "B.+ -> BAR", "B.- -> G",
            ]
        )
    )  # fmt: skip


def chance_of_pair(found: Diagnosis, place: str) -> float:
    return sum(two.probability for two in found.if_two if place in two.about)


def read(its: Circuit, *words: str) -> Diagnosis:
    """The lamp burns; every other socket's fuse shows nothing."""
    named = {word.partition("=")[0] for word in words}
    quiet = [f"F{n}=0.0mV" for n in range(1, 5) if f"F{n}" not in named]
    return asked(its, "B=0.43A", "F0=3.0mV", *quiet, *words, meter="clamp")


def test_two_digits_are_hardly_nothing() -> None:
    its = with_a_lamp()
    found = read(its, "F1=0.2mV")
    assert set(found.if_two[0].about) == {"F0", "F1"} and found.if_two[0].probability > 0.5
    assert found.two_faults < 0.1 and chance_of(found, "F0") > 0.95
    assert chance_of_pair(read(its, "F1=0.1mV"), "F1") < 0.3


def test_the_more_digits_the_less_it_is_nothing() -> None:
    its = with_a_lamp()
    chances = [chance_of_pair(read(its, f"F1={tenths / 10:.1f}mV"), "F1") for tenths in range(4)]
    assert all(later > 1.3 * earlier for earlier, later in pairwise(chances)), chances


def test_two_looks_tell_more_than_one() -> None:
    its = with_a_lamp()
    once, twice = read(its, "F1=0.2mV"), read(its, "F1=0.2mV", "F1=0.2mV")
    assert twice.two_faults > 1.3 * once.two_faults
    in_any_order = read(its, "F1=0.3mV", "F1=0.1mV"), read(its, "F1=0.2mV", "F1=0.2mV")
    assert in_any_order[0].two_faults == pytest.approx(in_any_order[1].two_faults, rel=0.05)


def test_a_look_that_does_not_agree_is_not_counted_with_it() -> None:
    its = with_a_lamp()
    assert read(its, "F1=2.0mV", "F1=0.2mV").two_faults == pytest.approx(read(its, "F1=0.2mV").two_faults, rel=1e-6)


def strip_of(its: Circuit, *shown: str) -> Strip:
    """What a fuse showed, the latest look first, as it is weighed."""
    looks = [written_reading(its.platform, f"F1={one}", meter_named("clamp")) for one in shown]
    own = looks[0]
    return as_display_errs(looks, Strip(own.lowest, own.highest, 0.0, own.relative))


def nothing_at(strip: Strip) -> float:
    return float(chance_to_show(strip, np.zeros(1), np.zeros(1))[0])


def test_the_chance_of_each_display_with_nothing_there() -> None:
    """All displays together are sure; standard deviation three quarters of a digit, by the error function."""
    its = with_a_lamp()
    chances = [nothing_at(strip_of(its, f"{tenths / 10:.1f}mV")) for tenths in range(3)]
    expected = [
        0.5 * (erf(1.0 / 1.5 / sqrt(2.0)) + erf(2.0 / 0.75 / sqrt(2.0))),
        0.5 * (erf(1.5 / 0.75 / sqrt(2.0)) - erf(0.5 / 0.75 / sqrt(2.0))),
        0.5 * (erf(2.5 / 0.75 / sqrt(2.0)) - erf(1.5 / 0.75 / sqrt(2.0))),
    ]
    assert chances == pytest.approx(expected, rel=1e-3)
    assert sum(chances) == pytest.approx(1.0, abs=0.01)
    assert strip_of(its, "0.3mV").blur == 0.0  # there something flows, and the fuse is what is not known


def test_a_zero_is_still_not_made_likelier_by_one_current_more() -> None:
    its = with_a_lamp()
    case = case_of(its, evidence(its, "B=0.43A", "F0=3.0mV", "F1=0.0mV"), {}, None)
    table = next(t for t in case.tables if any(getattr(label, "place", "") == "F1" for label in t.labels))
    assert (table.log_chance <= table.log_chance[0, 0] + 1e-12).all()


def evidence(its: Circuit, *words: str) -> Evidence:
    return Evidence(readings=tuple(written_reading(its.platform, word, meter_named("clamp")) for word in words))
