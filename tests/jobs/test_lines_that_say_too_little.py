"""A line that was cut off, or that says two things about one place, is refused; the same thing said twice is told."""

import pytest

from circuitmap.failures import LimitReached, WrongUse
from circuitmap.jobs.short_line import LONGEST_LINE, LONGEST_WORD, entry_of
from circuitmap.jobs.typed_row import NotAsItStands
from circuitmap.jobs.typed_slips import MOST_TRIED
from tests.fuzzing.card_lines import van
from tests.work_done import steps_of


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("CAB mV: all 0.0 except", "No fuse stands after except"),
        ("CAB mV: all 0.0 but", "No fuse stands after but"),
        ("CAB mV: all 0.0 except;", "No fuse stands after except"),
        ("CAB mV: all 0.0 except; total 1A", "No fuse stands after except"),
        ("CAB mV: all 0.0 except not read F30", "No fuse stands after except"),
        ("CAB mV: all 0.0 except F22 0.6 except", "No fuse stands after except"),
        ("CAB mV: all 0.0 except F22", "F22 has no value"),
        ("CAB mV: all 0.0 except F22 0.6 F14", "F14 has no value"),
        ("CAB mV: all 0.0 except F22 not read F14", "F22 has no value"),
        ("CAB mV: all 0.0 except F22 0.6,", "ends with a comma"),
        ("CAB mV: all 0.0,", "ends with a comma"),
        ("CAB mV: all 0.0 not read", "No fuse stands after not read"),
        ("CAB mV: all 0.0 except F22 0.6, not read", "No fuse stands after not read"),
        ("CAB mV: all", "all needs a value"),
        ("CAB mV:", "reads no fuse"),
        ("scan silent", "No module stands after silent"),
        ("scan silent LIFT unsteady", "No module stands after unsteady"),
        ("out ,", "needs something after it"),
        ("back and", "needs something after it"),
        ("codes ,", "needs something after it"),
        ("option ,", "needs something after it"),
        ("without the", "needs something after it"),
        ("tested ,", "says what was tested"),
        ("log floor 0.1A peak", "peak is not understood"),
    ],
)
def test_a_line_that_was_cut_off_is_refused(line: str, says: str) -> None:
    with pytest.raises(WrongUse, match=says) as refused:
        entry_of(van(), line)
    assert refused.value.advice or "value" in says


@pytest.mark.parametrize(
    ("line", "both"),
    [
        ("F22=3A F22=4A", ("F22 3A", "F22 4A")),
        ("F22=3A; CAB.F22=4A", ("F22 3A", "CAB.F22 4A")),
        ("f22=3A, F22=3.0A", ("f22 3A", "F22 3.0A")),
        ("CAB mV: F22 0.6 F22 0.0", ("F22 0.6", "F22 0.0")),
        ("CAB mV: all 0.0 except F22 0.6 f22 0.7", ("F22 0.6", "f22 0.7")),
        ("CAB mV: all 0.0 except F22 0.6; F22=0.1mV", ("F22 0.6", "F22 0.1mV")),
        ("CAB mV: all 0.0; F22=0.1mV", ("all 0.0", "F22 0.1mV")),
        ("CAB mV: all 0.0 except F22 0.6, not read F22", ("F22 0.6", "not read")),
        ("total 1A; total 2A", ("total 1A", "total 2A")),
        ("total 1A; BAT=2A", ("total 1A", "BAT 2A")),
        ("log floor 0.1A peak 1A mean 0.3A mean 0.4A", ("mean 0.3A", "mean 0.4A")),
        ("tested LIFT inputs fine inputs bad", ("inputs fine", "inputs bad")),
        ("scan silent LIFT answers lift", ("silent LIFT", "answers lift")),
    ],
)
def test_a_place_told_twice_is_refused_with_both(line: str, both: tuple[str, str]) -> None:
    with pytest.raises(NotAsItStands) as refused:
        entry_of(van(), line)
    assert all(words in refused.value.message for words in both), refused.value.message


@pytest.mark.parametrize(
    ("line", "fields"),
    [
        ("F22=3A CAB.F22=3A", {"read": (("CAB.F22", "3A"),)}),
        ("total 1A; total=1A", {"total": "1A"}),
        ("CAB mV: F22 0.6 f22 0.6", {"read": (("CAB.F22", "0.6mV"),)}),
        ("tested LIFT inputs fine inputs fine", {"tested": (("LIFT inputs", "fine"),)}),
    ],
)
def test_the_same_twice_is_written_once_and_told(line: str, fields: dict[str, object]) -> None:
    read = entry_of(van(), line)
    assert dict(read.fields) == fields
    assert "both times" in " ".join(read.understood)


@pytest.mark.parametrize(
    ("line", "fields"),
    [
        ("CAB mV: all 0.0 except F22 0.6 F14 1.0, not read F30", 3),
        ("CAB mV: all 0.0", 4),
        ("CAB mV: F22 0.6,", 1),
        ("F22=3A, ", 1),
    ],
)
def test_a_whole_line_is_taken(line: str, fields: int) -> None:
    assert len(dict(entry_of(van(), line).fields)["read"]) == fields


def test_free_text_may_begin_like_a_row() -> None:
    assert dict(entry_of(van(), "remark A: the lamp is on, except at night").fields) == {
        "remark": "A: the lamp is on, except at night"
    }


@pytest.mark.parametrize("more", [-1, 0, 1])
def test_the_longest_line(more: int) -> None:
    line = "remark " + "x" * (LONGEST_LINE - 7 + more)
    if more > 0:
        with pytest.raises(LimitReached, match="10,001 characters"):
            entry_of(van(), line)
    else:
        assert entry_of(van(), line).fields


@pytest.mark.parametrize("more", [-1, 0, 1])
def test_the_longest_word(more: int) -> None:
    with pytest.raises(WrongUse) as refused:
        entry_of(van(), "x" * (LONGEST_WORD + more) + " 1A")
    assert isinstance(refused.value, NotAsItStands) == (more > 0)


@pytest.mark.parametrize(
    "piece",
    [
        "x ",
        "F22= ",
        "F22X=1A ",
        "out LIFT ",
        "CAB mV: all 0.0 x ",
        "U0140 ",
        "the tail lift ",
        "a: ",
        "rest ",
        "LIFT is ",
        " ",
    ],
)
def test_the_work_on_a_line_grows_with_its_length(piece: str) -> None:
    """Whoever types a line three times as long waits three times as long; not nine, not twenty-seven times."""

    def work(length: int) -> int:
        line = ("zzz " + piece * length)[:LONGEST_LINE]

        def read() -> None:
            with pytest.raises(WrongUse):
                entry_of(van(), line)

        return steps_of(read)

    work(10)
    few, many = work(300 // len(piece)), work(900 // len(piece))
    assert many < 3.6 * few + 40 * MOST_TRIED
