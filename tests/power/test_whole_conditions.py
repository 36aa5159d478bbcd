"""The conditions in which something is said to be live are all there are, or it is said that there may be more; and what
takes the feed away again is said, too."""

from random import Random

import pytest

from circuitmap.circuit.feeding import Feeding, feeding_of
from circuitmap.circuit.links import circuit_of
from circuitmap.power.evaluate import Powered
from circuitmap.power.feeds import Feed, feeds_of
from circuitmap.power.nets import NO, YES
from circuitmap.power.other_ways import with_other_ways
from circuitmap.power.survey import Changes, StateChange, Survey, survey_of
from circuitmap.reports.words.feed_words import feed_words
from circuitmap.wiring.parts import Terminal
from tests.power.random_platforms import platform_from, random_text

FITTED = {"TOW": True, "COLD": True}
SEEDS = [*range(40), 231, 347, 491, 529, 673, 788, 791]
"""Some, and those on which one of the two laws once did not hold."""

WINDLASS = """
battery B1
battery B2
naming G* ground
B1.- -> G1
B2.- -> G1
fuse F1 30A, F2 30A, F3 10A, F4 10A
switch S1 positions off, on closes 1 to 2 in on
switch S2 positions off, on closes 1 to 2 in on
switch S3 positions open, closed closes 1 to 2 in closed
key KEY positions off, on closes 1 to 2 in on
switch UPBUTTON positions released, pressed closes 1 to 2 in pressed
switch DNBUTTON positions released, pressed closes 1 to 2 in pressed
switch HAND positions middle, up, down closes 1 to 2 in up closes 1 to 3 in down
module U supply 30 ground 31 wake 15 sense UI, DI
output U.UP feeds from 30 while 15 and UI and not DI
relay K make
B1.+ -> F1 -> S1.1
B2.+ -> F2 -> S2.1
S1.2 -> S3.1
S3.2 -> S2.2
S1.2 -> F3 -> KEY.1
KEY.2 -> U.15
S2.2 -> F4 -> U.30
F4 -> UPBUTTON.1
F4 -> DNBUTTON.1
F4 -> HAND.1
UPBUTTON.2 -> U.UI
HAND.2 -> U.UI
DNBUTTON.2 -> U.DI
HAND.3 -> U.DI
U.31 -> G1
U.UP -> K.86
K.85 -> G1
"""

BEAMS = """
battery BAT
naming G* ground
BAT.- -> G1
fuse F1 20A, F2 10A
switch LIGHT positions off, side, head closes 1 to 2 in head
switch BEAM positions low, main closes 1 to 2 in main
relay K changeover
lamp DIPPED, MAIN
BAT.+ -> F1 -> LIGHT.1
LIGHT.2 -> K.30
LIGHT.2 -> BEAM.1
BEAM.2 -> K.86
K.85 -> G1
K.87a -> DIPPED.1
DIPPED.2 -> G1
K.87 -> MAIN.1
MAIN.2 -> G1
""".replace("lamp DIPPED, MAIN", "lamp DIPPED\nlamp MAIN")


def feed_at(text: str, terminal: Terminal) -> Feed:
    feeding = feeding_of(circuit_of(platform_from(text)), {})
    return with_other_ways(feeding, feeds_of(feeding.circuit, {}, [terminal]))[terminal]


def test_every_way_to_start_a_windlass_is_told() -> None:
    feed = feed_at(WINDLASS, Terminal("K", "86"))
    batteries = (("S1", "S2"), ("S1", "S3"))
    told = {frozenset(str(change) for change in its) for its in feed.conditions}
    for one, other in batteries:
        for up in ("UPBUTTON=pressed", "HAND=up"):
            closed = {"S1": "S1=on", "S2": "S2=on", "S3": "S3=closed"}
            assert frozenset(("KEY=on", closed[one], closed[other], up)) in told
    assert not feed.other_ways
    assert {its for (its,) in feed.but_not} == {
        StateChange("switch", "DNBUTTON", "pressed"),
        StateChange("switch", "HAND", "down"),
    }
    assert feed_words(feed).endswith("either HAND up or UPBUTTON pressed, but not with DNBUTTON pressed or HAND down")


def test_the_relay_that_takes_dipped_beam_away_is_told() -> None:
    dipped, high = (feed_at(BEAMS, Terminal(lamp, "1")) for lamp in ("DIPPED", "MAIN"))
    assert feed_words(dipped) == "live with LIGHT head, but not with BEAM main"
    assert feed_words(high) == "live with BEAM main and LIGHT head"


CORRIDOR = """
platform "Corridor" supply 12V
battery BAT
ground G
fuse F1 10A
lamp LAMP
switch MAIN positions off, on closes 1 to 2 in on
switch FRONT positions down, up closes 1 to 2 in down closes 1 to 3 in up
switch REAR positions down, up closes 1 to 2 in down closes 1 to 3 in up
BAT.- -> G
BAT.+ -> F1 -> MAIN.1
MAIN.2 -> FRONT.1
FRONT.2 -> REAR.2
FRONT.3 -> REAR.3
REAR.1 -> LAMP.1
LAMP.2 -> G
"""


def test_two_switches_that_undo_each_other_take_nothing_away_for_certain() -> None:
    """The usual corridor circuit: either switch puts the lamp out, both together light it again."""
    feed = feed_at(CORRIDOR, Terminal("LAMP", "1"))
    assert not feed.but_not
    assert {its for (its,) in feed.not_in_all} == {
        StateChange("switch", "FRONT", "up"),
        StateChange("switch", "REAR", "up"),
    }


def test_what_is_always_live_but_for_one_relay() -> None:
    text = BEAMS.replace("BAT.+ -> F1 -> LIGHT.1\n", "BAT.+ -> F1 -> LIGHT.1\nF1 -> K.30\n").replace(
        "LIGHT.2 -> K.30\n", ""
    )
    assert feed_words(feed_at(text, Terminal("DIPPED", "1"))) == "always live, but not with LIGHT head and BEAM main"


@pytest.mark.parametrize("seed", SEEDS)
def test_whatever_is_live_in_a_state_is_covered_by_a_condition(seed: int) -> None:
    feeding, survey, random = made_up(seed)
    feeds = feeds_at(feeding, random)
    for _ in range(12):
        changes = some_changes(survey, random)
        then = survey.after(changes)
        for terminal, feed in feeds.items():
            if then.supply[terminal] == YES and feed.kind in ("in", "never") and not (feed.cut_off or feed.other_ways):
                assert any(all(holds_in(then, its) for its in one) for one in feed.conditions), (terminal, changes)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_switch_that_makes_it_dead_is_told(seed: int) -> None:
    feeding, survey, random = made_up(seed)
    for terminal, feed in feeds_at(feeding, random).items():
        told = {*feed.but_not, *feed.not_in_all}
        for condition in feed.conditions[:3] if feed.kind == "in" else ():
            turned = {its.name for its in condition}
            others = [its for its in survey.singles if its.kind in ("key", "switch") and its.name not in turned]
            for change in others:
                if survey.after((*condition, change)).supply[terminal] == NO:
                    said = any(set(its) <= {change, *condition} for its in told)
                    assert said or is_live_at_rest_over(survey, change), (terminal, condition, change)


def made_up(seed: int) -> tuple[Feeding, Survey, Random]:
    circuit = circuit_of(platform_from(random_text(seed)))
    return feeding_of(circuit, FITTED), survey_of(circuit, FITTED), Random(seed)


def feeds_at(feeding: Feeding, random: Random) -> dict[Terminal, Feed]:
    circuit = feeding.circuit
    terminals = [pin for its in circuit.loads.values() for pin in its.supplies if pin in circuit.number]
    terminals = random.sample(terminals, min(8, len(terminals)))
    return dict(with_other_ways(feeding, feeds_of(circuit, FITTED, terminals)))


def some_changes(survey: Survey, random: Random) -> Changes:
    found: dict[tuple[str, str], StateChange] = {}
    for change in random.sample(survey.singles, min(len(survey.singles), random.randint(1, 6))):
        found[change.kind, change.name] = change
    return tuple(found.values())


def holds_in(then: Powered, change: StateChange) -> bool:
    if change.kind == "key":
        return then.run.key_position == change.position
    if change.kind == "switch":
        return then.state.switches.get(change.name) == change.position
    if change.kind == "network":
        return then.networks[change.name] == YES
    if change.kind == "module":
        return then.awake[change.name] == YES
    return then.contacts[change.name] == YES


def is_live_at_rest_over(survey: Survey, change: StateChange) -> bool:
    """Whether the switch carries plus in the parked vehicle: a main switch is told with the ways."""
    links = [i for i, its in survey.plan.switch_contacts.items() if its.switch == change.name]
    supply = survey.parked.supply
    return any(supply[survey.circuit.links[i].a] == YES for i in links)


def test_an_output_that_works_when_a_ground_goes_is_live_with_what_opens_that_ground() -> None:
    text = """
platform "Door" supply 12V
battery BAT
ground G
fuse F1 10A
module M supply 1 ground 2 wake 6 by opening
module N
switch DOOR positions shut, open closes 1 to 2 in shut
output M.14 feeds from 1 while 6
BAT.- -> G
BAT.+ -> F1 -> M.1
M.2 -> G
M.6 -> DOOR.1
DOOR.2 -> G
M.14 -> N.12
"""
    assert feed_words(feed_at(text, Terminal("N", "12"))).startswith("live with DOOR open")
