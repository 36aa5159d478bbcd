"""The made-up vehicles are what they say: read without problems, right in number, and joined as listed."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from tests.benchmarks.diagnosis.vehicles import as_notation, made_up, woken_with


@pytest.mark.parametrize("seed", range(12))
def test_a_made_up_vehicle_reads_back_as_it_was_listed(seed: int) -> None:
    vehicle = made_up(seed, 24 + seed, 12 + seed, 1 + seed % 4)
    source = SourceFile("a.circuit", as_notation(vehicle))
    notation, unread = read_text(source)
    platform = platform_of([notation], [source])
    assert not [p.headline for p in (*unread, *platform.problems) if p.severity.word == "error"]
    assert len(platform.fuses) == len(vehicle.fuses) + vehicle.boxes
    parked = Parked(circuit_of(platform), {})
    for module in vehicle.modules:
        feeds = {next(p for p in way.places if p in vehicle.fuse_named) for _, _, way in parked.pins_of(module.name)}
        assert feeds == set(module.feeds)
        assert parked.pins_of(module.name)[0][2].places[-1] == "BAT"
    for network in range(vehicle.networks):
        if any(network in module.networks for module in vehicle.modules):
            awake = {int(name[1:]) for name in parked.with_awake(f"N{network}").networks}
            assert awake == {n for n in woken_with(vehicle, network) if f"N{n}" in platform.networks}
    for lamp in vehicle.lamps:
        assert parked.powered.loads[lamp.name].draws.words == "no"
    for relay in vehicle.relays:
        assert parked.powered.energised[relay.name].words == "no"
