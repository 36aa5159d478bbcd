"""The faults of a car come back from the cache as they were found, and are used for the same car only."""

import dataclasses
import json
from pathlib import Path
from random import Random

import pytest

from circuitmap.cache import DrawerOf
from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults import candidates
from circuitmap.diagnosis.faults import found_faults as module
from circuitmap.diagnosis.faults.candidates import faults_of
from circuitmap.diagnosis.faults.found_faults import MOST_KEPT, found_faults
from circuitmap.diagnosis.faults.joint import joint_faults
from circuitmap.diagnosis.faults.stored_faults import FoundFaults, restored, stored
from circuitmap.flows.questions import open_platform
from circuitmap.wiring.platform import Platform
from tests.cli.conftest import ROOT, Run
from tests.cli.conftest import circuitmap as circuitmap

SAMPLES = sorted(file.parent for file in (ROOT / "sample_vehicles").glob("*/platform.circuit"))
TRUCK, READ = "sample_vehicles/truck", ("BAT=0.47A", "F6=0.6mV", "F33=0.7mV")


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "cache"
    monkeypatch.setenv("CIRCUITMAP_CACHE", str(folder))
    return folder


def found_in(platform: Platform) -> FoundFaults:
    parked = Parked(circuit_of(platform), {})
    faults = faults_of(parked)
    return FoundFaults(faults, *joint_faults(parked, faults), tuple(parked.left_out), parked.effort.left)


def through_json(found: FoundFaults) -> FoundFaults:
    return restored(json.loads(json.dumps(stored(found))))


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_the_faults_of_the_samples_come_back(folder: Path) -> None:
    found = found_in(open_platform(folder))
    back = through_json(found)
    assert found.faults and back == found
    assert repr(back) == repr(through_json(back)), "the same down to the last digit, however often"
    for one, other in zip(found.faults, back.faults, strict=True):
        for its in dataclasses.fields(one):
            assert type(getattr(one, its.name)) is type(getattr(other, its.name)), its.name
    for fault, pair in zip(*back[1:3], strict=True):
        first, second = fault.of
        assert second is back.faults[pair.second] and first.identity == back.faults[pair.first].identity


def test_what_is_one_thing_stays_one_and_what_is_two_stays_two() -> None:
    """What is worked out of one state's currents, or of a state, is looked up by the object."""
    found = found_in(open_platform(ROOT / TRUCK))
    back = through_json(found)
    for its in (lambda fault: fault.brings, lambda fault: fault.state):
        one = [[its(a) is its(b) for b in found.faults] for a in found.faults]
        other = [[its(a) is its(b) for b in back.faults] for a in back.faults]
        assert one == other and any(sum(row) > 1 for row in one)


@pytest.mark.parametrize("more", [(), ("--set", "DOORD=open"), ("--input", "DOORD=wrong"), ("--fitted", "CAM from F6")])
def test_every_answer_is_the_same_without_it(
    circuitmap: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, more: tuple[str, ...]
) -> None:
    said = []
    for chosen in ("", str(tmp_path / "cache"), str(tmp_path / "cache")):
        monkeypatch.setenv("CIRCUITMAP_CACHE", chosen)
        said.append(circuitmap("suspects", ROOT / TRUCK, *READ, *more, "--json").out)
    assert said[0] and said[1] == said[0] and said[2] == said[0]
    assert len(list((tmp_path / "cache").glob("faults-*.json"))) == 1


def test_the_second_time_nothing_is_looked_for(circuitmap: Run, cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    circuitmap("suspects", ROOT / TRUCK, *READ)
    monkeypatch.setattr(candidates, "faults_of", lambda *_: pytest.fail("looked for anew"))
    assert circuitmap("suspects", ROOT / TRUCK, "BAT=0.9A", "F11=0.6mV").code == 0


def test_another_car_of_the_platform_has_faults_of_its_own(circuitmap: Run, cache: Path) -> None:
    for more in ((), ("--input", "DOORD=wrong"), ("--set", "DOORD=open"), ("--without", "COOLBOX"), ()):
        circuitmap("suspects", ROOT / TRUCK, *READ, *more)
    assert len(list(cache.glob("faults-*.json"))) == 4


@pytest.mark.parametrize("seed", range(12))
def test_what_is_damaged_is_not_used(cache: Path, seed: int) -> None:
    random, platform = Random(seed), open_platform(ROOT / TRUCK)
    parked = Parked(circuit_of(platform), {})
    found = found_faults(parked, (), ("a car",))
    (file,) = cache.glob("faults-*.json")
    whole = bytearray(file.read_bytes())
    if seed % 2:
        del whole[random.randrange(len(whole)) :]
    else:
        whole[random.randrange(len(whole))] ^= 1 << random.randrange(8)
    file.write_bytes(whole)
    drawer = platform.derived(DrawerOf).drawer
    assert drawer is not None and module._kept(drawer, repr(("a car",))) is None
    assert found_faults(Parked(parked.circuit, {}), (), ("a car",)) == found


@pytest.mark.parametrize(
    "body", ["[]", "null", "[[],[]]", "[[[3,1,1]],[[0],[0],[0],[0],0]]", "[[[99]],[]]", "[[[0,[7]]],[]]"]
)
def test_what_somebody_else_wrote_there_is_not_used(cache: Path, body: str) -> None:
    """Even with a correct checksum."""
    drawer = open_platform(ROOT / TRUCK).derived(DrawerOf).drawer
    assert drawer is not None
    drawer.keep("faults", "a car", module.FOUND_BY, body.encode(), MOST_KEPT)
    assert module._kept(drawer, "a car") is None


def test_another_program_does_not_use_it(cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    drawer = open_platform(ROOT / TRUCK).derived(DrawerOf).drawer
    assert drawer is not None
    drawer.keep("faults", "a car", ("",), b"[]", MOST_KEPT)
    assert drawer.kept("faults", "a car", ("",)) == b"[]"
    assert drawer.kept("faults", "a car", ("", "power")) is None
    monkeypatch.setattr("circuitmap.cache.code_stamps", lambda *_: iter(["other"]))
    assert drawer.kept("faults", "a car", ("",)) is None


def test_a_changed_platform_keeps_nothing(cache: Path) -> None:
    """What was changed in memory has the same text behind it, and other faults."""
    platform = open_platform(ROOT / TRUCK)
    assert platform.derived(DrawerOf).drawer is not None
    changed = dataclasses.replace(platform, outputs=())
    assert changed.derived(DrawerOf).drawer is None
