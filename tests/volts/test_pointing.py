"""Which place readings point to: the law behind it, and how often it is right."""

import random

import pytest

from circuitmap.volts.bad_places import fingerprints, with_more
from circuitmap.volts.foreground import Foreground, Solved, foreground_of, usual_setting
from circuitmap.volts.pointing import SeenVolts, pointing
from circuitmap.volts.takers import Takes
from circuitmap.volts.tolerance import samples_of
from tests.volts.small_nets import band, net_from


def row_of_eight() -> Foreground:
    """Four places before the load, four behind it."""
    ohms = [(n, n + 1, band(0.01, 0.004, 0.03)) for n in range(1, 5)]
    ohms += [(n, n + 1, band(0.01, 0.004, 0.03)) for n in range(6, 9)] + [(9, 0, band(0.01, 0.004, 0.03))]
    takes = Takes("resistance", 12.0, 9.0, 10.0, 11.0, True, "made up")
    found = foreground_of(net_from(10, ohms, [(1, 0, 12.6, 0.006)], [(5, 6, takes)]), ["L0"])
    assert found is not None
    return found


@pytest.mark.parametrize("ohms", [0.02, 0.1, 0.5, 2.0, 10.0])
def test_a_place_moves_all_volts_in_fixed_proportions(ohms: float) -> None:
    its = row_of_eight()
    usual = usual_setting(its)
    sound = Solved(its, usual)
    for print_ in fingerprints(its, its.nodes):
        worse = Solved(its, with_more(usual, print_.number, ohms))
        for node, move in zip(its.nodes, print_.moves, strict=True):
            assert worse.at(node) - sound.at(node) == pytest.approx(print_.share(ohms) * move, abs=1e-6)


def right(points: tuple[int, ...], cases: int) -> tuple[float, float]:
    """How often the true place is in the first row, and how often it says so of itself."""
    its = row_of_eight()
    drawn = random.Random(5)
    hits = claimed = 0.0
    for setting in samples_of(its, cases, seed=77):
        place = drawn.randrange(len(its.resistances))
        worse = Solved(its, with_more(setting, place, 0.05 * 400 ** drawn.random()))
        seen = [SeenVolts(node, worse.at(node) + drawn.gauss(0, 0.008)) for node in points]
        found = pointing(its, seen, {})
        first = found.places[0]
        hits += place in first.numbers
        claimed += first.chance
    return hits / cases, claimed / cases


def test_volts_all_along_the_way_find_the_place() -> None:
    hits, _ = right(tuple(range(1, 10)), 40)
    assert hits >= 0.9


def test_what_is_claimed_is_what_is_hit() -> None:
    hits, claimed = right((5, 6), 60)
    assert hits == pytest.approx(claimed, abs=0.15)


def test_sound_readings_point_nowhere() -> None:
    its = row_of_eight()
    sound = Solved(its, usual_setting(its))
    found = pointing(its, [SeenVolts(5, sound.at(5)), SeenVolts(6, sound.at(6))], {})
    assert found.sound > 0.5 and not found.strange


def test_what_no_single_place_shows_is_strange() -> None:
    assert pointing(row_of_eight(), [SeenVolts(5, 14.8), SeenVolts(6, 3.0)], {}).strange
