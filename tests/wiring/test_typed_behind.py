"""What was typed `not hands-off` outranks the words of the switch, relay or fuse before it."""

import pytest

from circuitmap.wiring.hands_off import hands_off_things
from tests.circuit.told import circuit

BELT = """battery BAT
fuse F0 60A, F1 20A "load-floor belt", F2 10A
bar B feeds F1, F2
connector X1
ground G
switch SW "load-floor belt switch" positions off, on closes 1 to 2 in on
motor BELT "load-floor belt" running 18A not hands-off
{more}
BAT.+ -> F0 -> B
F1 -> SW.1
SW.2 -> X1.1 -> BELT.1
BELT.2 -> G
BAT.- -> G
"""


def by_words(text: str) -> set[str]:
    return set(hands_off_things(circuit(text).platform).parts)


def test_words_give_way_to_what_was_typed_behind_them() -> None:
    text = BELT.format(more="")
    assert by_words(text) == set()
    found = circuit(text).hands_off
    assert all(found.may_touch(name) for name in ("SW", "F1", "F0", "B", "X1", "BELT", "SW.2"))


def test_without_that_word_they_stay() -> None:
    text = BELT.format(more="").replace(" not hands-off", "")
    assert {"SW", "F1"} <= by_words(text)


@pytest.mark.parametrize(
    ("behind", "wired"),
    [
        ("lamp LAMP", "SW.2 -> LAMP -> G"),
        ("module BODY supply 1 ground 2 sense 5", "SW.2 -> BODY.5\nF2 -> BODY.1\nBODY.2 -> G"),
        ("module BAG supply 1 ground 2 hands-off restraint", "SW.2 -> BAG.1\nBAG.2 -> G"),
        ("relay K make", "SW.2 -> K.86\nK.85 -> G"),
        ("", 'SW.2 -> ? "goes on elsewhere"'),
        ("switch S2 positions off, on closes 1 to 2 in on hands-off restraint", "SW.2 -> S2.1"),
        (
            "splice SP\nlamp LAMP\nswitch S2 positions off, on closes 1 to 2 in on",
            "SW.2 -> SP -> S2.1\nS2.2 -> LAMP -> G",
        ),
        ("lamp LAMP\nfuse F9 5A", "SW.2 -> F9 -> LAMP -> G"),
    ],
)
def test_where_anything_else_hangs_behind_the_words_stay(behind: str, wired: str) -> None:
    assert {"SW", "F1"} <= by_words(BELT.format(more=f"{behind}\n{wired}"))


def test_a_relay_gives_way_by_what_its_contact_feeds_and_a_switch_in_the_ground_too() -> None:
    text = """battery BAT
fuse F1 20A
relay K "belt relay" make
switch SW "belt switch" positions off, on closes 1 to 2 in on
motor BELT "load-floor belt" not hands-off
ground G
BAT.+ -> F1 -> K.30
K.87 -> BELT.1
BELT.2 -> SW.1
SW.2 -> G
F1 -> K.86
K.85 -> G
BAT.- -> G
"""
    assert by_words(text) == set()
    assert {"K", "SW"} <= by_words(text.replace("not hands-off", ""))


def test_what_was_typed_hands_off_never_gives_way() -> None:
    text = BELT.format(more="").replace("closes 1 to 2 in on\n", "closes 1 to 2 in on hands-off restraint\n", 1)
    assert "SW" in by_words(text)
    fuse = BELT.format(more='fuse F1 20A "load-floor belt" hands-off restraint')
    fuse = fuse.replace('F0 60A, F1 20A "load-floor belt", F2', "F0 60A, F2")
    assert "F1" in by_words(fuse)


def test_a_sheet_of_a_hands_off_system_is_no_word_of_its_parts() -> None:
    text = BELT.format(more="").replace("BAT.+ -> F0", 'sheet "50" "Airbag"\nBAT.+ -> F0').replace(
        "switch SW", 'sheet "50" "Airbag"\nswitch SW'
    )  # fmt: skip
    assert "SW" in by_words(text.replace('"load-floor belt switch"', ""))
