"""How long a battery lasts, what is charged, and what lies between joined batteries, as `live` says it."""

import pytest

from circuitmap.power.carried import carried
from circuitmap.power.charging import charged_batteries
from circuitmap.power.classes import classes_of
from circuitmap.power.evaluate import Powered
from circuitmap.power.joined import joined_batteries
from circuitmap.reports.live.live_text import live_text
from tests.power.vehicle import live, vehicle

TEXT = """
platform "Two batteries" supply 12V
naming F* fuse
battery ONE 90Ah
battery TWO 140Ah
resistor RS "shunt"
terminal NEG
terminal MID
switch SEP positions off, on closes 1 to 2 in on
switch SL positions off, on closes 1 to 2 in on
lamp L1 running 44mA
lamp L2 running 1A
charger CH supply A, B ground 31 asleep 2mA on A, 0mA on B
ONE.- -> NEG
TWO.- -> RS -> NEG
ONE.+ -> F1 -> SEP.1
SEP.2 -> MID
MID -> F2 -> TWO.+
MID -> F3 -> L1 -> NEG
MID -> F4 -> SL.1
SL.2 -> L2 -> NEG
ONE.+ -> F5 -> CH.A
TWO.+ -> F6 -> CH.B
CH.31 -> NEG
"""


def told(powered: Powered, whole: bool = False) -> str:
    return " ".join(live_text(powered, classes_of(powered.circuit, {}), whole=whole).split())


def test_half_of_a_battery_is_told_in_days_or_hours() -> None:
    circuit = vehicle(TEXT)
    assert "TWO 44 mA, half of its 140 Ah in 66 days" in told(live(circuit))
    assert "TWO 1.04 A, half of its 140 Ah in 3 days" in told(live(circuit, switches={"SL": "on"}))


@pytest.mark.parametrize(
    "more", ["lamp L3\nTWO.+ -> F7 -> L3 -> NEG\n", "lamp L3 running 20A\nTWO.+ -> F7 -> L3 -> NEG\n"]
)
def test_not_where_something_is_not_typed_in_nor_faster_than_the_label_says(more: str) -> None:
    assert "half of" not in told(live(vehicle(TEXT + more)))


def test_not_so_slowly_that_it_would_lose_it_by_itself_nor_while_it_is_charged() -> None:
    assert "half of" not in told(live(vehicle(TEXT.replace("running 44mA", "running 4mA"))))
    assert "half of" not in told(live(vehicle(TEXT), feeding=frozenset({"CH"})))


def test_each_output_of_a_charger_with_its_battery_and_its_way_back() -> None:
    powered = live(vehicle(TEXT), feeding=frozenset({"CH"}))
    assert [(str(its.pin), its.battery, its.passes, its.back) for its in charged_batteries(powered)] == [
        ("CH.A", "ONE", ("F5",), ()),
        ("CH.B", "TWO", ("F6",), ("RS",)),
    ]
    text = told(powered)
    assert "CH.A ONE over F5; returns past no shunt or sensor CH.B TWO over F6; returns through RS" in text
    assert charged_batteries(live(vehicle(TEXT))) == ()


def test_what_feeds_takes_nothing() -> None:
    asleep, feeding = (
        {part for its in carried(live(vehicle(TEXT), feeding=frozenset(its)), {"CH": True}) for part in its.parts}
        for its in ((), ("CH",))
    )
    assert "CH" in asleep and "CH" not in feeding


def test_the_way_between_joined_batteries_and_what_is_only_a_share() -> None:
    powered = live(vehicle(TEXT), stuck=frozenset({"SEP.2"}))
    (its,) = joined_batteries(powered)
    assert its.way == ("F1", "SEP.2", "MID", "F2")
    text = told(powered)
    assert "joined by SEP.2 stuck closed, on the way ONE - F1 - SEP.2 - MID - F2 - TWO" in text
    assert "RETURNS through RS a share of" in text


def test_studs_are_told_where_one_is_live_and_all_parts_with_all() -> None:
    lamps = "".join(f"lamp M{n} running 1A\nF3 -> M{n} -> NEG\n" for n in range(9))
    powered = live(vehicle(TEXT + "terminal FAR\nSL.2 -> FAR\n" + lamps))
    text = told(powered)
    assert "studs live MID; dead FAR" in text and "and 6 more" in text
    assert "M8" in told(powered, whole=True).partition("F3 ")[2].partition("F4")[0]


def test_a_member_that_is_no_module_is_not_called_asleep_while_it_is_awake() -> None:
    text = TEXT + "sensor SE supply 1 ground 2 asleep 1mA\nMID -> F8 -> SE.1\nSE.2 -> NEG\nnetwork N lin members SE\n"
    awake = frozenset({"N"})
    assert "SE asleep 1 mA, awake not typed in" in told(live(vehicle(text), awake=awake))
    assert "SE awake 5 mA" in told(live(vehicle(text.replace("asleep 1mA", "asleep 1mA awake 5mA")), awake=awake))
