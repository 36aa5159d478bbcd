"""A fuse that blew: where the short is, from the states in which it blows and holds."""

from circuitmap.circuit.links import circuit_of
from circuitmap.dead.blown import BlownFuse, ToldOfFuse, blown_fuse
from circuitmap.power.state import VehicleState
from circuitmap.power.state_for import FurtherChange
from circuitmap.reports.dead.dead_text import dead_text
from tests.power.random_platforms import platform_from

TEXT = """platform "Made up" supply 12V return body
naming SP* splice, X* connector, G* ground
battery BAT 70Ah
BAT.- -> G1
fuse F1 10A, F2 5A
switch SW positions off, on closes 1 to 2 in on
lamp NEAR running 1A
lamp FAR running 2A
lamp BESIDE running 1A
BAT.+ -> F1
F1 -> SP1
SP1 -> NEAR -> G1
SP1 -> SW.1
SW.2 -> X1.1 -> FAR.1
FAR.2 -> G1
SP1 -> F2 -> BESIDE -> G1
"""


def blown(*told: ToldOfFuse) -> BlownFuse:
    return blown_fuse(circuit_of(platform_from(TEXT)), VehicleState(), told)


def words(its: BlownFuse) -> str:
    return " ".join(dead_text(its.circuit.platform, its).split())


ON, OFF = (FurtherChange("SW", "on"),), (FurtherChange("SW", "off"),)


def test_it_blows_only_when_switched_on() -> None:
    its = blown(ToldOfFuse("F1", False, ON), ToldOfFuse("F1", True, OFF))
    links = {str(its.circuit.links[one.link].b) for one in its.places if one.link >= 0}
    assert "FAR.1" in links and "SW.2" in links
    assert {one.load for one in its.places if one.load} == {"FAR"}
    assert "NEAR" not in words(its).split("CLEARED")[0].split("NEXT")[0]
    assert its.cleared


def test_a_short_behind_another_fuse_would_blow_that_one() -> None:
    its = blown(ToldOfFuse("F1", False, ON))
    assert {one.load for one in its.places if one.load} == {"NEAR", "FAR"}


def test_with_the_plug_parted_what_is_behind_it_is_off_the_meter() -> None:
    its = blown(ToldOfFuse("F1", False, ON), ToldOfFuse("F1", True, OFF))
    plug = next(one for one in its.partings if one.part == "X1")
    assert any(place.load == "FAR" for place in plug.behind)
    assert not set(plug.behind) & set(plug.before)
    assert len(plug.behind) + len(plug.before) == len(its.places)


def test_nothing_is_left_where_it_held_in_the_same_state() -> None:
    its = blown(ToldOfFuse("F1", False, ON), ToldOfFuse("F1", True, ON))
    assert not its.places and "Nothing is left" in words(its)


def test_the_odds_add_up_and_the_fuse_is_never_bridged() -> None:
    its = blown(ToldOfFuse("F1", False, ON))
    assert abs(sum(one.odds for one in its.places) - 1) < 1e-9
    assert "find the short before the next one goes in" in words(its)
