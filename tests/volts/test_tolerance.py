"""Bounds against all corners, and simulated sound vehicles against the bounds."""

from itertools import product

import pytest

from circuitmap.effort import Effort
from circuitmap.volts.foreground import Foreground, Solved, ValueSetting, foreground_of
from circuitmap.volts.tolerance import Corners, bounds_of, samples_of
from tests.volts.small_nets import random_net


def foreground(seed: int, count: int, cross: int) -> Foreground:
    net = random_net(seed, count, cross, spread=2.0)
    found = foreground_of(net, [its.part for its in net.takers])
    assert found is not None
    return found


def all_corners(its: Foreground, node: int) -> tuple[float, float]:
    corners = Corners(its, Effort(10**9))
    lows, highs = corners.lows, corners.highs
    found = []
    for ohms in product(*zip(lows.ohms, highs.ohms, strict=True)):
        for shares in product(*zip(lows.shares, highs.shares, strict=True)):
            found.append(Solved(its, ValueSetting(ohms, shares, lows.beside, lows.volts, lows.inner)).at(node))
    return min(found), max(found)


def wrong_by(seed: int, cross: int) -> float:
    its = foreground(seed, 6, cross)
    corners = Corners(its, Effort(10**9))
    node = its.nodes[-1 - seed % 2]
    low, high = all_corners(its, node)
    return max(abs(corners.furthest(node, -1) - low), abs(corners.furthest(node, 1) - high))


@pytest.mark.parametrize("seed", range(8))
def test_at_most_is_the_worst_of_all_corners(seed: int) -> None:
    assert wrong_by(seed, seed % 3) < 1e-9


@pytest.mark.on_demand
@pytest.mark.slow
def test_at_most_on_two_hundred_nets() -> None:
    assert max(wrong_by(100 + seed, seed % 4) for seed in range(200)) < 1e-9


def test_sound_vehicles_lie_within() -> None:
    its = foreground(5, 20, 2)
    bounded = bounds_of(its, its.nodes)
    inside = most = every = 0
    for setting in samples_of(its, 400, seed=99):
        solved = Solved(its, setting)
        for node in its.nodes:
            bounds, volts = bounded.bounds[node], solved.at(node)
            every += 1
            inside += bounds.ninety.low <= volts <= bounds.ninety.high
            most += bounds.most.low - 1e-9 <= volts <= bounds.most.high + 1e-9
    assert most == every
    assert 0.86 <= inside / every <= 0.94


def test_what_was_not_tried_is_said() -> None:
    its = foreground(7, 12, 3)
    corners = Corners(its, Effort(3))
    corners.furthest(its.nodes[-1], 1)
    assert corners.effort.used_up
