"""What is hands-off by its words: an expert's labels, and what only looks like them."""

import re
from collections import Counter
from pathlib import Path
from typing import NamedTuple

import pytest

from circuitmap.notation.names import complaint_about_name
from circuitmap.wiring.hands_off_words import look_of
from tests.work_done import steps_of


class Row(NamedTuple):
    section: str
    label: str
    what: str
    verdict: str


def _rows() -> list[Row]:
    rows, section = [], ""
    for line in (Path(__file__).parent / "hands_off_labels.md").read_text(encoding="utf-8").splitlines():
        if line.startswith("## "):
            section = line.removeprefix("## ")
        elif section and line.startswith("| ") and not line.startswith("| label |"):
            label, what, verdict = line.strip("| ").split(" | ")
            rows.append(Row(section, label, what, verdict))
    return rows


ROWS = _rows()
LOOK_ALIKES = "Look-alikes"


def _complaint(row: Row, *texts: str) -> str:
    """What is wrong with the verdict on these texts; empty when it is right."""
    look = look_of(*texts)
    if row.section == LOOK_ALIKES:
        right = look is None or (row.verdict == "ask" and look.doubtful)
    else:
        kinds = row.what.partition(":")[0].split(" or ")
        right = look is not None and look.why in kinds and (row.verdict == "ask" or not look.doubtful)
    return "" if right else f"{row.label}: {row.verdict} ({row.what}), not {look}"


def _as_name(label: str) -> str:
    """The label as somebody would make a name of it; empty when nobody would."""
    if not (label.isascii() and label.isupper()):
        return ""
    name = "_".join(re.findall(r"[A-Z0-9]+", label))
    return "" if complaint_about_name(name) else name


def test_the_tables_are_read_whole() -> None:
    assert Counter((row.section == LOOK_ALIKES, row.verdict) for row in ROWS) == {
        (False, "hands-off"): 399, (False, "ask"): 62, (True, "free"): 160, (True, "ask"): 30,
    }  # fmt: skip
    assert Counter(row.section for row in ROWS) == {
        "Restraint and pyrotechnic": 223, "High voltage": 103, "Gas": 69, "Sealed by law, or calibrated": 66,
        LOOK_ALIKES: 190,
    }  # fmt: skip


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.label)
def test_a_label(row: Row) -> None:
    assert not _complaint(row, row.label)
    assert not _complaint(row, "F12", row.label)
    if name := _as_name(row.label):
        assert not _complaint(row, name, "")


@pytest.mark.parametrize("row", [row for row in ROWS if row.section != LOOK_ALIKES], ids=lambda row: row.label)
def test_how_a_label_is_set_and_what_side_it_is_of_change_nothing(row: Row) -> None:
    label = row.label
    for text in (
        f"{label} LH",
        f"{label}, R 2",
        f"  {label.replace(' ', '  ')}",
        f"“{label}”",
        label.replace(" ", "\n"),
    ):
        assert not _complaint(row, text)
    if row.verdict == "hands-off":
        for text in (label.lower(), label.upper(), label.replace(" ", "-"), label.replace(" ", "_")):
            assert not _complaint(row, text)


@pytest.mark.parametrize(
    ("text", "verdicts"),
    [
        ("hot gas valve", {"free"}), ("heated windscreen", {"free"}), ("gas detector, always on", {"gas?"}),
        ("heating and boiler, gas", {"gas?"}), ("230 V inlet", {"high-voltage"}), ("converter 24 V to 12 V", {"free"}),
        ("charger, mains", {"free", "high-voltage?"}), ("USB charging socket", {"free"}), ("lift contactor", {"free"}),
        ("tachograph", {"sealed"}), ("instruments, tachograph, telematics", {"sealed"}),
        ("restraint system: do not pull", {"restraint"}), ("do not pull: restraint system", {"restraint"}),
        ("body computer", {"free"}), ("horn contact", {"free"}), ("battery main switch", {"free"}),
        ("window lift motor", {"free"}), ("curtain lamps", {"free"}), ("HVAC blower", {"free"}),
        ("PTC heater 12 V", {"free", "high-voltage?"}), ("do not unplug", {"maker"}),
        # Inflected, shortened, in compounds
        ("Beifahrer-Airbags", {"restraint"}), ("Gurtstr. VL", {"restraint"}), ("Napinacze pasów", {"restraint"}),
        ("bolsas de ar", {"restraint"}), ("A.I.R.B.A.G.", {"restraint"}), ("S.R.S. unit", {"restraint"}),
        ("Fluessiggasanlage", {"gas"}), ("Starterbatterie-Trennelement", {"restraint"}),
        # Close to them, but nothing of the kind
        ("active headlights", {"free"}), ("Batterietrennschalter", {"free"}), ("relais d'isolement batterie", {"free"}),
        ("assorbimento corrente", {"free"}), ("zamek drzwi pasażera", {"free"}), ("blower motor belt", {"restraint?"}),
        ("ribaltamento cabina", {"free"}), ("turboladdare", {"free"}), ("Ladebordwand", {"free"}),
        ("compressor fridge", {"free"}), ("fridge relay", {"free"}), ("fridge unit", {"free"}),
        ("rear baggage compartment lamp", {"free"}), ("lamp on roll bar", {"free"}),
        ("release magnet on roll bar", {"restraint"}), ("knock (detonation) sensor", {"free"}),
    ],
)  # fmt: skip
def test_texts_as_they_stand_on_platforms(text: str, verdicts: set[str]) -> None:
    look = look_of("", text)
    assert ("free" if look is None else look.why + "?" * look.doubtful) in verdicts


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        ("60 V", ""), ("61 V", "sure"), ("48 V", "doubt"), ("24 V", ""), ("12/24V", ""), ("400V", "sure"),
        ("650 VDC bus", "sure"), ("230 volts", "sure"), ("0.400 V", ""), ("1.5 kV", "sure"), ("0.05 kV", ""),
        ("inverter 12 V to 230 V", "doubt"), ("inverter 24 V to 12 V", ""), ("F400", ""), ("230 W", ""), ("2.230 V", ""),
    ],
)  # fmt: skip
def test_volts(text: str, verdict: str) -> None:
    look = look_of("", text)
    assert ("" if look is None else "doubt" if look.doubtful else "sure") == verdict
    assert look is None or look.why == "high-voltage"


@pytest.mark.parametrize(
    ("name", "description", "found"),
    [
        ("ACM", "", True), ("ACM", "audio control module", False), ("F12", "ACM", True), ("ACM2", "", True),
        ("CAB", "", True), ("F12", "cab", False), ("F12", "Cab", False), ("CAB.F22", "", False), ("F12", "AB L", True),
        ("FS1", "", False), ("F12", "FS", True), ("PT", "powertrain module", False), ("PT_R", "", True), ("L", "", False),
        ("FRIDGE", "", True), ("FRIDGE", "compressor fridge", False),
    ],
)  # fmt: skip
def test_an_abbreviation_counts_where_nothing_says_what_it_means(name: str, description: str, found: bool) -> None:
    look = look_of(name, description)
    assert (look is not None) is found
    assert look is None or look.doubtful


@pytest.mark.parametrize(
    "listed",
    ["SRS, audio", "audio; SRS", "SRS + audio", "SRS & audio", "SRS and audio", "audio/SRS", "air bag, air suspension",
     "suspension / air bag", "AIR BAG AND AIR SUSPENSION"],
)  # fmt: skip
def test_what_is_listed_beside_something_hands_off_does_not_free_it(listed: str) -> None:
    look = look_of("F30", listed)
    assert look is not None and look.why == "restraint"


def test_what_frees_one_thing_frees_only_that() -> None:
    for text in (
        "gas pedal, airbag",
        "drive belt tensioner, seat belt tensioner",
        "exhaust, gas alarm",
        "SRS sound, squib",
    ):
        assert look_of("", text) is not None
    assert look_of("", "gas pedal", "airbag") == look_of("", "airbag")


def test_the_words_are_whole_words() -> None:
    for text, words in (("Gurtstraffer VL", "gurtstraffer"), ("M1 pretensioners", "pretensioners"),
                        ("Fahrerairbag", "fahrerairbag"), ("high-voltage box", "high voltage"), ("1.5 kV", "1.5 kv")):  # fmt: skip
        look = look_of("", text)
        assert look is not None and look.words == words


@pytest.mark.parametrize("sign", [*"!\"#$%&'()*+,-./:;<=>?@[\\]^_`{|}~„“”«»–—\t\n"])
def test_any_sign_ends_a_word(sign: str) -> None:
    for text in (f"M7{sign}SRS", f"{sign}SRS{sign}", f"{sign} {sign}SRS unit", f"{sign}{sign}SRS"):
        look = look_of(sign, text)
        assert look is not None and look.words == "srs"


def test_the_work_grows_with_the_text_and_no_faster() -> None:
    text = "door module, rear left, with mirror heating "
    assert look_of("", text) is None
    look_of.cache_clear()  # an answer kept from before takes no steps
    once = steps_of(lambda: look_of("", text))
    assert steps_of(lambda: look_of("", text * 8)) < 9 * once
