"""Rows whose volts were worked out by hand, and what follows from Kirchhoff's laws."""

import pytest

from circuitmap.volts.operating import Operating, Solver, usual_values
from circuitmap.volts.takers import Takes
from tests.volts.small_nets import band, net_from, random_net, row

# 12.6 V, 6 mohm inside; 16 mm2 1.5 m; 0.5 mohm; 6 mm2 4 m; 1.9; 5; 3.38 mohm; 2.5 mm2 3 m; 1.000 ohm; 2.5 mm2 0.8 m;
# 1 mohm. IEC 60228 class 5 for the wires. Sum 1.063119 ohm, 11.8519 A (worked by hand).
ROW = (1.21 * 1.5e-3, 0.0005, 3.30 * 4e-3, 0.0019, 0.005, 0.00338, 7.98 * 3e-3, 1.0, 7.98 * 0.8e-3, 0.001)
BY_HAND = (12.5289, 12.5074, 12.5015, 12.3450, 12.3225, 12.2632, 12.2232, 11.9394, 0.0875, 0.0119)


def solved(net) -> Operating:  # type: ignore[no-untyped-def]
    return Solver(net).solve(usual_values(net))


def test_a_row_in_millivolts() -> None:
    volts = solved(row(12.6, 0.006, ROW)).volts
    assert [round(its, 4) for its in volts[1:] if its is not None] == pytest.approx(BY_HAND, abs=1.01e-4)


def test_a_bad_place_in_the_feed_and_in_the_ground_side() -> None:
    feed = [*ROW]
    feed[6] += 0.25  # in the 3 m wire: 9.5955 A
    volts = solved(row(12.6, 0.006, feed)).volts
    assert [volts[7], volts[8], volts[9]] == pytest.approx([12.2949, 9.6663, 0.0709], abs=1e-4)
    ground = [*ROW]
    ground[8] += 0.25
    volts = solved(row(12.6, 0.006, ground)).volts
    assert [volts[8], volts[9]] == pytest.approx([12.0652, 2.4697], abs=1e-4)


def test_heated_window_and_mirrors_as_a_stranger_worked_them() -> None:
    """Pencil and paper: 12.500 V; 18.02 mohm common; the window 51.28 mohm, 0.800 ohm, 14.26 mohm to ground; mirrors 4.8
    ohm. SP84 12.200 V, E20/1 11.477, E20/2 0.201; with 250 mohm more in the feed 12.256, 8.946, 0.157; with 150 mohm
    more in the bolt E20/2 1.979, E20/1 11.619."""

    def volts(feed: float, ground: float) -> list[float | None]:
        ohms = [(1, 2, 0.01802), (2, 3, feed), (3, 4, 0.8), (4, 0, ground), (2, 0, 4.8)]
        return list(solved(net_from(5, [(a, b, band(r)) for a, b, r in ohms], [(1, 0, 12.5, 1e-9)])).volts)

    assert volts(0.05128, 0.01426)[2:] == pytest.approx([12.200, 11.477, 0.201], abs=1e-3)
    assert volts(0.30128, 0.01426)[2:] == pytest.approx([12.256, 8.946, 0.157], abs=1e-3)
    assert volts(0.05128, 0.16426)[3:] == pytest.approx([11.619, 1.979], abs=1e-3)


def test_a_lost_ground_with_a_sneak_path_as_a_stranger_worked_it() -> None:
    """Filaments at hot resistance: 2.618, 2.400 (twice), 6.857 (twice, one beside 28.8), 28.8 ohm. SP60 7.381 V, SP58
    3.690, SP51 4.083."""
    beside = 1 / (1 / 6.857 + 1 / 28.8)
    ohms = [(1, 2, 2.618), (1, 2, 28.8), (2, 3, 2.4), (3, 0, 2.4), (2, 4, beside), (4, 0, 6.857)]
    volts = solved(net_from(5, [(a, b, band(r)) for a, b, r in ohms], [(1, 0, 12.5, 1e-9)])).volts
    assert volts[2:] == pytest.approx((7.381, 3.690, 4.083), abs=2e-3)


@pytest.mark.parametrize("seed", range(20))
def test_currents_at_every_node_add_up_to_nothing(seed: int) -> None:
    net = random_net(seed, 14, seed % 4, curved=seed % 2 == 1)
    found = solved(net)
    assert found.settled
    into = [0.0] * len(net.circuit.nodes)
    for its, amps in [*zip(net.resistances, found.amps, strict=True), *zip(net.takers, found.taken, strict=True)]:
        into[its.a] -= amps
        into[its.b] += amps
    for cell in net.cells:
        amps = (cell.usual - found.volts[cell.plus] + found.volts[cell.minus]) / cell.ohms.usual  # type: ignore[operator]
        into[cell.plus] += amps
        into[cell.minus] -= amps
    assert max(map(abs, into)) < 1e-6


def test_a_load_more_never_raises_a_pin_and_twice_the_battery_is_twice_the_volts() -> None:
    net = random_net(3, 12, 2)
    before = solved(net).volts
    more = net_from(
        12, [(r.a, r.b, r.ohms) for r in net.resistances], [(1, 0, 12.6, 0.006)],
        [*((t.a, t.b, t.takes) for t in net.takers), (7, 0, Takes("resistance", 12.0, 2.0, 2.0, 2.0, True, ""))],
    )  # fmt: skip
    for one, other in zip(before, solved(more).volts, strict=True):
        assert one is not None and other is not None and other <= one + 1e-9
    twice = net_from(
        12, [(r.a, r.b, r.ohms) for r in net.resistances], [(1, 0, 25.2, 0.006)],
        [(t.a, t.b, t.takes) for t in net.takers],
    )  # fmt: skip
    for one, other in zip(before, solved(twice).volts, strict=True):
        assert one is not None and other == pytest.approx(2 * one)


def test_interrupted_is_the_limit_of_much_resistance_and_what_nothing_reaches_floats() -> None:
    net = row(12.6, 0.006, ROW)
    values = usual_values(net)
    much = values._replace(ohms=(*values.ohms[:6], 1e9, *values.ohms[7:]))
    limit = Solver(net).solve(much).volts
    cut = Solver(net, frozenset((6,))).solve(values).volts
    assert [its for its in cut if its is not None] == pytest.approx([its for its in limit if its is not None], abs=1e-6)
    both = Solver(net, frozenset((6, 9))).solve(values).volts
    assert both[8] is None and both[7] == pytest.approx(12.6)
