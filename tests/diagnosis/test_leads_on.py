"""A step after which all would be as before is not the first where another one sends somebody on, and tells enough by
the minute; and what is missing at a post is sought there beside a box that is owed."""

from circuitmap.diagnosis.next_test.doing import Doing
from circuitmap.diagnosis.next_test.handling import Action
from circuitmap.diagnosis.next_test.planned import OutcomeBranch, PlannedTest, leads_on, leads_on_first
from circuitmap.diagnosis.next_test.ranking import chosen_steps
from circuitmap.diagnosis.next_test.scoring import Scored
from tests.diagnosis.test_answers import asked, circuit_from
from tests.diagnosis.test_post_and_its_cables import DRESSER, ROW
from tests.diagnosis.test_steps_worth_doing import scored, steps

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
    first, second = nobody(0.7), parts("read-fuse", 0.4)
    assert leads_on_first([first, second], "BAT") == [second, first]
    little = parts("read-fuse", 0.2)
    assert leads_on_first([first, little], "BAT") == [first, little]


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


def test_the_posts_are_a_step_beside_a_row_while_more_is_missing_there() -> None:
    """Two in five of what is left begins at the post, and the alternator's cable does not."""
    behind = circuit_from(DRESSER.replace("BAT.+ -> ALT.B+", "M1.2 -> ALT.B+"))
    found = asked(behind, "BAT=0.12A", "M1=0.05A")
    assert ("at-the-post", ("BAT", "STA")) in steps(found) and ROW in steps(found)
    first = found.tests.choices[0]
    assert leads_on(first)


def test_of_steps_that_tell_about_as_much_the_one_that_leads_on_is_offered() -> None:
    """Two fuses pulled in turn: after the first the network would lead as before; the other one tells nine tenths."""
    stays, on = (scored("pull-fuses", name, chances, its) for name, chances, its in PULLED)
    little = scored("pull-fuses", "F3", [[0.6, 0.4], [0.4, 0.6]], 0.3)

    def chosen(*its: Scored) -> list[Scored]:
        return chosen_steps(its, lambda _: True, lambda *_: False, lambda _: True, lambda s: s is not stays, False)

    assert chosen(stays, on) == [on]
    assert chosen(stays, little) == [stays]


PULLED = (("F1", [[0.9, 0.1], [0.1, 0.9]], 1.0), ("F2", [[0.8, 0.2], [0.1, 0.9]], 0.9))
