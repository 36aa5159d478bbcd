"""Slips made in typing at the car: the message says what is wrong, and the line that it offers can be read."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitmap.evidence.job_card import STATES
from circuitmap.failures import WrongUse
from circuitmap.flows.questions import open_platform
from circuitmap.jobs.short_line import EXAMPLES, entry_of
from circuitmap.wiring.platform import Platform

TYPED = [
    *EXAMPLES, *STATES, "F33", "F22", "CAB", "BAT", "LIFT", "CHASSIS", "CAB.K4", "DOORD", "U0140", "code", "0.7mV", "0,7", "1.2",
    "A", "mV", "all", "except", "not read", "out", "held", "silent", "awake", "10:02", "at", "clamp", "meter", "<0.1mV", "ok", "?",
    ":", "=", ";", "--", "F22..F25", "tail lift", "strike 3", "resolution", "volts", "12.45V", "-", "..", "é", "the",
    "found", "burning", "wet", "gone", "no change", "rest", "turned", "from", "back all", "BUNKSW", "again",
]  # fmt: skip
TRUCK = Path(__file__).parents[2] / "sample_vehicles" / "truck"


@pytest.fixture(scope="module")
def truck() -> Platform:
    return open_platform(TRUCK)


@pytest.mark.parametrize(
    ("line", "fields"),
    [
        ("F26 1.5mV; total 1.02A", [("read", (("CAB.F26", "1.5mV"),)), ("total", "1.02A")]),
        ("F33: 0.7 mv", [("read", (("CAB.F33", "0.7mV"),))]),
        ("looked round, found nothing", [("looked", "yes")]),
        ("Total=1.02A", [("total", "1.02A")]),
        ("F33=0.7mV, F24=0.5mV", [("read", (("CAB.F33", "0.7mV"), ("CAB.F24", "0.5mV")))]),
    ],
)
def test_what_can_only_mean_one_thing_is_taken(truck: Platform, line: str, fields: list[tuple[str, object]]) -> None:
    assert list(entry_of(truck, line).fields) == fields


@pytest.mark.parametrize(
    ("line", "wrong", "write"),
    [
        ("F33=0,7mV", "0,7 has a comma", "F33=0.7mV"),
        ("F33=O.7mV", "letter O", "F33=0.7mV"),
        ("LIFT out", "another way round", "out LIFT"),
        ("pulled F40 F41", "another way round", "out F40 F41"),
        ("LIFT is back in", "another way round", "back LIFT"),
        ("out LIFT BAT=0.05A", "semicolon is missing before BAT", "out LIFT; BAT=0.05A"),
        ("CHASSIS 2.5V", "CHASSIS is a network", "network CHASSIS 2.5V"),
        ("LIFT silent", "another way round", "scan silent LIFT"),
        ("U0140 back", "a code begins with codes", "codes U0140 back"),
        ("unlocked", "another way round", "opened"),
        ("F33 ok", "nothing seen is quiet", "F33=quiet"),
        ("note it rains", "another way round", "remark it rains"),
        ("CAB all 0.0 except F22 0.6", "in what it was read", "CAB mV: all 0.0 except F22 0.6"),
        ("clamp F33 0.2A", "is said beside", 'F33=0.2A" --meter clamp'),
        ("BUNKL is lit", "another way round", "found BUNKL lit"),
        ("saw BUNKL burning", "another way round", "found BUNKL burning"),
        ("water in X2", "another way round", "found water in X2"),
        ("F33 out: gone", "another way round", "out F33: gone"),
        ("no change with F33 out", "another way round", "out F33: no change"),
        ("out F33 gone", "semicolon is missing before gone", "out F33; gone"),
        ("out F33: 0.05A", "read where", "out F33; total 0.05A"),
        ("rest 12.45V", "another way round", "battery rest 12.45V"),
        ("charging 28.4V", "another way round", "battery charging 28.4V"),
        ("COOLER from F33", "another way round", "fitted COOLER from F33"),
        ("fitted a tow cooler from F33", "one word", "fitted TOW-COOLER from F33"),
        ("SUSP has its own battery", "another way round", "own-battery SUSP"),
        ("switched BUNKSW off", "another way round", "turned BUNKSW off"),
    ],
)
def test_what_to_write_instead_is_offered(truck: Platform, line: str, wrong: str, write: str) -> None:
    with pytest.raises(WrongUse, match=wrong) as refused:
        entry_of(truck, line)
    assert write in refused.value.advice
    if refused.value.advice.startswith("Write: ") and "--" not in write:
        assert entry_of(truck, refused.value.advice.removeprefix("Write: ")).fields


@pytest.mark.parametrize("word", [*EXAMPLES, "code", "dtc", "key", "F33", "CAB", "CHASSIS", "LIFT", "BAT", "CAB.K4"])
def test_a_word_alone_is_refused_with_words(truck: Platform, word: str) -> None:
    with pytest.raises(WrongUse) as refused:
        entry_of(truck, word)
    assert refused.value.message and refused.value.advice


@settings(max_examples=300, deadline=None)
@given(
    st.lists(st.one_of(st.sampled_from(TYPED), st.text(max_size=5)), max_size=6),
    st.sampled_from([" ", "", "=", "; ", ", "]),
)
def test_whatever_is_typed_is_read_or_refused(truck: Platform, words: list[str], between: str) -> None:
    try:
        assert entry_of(truck, between.join(words)).fields
    except WrongUse as refused:
        assert refused.message


@pytest.mark.parametrize(
    ("line", "wrong", "advice"),
    [
        ("F33=0.46", "amperes, or millivolts", "F33=0.46A or "),
        ("F99=0.4mV", "no part F99", "MAIN.F9"),
        ("F33", "no reading after it", "F33=0.46A"),
        ("locked 10:02", "10:02 is a time", "--at 10:02"),
        ("strike 4", "a command of its own", "card strike"),
        ("relay CAB.K4", "held", "relay CAB.K4 held"),
        ("found smell of burnt plastic at LIFT", "no part burnt", "remark smell of burnt plastic at LIFT"),
        ("out parking heater", "as on the sheets", "out "),
        ("F22..F25=0.0mV", "not one place", "Name each"),
        ("BAT=24.6V", "are volts", "battery BAT rest 24.6V"),
    ],
)
def test_what_is_missing_is_said(truck: Platform, line: str, wrong: str, advice: str) -> None:
    with pytest.raises(WrongUse, match=wrong) as refused:
        entry_of(truck, line)
    assert advice in refused.value.advice


@pytest.mark.parametrize("line", ["\r", " ;\t; ", "\u2003", ""])
def test_a_line_of_blanks_is_refused_with_an_example(truck: Platform, line: str) -> None:
    with pytest.raises(WrongUse, match="There is nothing in this line") as refused:
        entry_of(truck, line)
    assert "F22=0.46A" in refused.value.advice


def test_a_row_may_name_every_fuse_itself(truck: Platform) -> None:
    """`all 0.0 except` all of them: nothing is left that `all` could mean, and that is fine."""
    fuses = [
        f.name.rpartition(".")[2]
        for f in truck.fuses
        if f.name.startswith("FRM.") and f.style in ("mini", "regular", "maxi")
    ]
    line = f"FRM mV: all 0.0 except {' '.join(f'{fuse} 0.3' for fuse in fuses)}"
    read = dict(entry_of(truck, line).fields)["read"]
    assert len(read) == len(fuses) > 1 and {value for _, value in read} == {"0.3mV"}
