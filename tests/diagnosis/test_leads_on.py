"""A step after which all would be as before is not the first where another one sends somebody on, and tells enough by
the minute; and what is missing at a post is sought there beside a box that is owed."""

import pytest

from circuitmap.diagnosis.next_test.at_the_post import posts_to_look_at
from circuitmap.diagnosis.next_test.doing import Doing
from circuitmap.diagnosis.next_test.handling import Action, Handling
from circuitmap.diagnosis.next_test.planned import OutcomeBranch, PlannedTest, leads_on, leads_on_first
from circuitmap.diagnosis.next_test.ranking import chosen_steps
from circuitmap.diagnosis.next_test.scoring import Scored
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.evidence.evidence import Evidence
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_post_and_its_cables import DRESSER
from tests.diagnosis.test_steps_worth_doing import scored

Branch = tuple[str, float, str, float]


def planned(doing: Doing, bits: float, *branches: Branch, minutes: float = 5.0) -> PlannedTest:
    told = tuple(OutcomeBranch(outcome, its, part, then) for outcome, its, part, then in branches)
    return PlannedTest(Action(doing, (f"{doing}{bits}",), minutes, minutes, 0.0), bits, told)


def same(doing: Doing, bits: float) -> PlannedTest:
    return planned(doing, bits, ("some", 0.9, "NET", 0.9), ("most", 0.1, "NET", 0.95))


def nobody(bits: float) -> PlannedTest:
    return planned("clamp", bits, ("quiet", 0.5, "A", 0.2), ("some", 0.2, "B", 0.2), ("most", 0.3, "C", 0.3))


def parts(doing: Doing, bits: float, elsewhere: float = 0.4) -> PlannedTest:
    return planned(doing, bits, ("quiet", 1.0 - elsewhere, "A", 0.2), ("most", elsewhere, "B", 0.8))


def test_what_leads_on() -> None:
    assert not leads_on(same("read-fuse", 0.1)) and not leads_on(nobody(0.7))
    assert leads_on(parts("clamp", 0.4)) and not leads_on(parts("clamp", 0.4, elsewhere=0.06))
    row = planned(
        "read-box", 0.5, ("none draws", 0.8, "A", 0.2), *((f"only F{n}", 0.05, f"F{n}", 0.7) for n in range(4))
    )
    assert leads_on(row)
    two = planned("unplug", 0.5, ("normal", 0.3, "A", 0.99), ("stays", 0.7, "A", 0.99))
    seconds = tuple(b._replace(beside=name, beside_then=0.9) for b, name in zip(two.branches, "BC", strict=True))
    assert not leads_on(two) and leads_on(two._replace(branches=seconds, of_two=True))
    look = planned("at-the-post", 0.5, ("found", 0.3, "A", 0.3), ("not found", 0.7, "A", 0.2))
    assert leads_on(look)


def test_a_step_that_leads_on_comes_before_one_that_does_not() -> None:
    first, second = same("clamp", 0.7), parts("read-fuse", 0.75)
    assert leads_on_first([first, second], "BAT") == [second, first]
    little = parts("read-fuse", 0.6)
    assert leads_on_first([first, little], "BAT") == [first, little]


def test_what_halves_while_nothing_leads_gives_way_to_more_only() -> None:
    """A feeder clamped at the beginning names nobody: neither a look round nor a single fuse comes before it, but the
    post and its cables, or a row, that tell as much in all."""
    first = nobody(0.7)
    for doing in ("read-fuse", "look"):
        assert leads_on_first([first, parts(doing, 0.8)], "BAT")[0] == first
    post, less = parts("at-the-post", 1.4), parts("at-the-post", 0.6)
    assert leads_on_first([first, post], "BAT") == [post, first]
    assert leads_on_first([first, less], "BAT") == [first, less]


def test_nothing_is_taken_out_and_the_vehicle_hardly_woken_for_it() -> None:
    first, out = same("read-fuse", 0.3), parts("unplug", 0.9)
    assert leads_on_first([first, out], "BAT") == [first, out]
    scan = planned("inputs", 0.5, ("a wrong input", 0.5, "A", 0.3), ("all right", 0.5, "NET", 0.9))
    assert leads_on_first([first, scan], "BAT") == [first, scan]
    much = scan._replace(bits=0.9)
    assert leads_on_first([first, much], "BAT") == [much, first]


def test_the_total_is_read_first_whatever_it_leaves() -> None:
    total = planned("clamp", 0.3, ("quiet", 0.5, "A", 0.2), ("most", 0.5, "B", 0.2))
    other = parts("read-fuse", 0.4)
    assert leads_on_first([total, other], total.action.parts[0]) == [total, other]


@pytest.mark.parametrize(
    ("added", "read", "share", "is_looked_at"),
    [
        ((), ("M1", "M2"), 0.4, True),  # all fuses there were read: what is missing is at the post itself
        ((), ("M1",), 0.4, False),  # the other one is read sooner
        ((), ("M1",), 0.7, True),
        ((), ("M1", "M2"), 0.3, False),
        ((("tool charger", "BAT"),), ("M1", "M2"), 0.4, False),  # somebody was there, and found something
    ],
)
def test_when_a_post_is_worth_looking_at(
    added: tuple[tuple[str, str], ...], read: tuple[str, ...], share: float, is_looked_at: bool
) -> None:
    behind = circuit_from(DRESSER.replace("BAT.+ -> ALT.B+", "M1.2 -> ALT.B+"))
    ready = prepared_for(behind, {}, Evidence())
    at_post = [n for n, f in enumerate(ready.faults) if f.part in ("STA", "something on BAT")]
    weights = [share / len(at_post) if n in at_post else 0.0 for n in range(len(ready.faults))]
    hand = Handling(ready.parked, added)
    found = posts_to_look_at(weights, ready.faults, hand, read)
    assert found == ([("BAT", "STA")] if is_looked_at else [])


def test_of_steps_that_tell_about_as_much_the_one_that_leads_on_is_offered() -> None:
    """Two fuses pulled in turn: after the first the network would lead as before; the other one tells nine tenths."""
    stays, on = (scored("pull-fuses", name, chances, its) for name, chances, its in PULLED)
    little = scored("pull-fuses", "F3", [[0.6, 0.4], [0.4, 0.6]], 0.3)

    def chosen(*its: Scored) -> list[Scored]:
        return chosen_steps(
            its,
            lambda _: True,
            lambda *_: False,
            lambda _: True,
            lambda s, other: s is not stays and other is stays,
            False,
        )

    assert chosen(stays, on) == [on]
    assert chosen(stays, little) == [stays]


PULLED = (("F1", [[0.9, 0.1], [0.1, 0.9]], 1.0), ("F2", [[0.8, 0.2], [0.1, 0.9]], 0.9))
