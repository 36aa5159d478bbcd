"""What the page offers besides fuses: names of the platform, none that is hands-off, each with what to take care of."""

from pathlib import Path

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.flows.questions import open_platform, platform_from
from circuitmap.jobs.short_line import entry_of
from circuitmap.reports.bay.seen_there import care_values, place_values
from circuitmap.reports.words.cautions import cautions_at
from circuitmap.source import SourceFile
from tests.bay.served import ROOT
from tests.bay.test_desk import add, opened, sent, shop
from tests.circuit.hands_off_platforms import HEAD, PLACES, WIRES, Hidden, text_of

__all__ = ["shop"]

SAMPLES = sorted(folder for folder in (ROOT / "sample_vehicles").glob("*/") if list(folder.glob("*.circuit")))
LINES = {
    "relays": "relay {} held",
    "inputs": "input {} wrong",
    "modules": "scan silent {}",
    "networks": "network {} awake",
    "places": "found {} warm",
    "tested": "tested {} ground 0.08V",
    "batteries": "battery {} rest 12.45V",
}
"""What a tap at a name of each list writes, in one of its forms."""


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_every_name_that_is_offered_can_be_written_down(folder: Path) -> None:
    platform = open_platform(folder)
    circuit = circuit_of(platform)
    hands_off = circuit.hands_off
    offered = place_values(circuit, hands_off, {})
    assert offered["places"] and offered["inputs"]
    for kind, line in LINES.items():
        for row in offered[kind]:
            assert hands_off.may_touch(row["name"])
            assert entry_of(platform, line.format(row["name"]), hands_off).fields
    for kind in offered["kinds"]:
        assert entry_of(platform, f"cause {offered['places'][0]['name']}; kind {kind['kind']}", hands_off).fields
    for row in offered["places"]:
        if row["kind"] == "lamp":
            assert entry_of(platform, f"found {row['name']} burning", hands_off).fields


@pytest.mark.parametrize("hidden", PLACES, ids=lambda hidden: hidden.place)
def test_what_is_hands_off_is_never_offered(hidden: Hidden) -> None:
    platform = platform_from((SourceFile("all.circuit", text_of(hidden, "restraint")),))
    offered = place_values(circuit_of(platform), circuit_of(platform).hands_off, {})
    names = {row["name"] for kind in LINES for row in offered[kind]}
    assert not names & set(hidden.never) and names


def test_equipment_that_is_not_fitted_is_not_offered() -> None:
    text = HEAD + WIRES + 'relay CAB.K9 "horn" make if EXTRA\n'
    platform = platform_from((SourceFile("all.circuit", text),))
    for fitting, there in (({}, True), ({"EXTRA": True}, True), ({"EXTRA": False}, False)):
        offered = place_values(circuit_of(platform), circuit_of(platform).hands_off, fitting)
        assert ("CAB.K9" in {row["name"] for row in offered["relays"]}) is there


def test_a_caution_is_told_for_all_or_beside_its_own_name() -> None:
    platform = open_platform(ROOT / "sample_vehicles" / "van")
    care = care_values(platform)["at"]
    offered = place_values(circuit_of(platform), circuit_of(platform).hands_off, {})
    own = 0
    for kind, step in (("relays", "relay-volts"), ("inputs", "inputs"), ("places", "look"), ("tested", "drop-test")):
        assert care[step]
        for row in offered[kind]:
            told = {told.text for told in cautions_at(platform, step, [row["name"]])}  # type: ignore[arg-type]
            assert told <= {*care[step], *row["care"]}
            own += len(row["care"])
    assert own, "some part has something of its own to take care of"


def test_the_meters_of_the_core_are_offered_with_their_cautions() -> None:
    meters = care_values(open_platform(ROOT / "sample_vehicles" / "van"))["meters"]
    assert [meter["kind"] for meter in meters] == ["clamp", "low-current-clamp", "series"]
    assert any("10 A range" in words for words in meters[-1]["care"]) and all(meter["care"] for meter in meters)


def test_a_reading_says_which_meter_it_was(shop: Path) -> None:
    desk, key = opened(shop)
    line = sent(1, "F1=0.20A")._replace(meter="series")
    assert add(desk, key, "Ida", line, sent(2, "F3=0.20A")._replace(meter="spanner")) == ["kept", "refused"]
    assert "meter: series" in (shop / "job.yaml").read_text()


def test_what_was_seen_is_told_beside_the_names(shop: Path) -> None:
    desk, key = opened(shop)
    assert add(desk, key, "Ida", sent(1, "found HEATER warm"), sent(2, "found HEATER smells"))
    assert desk.answer(key)["seen"]["found"] == {"HEATER": "warm, smells"}
    assert "SDM" not in {row["name"] for row in desk.places(key)["places"]}
