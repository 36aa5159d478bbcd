import pytest

from circuitmap.notation.lines import LONGEST_STATEMENT
from circuitmap.notation.reading import read_text
from circuitmap.notation.tidy import tidy
from circuitmap.source import SourceFile


def tidied(text: str) -> str:
    return tidy(SourceFile("a.circuit", text))


def test_words_stand_one_blank_apart_and_signs_where_they_belong():
    assert tidied("CAB.F22->X14.14 in  OG/BK 0.75mm2->HEATER.A1 ,DOORL.7 in RD/WH  1mm2") == (
        "CAB.F22 -> X14.14 in OG/BK 0.75mm2 -> HEATER.A1, DOORL.7 in RD/WH 1mm2\n"
    )
    assert tidied("network BODY can members BCM( 7,8 ),ECU") == "network BODY can members BCM (7, 8), ECU\n"
    assert tidied("bar B1 feeds F1 .. F9") == "bar B1 feeds F1..F9\n"
    assert tidied("BAT.-->G1") == "BAT.- -> G1\n"


def test_a_continuation_is_indented_by_four_and_stays_a_line_of_its_own():
    assert tidied('module HEATER\n\tsupply A1\n          at "below  the   seat"\n') == (
        'module HEATER\n    supply A1\n    at "below  the   seat"\n'
    )


def test_contacts_may_stand_apart():
    assert tidied("switch S positions a, b\n  closes 1 to 2 in a      closes 1 to 3 in b") == (
        "switch S positions a, b\n    closes 1 to 2 in a   closes 1 to 3 in b\n"
    )


def test_comments_of_neighbouring_lines_stand_below_each_other():
    assert tidied("box CAB # one\nbox ENGINE   # two\n\nbox C # three\n#  its own  \n") == (
        "box CAB      # one\nbox ENGINE   # two\n\nbox C # three\n#  its own\n".replace("C # three", "C  # three")
    )


def test_a_comment_keeps_its_column_when_it_can():
    text = "BAT.- -> G9 in BK 50mm2                # the pump has its own\n"
    assert tidied(text) == text


def test_what_cannot_be_read_stays_as_it_is():
    text = "fuse  CAB.F1   20A  oops(\nbox   CAB\n"
    assert tidied(text) == "fuse  CAB.F1   20A  oops(\nbox CAB\n"


def test_empty_lines_at_the_ends_go_and_two_in_between_stay():
    assert tidied("\n\nbox A\n\n\n\n\nbox B\n\n\n") == "box A\n\n\nbox B\n"
    assert tidied("\n  \n") == ""


def test_lines_end_as_the_first_one_does():
    assert tidied("box  A\r\nbox B\n") == "box A\r\nbox B\r\n"
    assert tidied("box  A\nbox B\r\n") == "box A\nbox B\n"


def test_order_is_never_changed():
    assert tidied("B -> A\nA -> C\nbox B\nbox A\n") == "B -> A\nA -> C\nbox B\nbox A\n"


@pytest.mark.parametrize(
    "line",
    (
        "fuse  CAB.F1   7,5A",
        "fuse CAB.F1 7,5A,CAB.F2  10A",
        "fuse  CAB.F1   20",
        "box   CAB at  'left'",
        "LOCK:7   -> CAB.F1",
        "lamp   L1   running 2A running  3A",
        "fuse  fuse",
        "lamp  L1 \u200b \"x\"",
        "bar   B1 feeds F9 ..  F1",
        "    lamp   L1",
        "lamp   L1 \"" + "x" * LONGEST_STATEMENT + '"',
    ),
)  # fmt: skip
def test_a_line_with_a_fault_stays_as_it_was_typed(line: str):
    """With blanks put in, the message could be a different one, and what it suggests would be lost."""
    text = f"{line}\n\nbox   CAB\n"
    assert tidied(text) == f"{line}\n\nbox CAB\n"
    told = [
        [(p.headline, p.suggestion) for p in read_text(SourceFile("a.circuit", its))[1]] for its in (text, tidied(text))
    ]
    assert told[0] and told[0] == told[1]


def test_all_lines_of_a_statement_with_a_fault_stay():
    text = "module  M   # one\n  asleep  2,5mA # two\n    # three\n   supply   1\nbox  CAB\n"
    assert tidied(text) == text.replace("box  CAB", "box CAB")
