"""What nobody may touch: every kind of hands-off thing in every place where it can hide."""

import pytest

from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.circuit.links import circuit_of
from circuitmap.flows.questions import platform_from
from circuitmap.problems import Severity
from circuitmap.source import SourceFile
from tests.circuit.hands_off_platforms import KINDS, PLACES, Hidden, text_of


def map_of(text: str) -> HandsOffMap:
    platform = platform_from((SourceFile("p.circuit", text),))
    assert [p.headline for p in platform.problems if p.severity is Severity.ERROR] == []
    return circuit_of(platform).hands_off


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("hidden", PLACES, ids=lambda its: its.place)
def test_nothing_that_reaches_it_may_be_touched(hidden: Hidden, kind: str) -> None:
    found = map_of(text_of(hidden, kind))
    assert [name for name in hidden.never if found.may_touch(name)] == []
    for name in hidden.never:
        its = found.why_not(name)
        assert its is not None and its.reason.why == kind


@pytest.mark.parametrize("hidden", PLACES, ids=lambda its: its.place)
def test_what_does_not_reach_it_stays_free(hidden: Hidden) -> None:
    found = map_of(text_of(hidden, "restraint"))
    assert [(name, found.why_not(name)) for name in hidden.free if not found.may_touch(name)] == []


@pytest.mark.parametrize("hidden", PLACES, ids=lambda its: its.place)
def test_nothing_is_hands_off_where_somebody_said_that_it_is_not(hidden: Hidden) -> None:
    text = text_of(hidden, "gas").replace("hands-off gas", "not hands-off")
    found = map_of(text)
    assert [name for name in (*hidden.never, *hidden.free) if not found.may_touch(name)] == []


def test_words_count_until_somebody_says_what_it_is() -> None:
    two = 'module M "airbag" supply 1 ground 2{}\nfuse F1 5A\nbattery BAT\nBAT.+ -> F1 -> M.1\nM.2 -> case\n'
    assert not map_of(two.format("")).may_touch("F1")
    assert map_of(two.format(" not hands-off")).may_touch("F1")


def test_a_clamp_may_go_round_what_feeds_it_and_not_round_itself() -> None:
    found = map_of(text_of(PLACES[2], "restraint"))
    assert found.may_clamp("CAB.K1") and found.may_clamp("CAB.F3")
    assert not found.may_clamp("M")


def test_a_relay_that_joins_two_batteries_feeds_nothing_that_lives_without_it() -> None:
    found = map_of(
        "battery B1\nbattery B2\nfuse F1 60A bolted, F2 60A bolted, F3 10A mini\nrelay K make\nmodule M supply 1 ground 2 "
        "hands-off restraint\nbar B feeds F1, F3\nB1.+ -> B\nF1 -> K.30\nK.87 -> F2 -> B2.+\nF3 -> M.1\nM.2 -> case\n"
    )
    assert found.may_touch("K") and found.may_touch("F2")
    assert not found.may_touch("F3")


def test_a_doubt_holds_back_its_own_fuse_and_nothing_before_it() -> None:
    text = (
        "battery BAT\nfuse F1 60A bolted, F2 5A mini\nrelay K make\nmodule SDM supply 1 ground 2\nmodule BCM\nbar B feeds F2\n"
        "BAT.+ -> F1 -> K.30\nK.87 -> B\nF2 -> SDM.1\nSDM.2 -> case\nBAT.+ -> K.86\nK.85 -> BCM.3\n"
    )
    found = map_of(text)
    assert not found.may_touch("SDM") and not found.may_touch("F2")
    assert found.may_touch("K") and found.may_touch("F1")
    sure = map_of(text.replace("ground 2\nmodule BCM", "ground 2 hands-off restraint\nmodule BCM"))
    assert not sure.may_touch("K") and not sure.may_touch("F1")


CHARGED = """\
battery START
battery HOUSE
box CAB
fuse CAB.F32 10A "restraint system" hands-off restraint
module SDM "restraint control" supply 1 ground 2 hands-off restraint
bar CAB.B1 feeds CAB.F32
fuse FM1 30A, FM2 5A
{middle}
START.+ -> CAB.B1
CAB.F32 -> SDM.1
SDM.2 -> case
HOUSE.+ -> FM1 -> MCHG.B
MCHG.31 -> case
MCHG.S -> FM2 -> {to}
START.- -> case
HOUSE.- -> case
"""
CHARGER = 'charger MCHG "mains charger" supply B ground 31\noutput MCHG.S feeds from B "trickle"'
MODULE = 'module MCHG "cab module" supply B ground 31\noutput MCHG.S feeds from B "cab feed"'


def test_a_fuse_before_a_charger_does_not_feed_what_its_trickle_leads_to() -> None:
    """What is live without it by its own battery does not hang on another battery's charger; what is not does."""
    found = map_of(CHARGED.format(middle=CHARGER, to="CAB.B1"))
    assert found.may_touch("FM1") and found.may_touch("MCHG")
    assert not found.may_touch("CAB.B1") and not found.may_touch("CAB.F32")
    alone = map_of(CHARGED.format(middle=CHARGER, to="CAB.B1").replace("START.+ -> CAB.B1\n", ""))
    assert not alone.may_touch("FM1") and not alone.may_touch("FM2"), "its only feed"
    made = MODULE.replace("feeds from", "feeds 12V from")
    assert map_of(CHARGED.format(middle=made, to="CAB.B1")).may_touch("FM1"), "a converter"
    passed_on = map_of(CHARGED.format(middle=MODULE, to="CAB.B1"))
    assert not passed_on.may_touch("FM1"), "no charger: what it passes on is a feed"
    mixed = CHARGED.format(middle=CHARGER, to="CAB.B1") + "switch LINK positions off, on closes 1 to 2 in on\n"
    mixed += "fuse FX 10A\nHOUSE.+ -> FX -> LINK.1\nLINK.2 -> FM2.1\n"
    assert not map_of(mixed).may_touch("FX"), "a contact feeds it, too"
