"""The volts of random nets, against a circuit simulator: ngspice (the Debian package), operating point."""

import shutil

import pytest

from circuitmap.volts.operating import Solver, usual_values
from tests.volts.small_nets import by_ngspice, random_net

NGSPICE = shutil.which("ngspice")
pytestmark = pytest.mark.skipif(NGSPICE is None, reason="ngspice is not installed")


def differs(seed: int, *, curved: bool) -> float:
    net = random_net(seed, 8 + seed % 20, seed % 4, curved=curved)
    volts = Solver(net).solve(usual_values(net)).volts
    assert NGSPICE is not None
    return max(abs((one or 0.0) - other) for one, other in zip(volts, by_ngspice(NGSPICE, net), strict=True))


@pytest.mark.parametrize("seed", range(12))
def test_a_net_of_resistances(seed: int) -> None:
    assert differs(seed, curved=False) < 1e-6


@pytest.mark.parametrize("seed", range(12))
def test_a_net_of_lamps_and_modules(seed: int) -> None:
    assert differs(100 + seed, curved=True) < 1e-5


@pytest.mark.on_demand
@pytest.mark.slow
def test_three_hundred_nets() -> None:
    assert max(differs(1000 + seed, curved=False) for seed in range(300)) < 1e-6
    assert max(differs(2000 + seed, curved=True) for seed in range(60)) < 1e-5
