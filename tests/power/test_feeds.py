"""When each terminal is live, derived: always, in conditions, more than two, unknown, never."""

from itertools import product

import pytest

from circuitmap.circuit.feeding import feeding_of
from circuitmap.circuit.links import Circuit
from circuitmap.power import alternatives
from circuitmap.power.evaluate import evaluate
from circuitmap.power.feeds import Feed, feeds_of
from circuitmap.power.other_ways import with_other_ways
from circuitmap.power.state import VehicleState
from circuitmap.power.survey import Survey
from circuitmap.reports.words.feed_words import feed_words
from circuitmap.wiring.fitting import Answer
from tests.power.random_platforms import random_circuit
from tests.power.vehicle import terminal, vehicle

CIRCUIT = vehicle("""
naming SP* splice, X* connector, G* ground
option TOW
battery BAT 60Ah
key IGN positions off, acc, run, start closes 30 to 15 in run, start closes 30 to 75 in acc, run
switch LIGHTS positions off, side, head closes 15 to 58 in side, head closes 15 to 56 in head
switch BEAM positions dip, main closes 56 to 56a in main closes 56 to 56b in dip
switch FLASH positions free, pulled closes 30 to 56a in pulled
switch A positions off, on closes 1 to 2 in on
switch B positions off, on closes 1 to 2 in on
switch C positions off, on closes 1 to 2 in on
relay K make
fuse F1 10A, F2 10A, F3 10A, F4 10A, F5 10A, F6 10A, F7 10A
fuse F8 10A if TOW
module M supply 1 ground 2
network BODY can members M
output M.3 grounds while awake
output M.4 feeds
stated F7 in run
BAT.- -> G1
BAT.+ -> F1
BAT.+ -> IGN.30
IGN.15 -> F2
IGN.75 -> F3
F2 -> LIGHTS.15
LIGHTS.58 -> F4
LIGHTS.56 -> BEAM.56
BEAM.56a -> F5
F1 -> FLASH.30
FLASH.56a -> F5
BEAM.56b -> SP9
SP9 -> A.1
A.2 -> SP5
F1 -> M.1
M.2 -> G1
F1 -> K.86
K.85 -> M.3
F1 -> K.30
K.87 -> SP1
M.4 -> SP2
? -> F6
BAT.+ -> F8
F1 -> B.1
B.2 -> C.1
C.2 -> SP3
G1 -> SP4
""")


def feed_of(written: str, circuit: Circuit = CIRCUIT, **fitting: bool) -> Feed:
    return feeds_of(circuit, fitting, [terminal(written)])[terminal(written)]


def in_words(feed: Feed) -> list[str]:
    return [" and ".join(map(str, changes)) for changes in feed.conditions]


@pytest.mark.parametrize(
    ("place", "kind", "conditions"),
    [
        ("F1.1", "always", []),
        ("F2.1", "in", ["IGN=run", "IGN=start"]),
        ("F3.1", "in", ["IGN=acc", "IGN=run"]),
        ("F4.1", "in", [
            "IGN=run and LIGHTS=side", "IGN=run and LIGHTS=head",
            "IGN=start and LIGHTS=side", "IGN=start and LIGHTS=head",
        ]),
        ("F5.1", "in", ["FLASH=pulled"]),
        ("SP9", "in", ["IGN=run and LIGHTS=head", "IGN=start and LIGHTS=head"]),
        ("SP5", "more", []),
        ("SP1", "in", ["BODY"]),
        ("SP2", "in", ["M.4"]),
        ("SP3", "in", ["B=on and C=on"]),
        ("F6.1", "unknown", []),
        ("F7.1", "in", ["IGN=run"]),
        ("SP4", "never", []),
    ],
)  # fmt: skip
def test_feeds(place: str, kind: str, conditions: list[str]) -> None:
    feed = feed_of(place)
    assert (feed.kind, in_words(feed)) == (kind, conditions)


FLASHERS = """
battery BAT 60Ah
key IGN positions off, run, start closes 30 to 15 in run, start
switch HAZ positions off, on closes 1 to 2 in on
switch STALK positions free, left, right closes 15 to L in left closes 15 to R in right
fuse F1 10A
BAT.+ -> F1 -> IGN.30
F1 -> HAZ.1
IGN.15 -> STALK.15
HAZ.2 -> FLASH.1
STALK.L -> FLASH.1
lamp FLASH supply 1 ground 2
"""


def test_a_second_way_that_takes_the_key_and_one_change_more_is_told_after_the_single_one() -> None:
    feed = feed_of("FLASH.1", vehicle(FLASHERS))
    assert in_words(feed) == ["HAZ=on", "IGN=run and STALK=left", "IGN=start and STALK=left"]
    assert not feed.cut_off


def test_alternatives_are_found_up_to_a_bound_and_the_rest_is_owned_up_to(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(alternatives, "MOST_ALTERNATIVES", 2)
    feed = feed_of("FLASH.1", vehicle(FLASHERS))
    assert feed.cut_off and in_words(feed) == ["HAZ=on", "IGN=run and STALK=left"]
    assert feed_words(feed) == "live with HAZ on, or in run with STALK left, and perhaps with more (cut off)"


def test_what_an_answer_rests_on() -> None:
    assert [(its.kind, its.name) for its in feed_of("F6.1").unknown] == [("open end", "F6.1")]
    assert [(its.kind, its.name) for its in feed_of("F7.1").unknown] == [("label", "F7.1")]
    assert feed_of("F1.1").unknown == ()


def test_equipment_that_is_not_said_is_looked_at_as_if_it_were_there() -> None:
    unsaid = feed_of("F8.1")
    assert (unsaid.kind, [need.option for need in unsaid.if_fitted]) == ("always", ["TOW"])
    assert feed_of("F8.1", TOW=True).if_fitted == ()
    assert feed_of("F8.1", TOW=False).kind == "never"


def test_a_feed_holds_in_the_states_it_names() -> None:
    """On random vehicles: "always" is live when parked, each condition makes its terminal live, and no single change
    does so where it takes more than one."""
    kinds, with_key = {"always": 0, "in": 0, "never": 0, "unknown": 0}, 0
    for seed in range(60):
        circuit = random_circuit(seed)
        fitting = {"TOW": True, "COLD": False}
        survey = Survey(circuit, fitting)
        singles = [survey.after((change,)) for change in survey.singles]
        for place, feed in feeds_of(circuit, fitting).items():
            kinds[feed.kind] = kinds.get(feed.kind, 0) + 1
            parked = survey.parked.supply[place]
            assert (parked == Answer.YES) == feed.always
            for changes in feed.conditions:
                assert survey.after(changes).supply[place] == Answer.YES
            alone = [its for its in singles if its.supply[place] == Answer.YES]
            if feed.kind in ("more", "never"):
                assert not alone
            for changes in feed.conditions:
                assert len(changes) == 1 or not any((change,) in feed.conditions for change in changes)
            if feed.kind == "in" and alone:
                assert len([c for c in feed.conditions if len(c) == 1]) == len(alone)
            if feed.kind == "in" and not feed.cut_off:
                pairs = {changes for changes in feed.conditions if changes[0].kind == "key" and len(changes) == 2}
                for pair in product(survey.key_changes, survey.other_changes):
                    lives = survey.after(pair).supply[place] == Answer.YES
                    if lives and not any(survey.after((one,)).supply[place] == Answer.YES for one in pair):
                        with_key += 1
                        assert pair in pairs or pair[1].kind in ("network", "module"), (seed, place, pair)
            if feed.kind == "never":
                everything = VehicleState(fitting=fitting, stuck=frozenset(circuit.contacts))
                assert evaluate(circuit, everything).supply[place] == Answer.NO
    assert min(kinds.values()) > 20, kinds
    assert with_key > 20, with_key


def test_a_relay_whose_coil_has_two_ways_makes_two_conditions() -> None:
    """Flashing needs the stalk alone; main beam needs the key, the light switch and the stalk's other contact."""
    circuit = vehicle(
        """
platform "Beam"
battery BAT
key IGN positions off, run closes 30 to 15 in run
switch LIGHT positions off, on closes 1 to 2 in on
switch STALK positions rest, main, flash closes 3 to 86 in main closes 1 to 86 in flash
relay K15 make
relay K make
lamp L
BAT.-, K.85, K15.85, L.2 -> case
BAT.+ -> IGN.30, STALK.1, K.30, K15.30
IGN.15 -> K15.86
K15.87 -> LIGHT.1
LIGHT.2 -> STALK.3
STALK.86 -> K.86
K.87 -> L.1
"""
    )
    lamp = terminal("L.1")
    feed = with_other_ways(feeding_of(circuit), feeds_of(circuit, {}, [lamp]))[lamp]
    assert {frozenset((its.name, its.position) for its in changes) for changes in feed.conditions} == {
        frozenset({("STALK", "flash")}),
        frozenset({("IGN", "run"), ("LIGHT", "on"), ("STALK", "main")}),
    }


def test_what_is_live_while_a_network_is_awake_is_so_by_two_changes_that_wake_it() -> None:
    """Each single change that wakes a member is found; MS and S2 wake it only together, and are told all the same."""
    circuit = vehicle("""
battery BAT
fuse F1 10A, F2 10A, F3 10A
switch MS positions off, on closes 1 to 2 in on
switch S2 positions off, on closes 1 to 2 in on
switch S3 positions off, on closes 1 to 2 in on
module A supply 1 ground 2 wake 4 wake 5
module B supply 1 ground 2
output B.3 feeds from 1 while awake
lamp L
network N can members A, B
BAT.+ -> F1 -> A.1, B.1
BAT.+ -> F2 -> MS.1
MS.2 -> S2.1
S2.2 -> A.4
BAT.+ -> F3 -> S3.1
S3.2 -> A.5
B.3 -> L -> case
""")
    lamp = terminal("L.1")
    found = feeds_of(circuit, {}, [lamp])
    both = {("MS", "on"), ("S2", "on")}
    told = [{(its.name, its.position) for its in changes} for changes in found[lamp].conditions]
    assert {("S3", "on")} in told and both not in told
    feed = with_other_ways(feeding_of(circuit), found)[lamp]
    assert both in [{(its.name, its.position) for its in changes} for changes in feed.conditions]
    assert evaluate(circuit, VehicleState(switches={"MS": "on", "S2": "on"})).supply[lamp] == Answer.YES
