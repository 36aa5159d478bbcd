"""Two batteries that both give, into the same loads, through a relay that should be open: what crosses counts once, what
one takes over is no failed try, and what was switched on runs."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.seen.netting import accounts_of
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.reports.suspects.proving import to_mend
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from

SKIFF = """
platform "Tarnvik Skiff" sleep 5min..10min limit 50mA
battery SB "starter battery" 90Ah
battery HB "house battery" 140Ah
fuse FA 80A, FB 80A, FH 30A, FC 5A, FL 10A, FW 10A
relay TIE "tie relay" make
alternator ALT
module CLK "clock" supply 1 ground 2 asleep 5mA
switch ICE "cold box" positions off, on closes 1 to 2 in on
module COLD "cold box control" supply 30 ground 31 asleep 50mA
output COLD.C feeds from 30 "thermostat"
motor COMP "compressor" running 4A
switch LS positions off, on closes 1 to 2 in on
lamp LMP "cabin lamp" running 1.2A
switch WS positions off, on closes 1 to 2 in on
heater WARM "locker heater" running 2A
terminal BA, BB
ground GND
SB.+ -> BA
BA -> FA -> TIE.30
TIE.87 -> FB -> BB
HB.+ -> BB
ALT.D+ -> TIE.86
TIE.85 -> GND
BA -> FC -> CLK.1
CLK.2 -> GND
BB -> FH -> ICE.1
ICE.2 -> COLD.30
COLD.31 -> GND
COLD.C -> COMP.1
COMP.2 -> GND
BB -> FL -> LS.1
LS.2 -> LMP.1
LMP.2 -> GND
BB -> FW -> WS.1
WS.2 -> WARM.1
WARM.2 -> GND
SB.- -> GND
HB.- -> GND
"""
"""With the cold box on the house side takes 4.05 A, the starter side 5 mA. With the relay closed 1.60 A of it come from
the starter battery: it gives 1.61 A (1.605), the house battery 2.45 A; with the relay open 0.01 A and 4.05 A."""

READ = ("SB=1.61A", "HB=2.45A")
CROSSED = ("FA=1.60A", "FB=1.60A")
OPENED = ("TIE@SB=0.01A", "TIE@HB=4.05A")


@pytest.fixture(scope="module")
def skiff() -> Circuit:
    return circuit_from(SKIFF)


def asked(its: Circuit, *words: str, out: tuple[str, ...] = (), on: tuple[str, ...] = ("ICE=on",)) -> Diagnosis:
    typed = TypedEvidence(readings=words, meter="clamp", resolution="10mA", unplugged=out, positions=on)
    return diagnose(its, evidence_typed(its.platform, typed), {})


def test_what_crosses_is_no_draw_of_the_other_battery(skiff: Circuit) -> None:
    found = asked(skiff, *READ, *CROSSED)
    assert [(its.place, its.reading.place, its.through) for its in found.netted.both_ends] == [("HB", "FA", "FB")]
    assert found.netted.measured["HB"].amps == pytest.approx(4.05)
    assert accounts_of(found.netted)["HB"].found == pytest.approx(0.0)
    assert found.subjects[0].about == "TIE" and found.two_faults < 0.3


def test_the_same_the_other_way_round(skiff: Circuit) -> None:
    """What hangs on the starter side is fed by the house battery, that gives next to nothing to its own side."""
    found = asked(skiff, "HB=1.51A", "SB=2.40A", "FA=1.50A", "FB=1.50A", on=())
    assert [(its.place, its.reading.place) for its in found.netted.both_ends] == [("SB", "FB")]


def test_two_that_both_give_more_do_not_say_which_way_it_flows(skiff: Circuit) -> None:
    found = asked(skiff, "SB=2.41A", "HB=2.45A", *CROSSED)
    assert found.netted.both_ends == ()


def test_a_battery_that_takes_over_shows_what_joined_the_two(skiff: Circuit) -> None:
    found = asked(skiff, *READ, out=OPENED)
    assert [one.outcome for one in found.tried] == ["normal", "took over"]
    assert found.subjects[0].about == "TIE" and found.subjects[0].probability > 0.9 and found.two_faults < 0.3
    text = suspects_text(skiff.platform, found)
    assert "HB takes over what came from the other battery (4.05 A now)" in text and "HB no change" not in text


def test_more_at_one_battery_alone_is_no_taking_over(skiff: Circuit) -> None:
    alone = asked(skiff, *READ, out=("TIE@HB=4.05A",))
    assert [one.outcome for one in alone.tried] == ["stays"]
    other = asked(skiff, *READ, out=("TIE@SB=0.01A", "TIE@HB=2.75A"))
    assert [one.outcome for one in other.tried] == ["normal", "stays"]


def test_both_together_leave_no_second_fault(skiff: Circuit) -> None:
    found = asked(skiff, *READ, *CROSSED, out=OPENED)
    assert found.subjects[0].about == "TIE" and found.two_faults < 0.3


# ---- what was switched on ----


def test_what_was_switched_on_runs_and_is_no_fault(skiff: Circuit) -> None:
    found = asked(skiff, "SB=0.01A", "HB=4.05A")
    assert found.something_wrong < 0.5
    its = {one.place: one for one in found.should_flow}["HB"]
    assert its.running is not None and its.running.counted and its.running.parts == ("COMP",)
    assert abs(its.too_many) < 0.1


def test_a_draw_too_small_for_it_is_not_excused_by_it(skiff: Circuit) -> None:
    found = asked(skiff, "SB=0.01A", "HB=1.25A")
    assert found.something_wrong > 0.8 and all(one.running is None for one in found.should_flow)


def test_a_fuse_on_the_way_that_shows_little_says_that_it_rests(skiff: Circuit) -> None:
    found = asked(skiff, "SB=0.01A", "HB=3.95A", "FH=0.05A")
    assert found.something_wrong > 0.8 and all(one.running is None for one in found.should_flow)


def test_without_a_word_on_the_switch_it_is_a_draw(skiff: Circuit) -> None:
    found = asked(skiff, "SB=0.01A", "HB=4.05A", on=())
    assert found.something_wrong > 0.8


def test_a_main_switch_lets_nothing_run_by_itself() -> None:
    behind_a_main_switch = (
        SKIFF.replace("BB -> FH -> ICE.1\nICE.2 -> COLD.30", "BB -> MAIN.1\nMAIN.2 -> FH -> COLD.30")
        .replace("switch ICE \"cold box\"", "switch MAIN \"main switch\"")
    )  # fmt: skip
    found = asked(circuit_from(behind_a_main_switch), "SB=0.01A", "HB=4.05A", on=("MAIN=on",))
    assert found.something_wrong > 0.8 and all(one.running is None for one in found.should_flow)


# ---- the step that shows it ----


def test_a_step_says_at_which_battery_the_current_is_read(skiff: Circuit) -> None:
    found = asked(skiff, *READ, *CROSSED)
    assert found.tests.place == "SB"
    text = suspects_text(skiff.platform, found)
    assert "SB down to" in text or "down to" not in text


def test_what_is_no_more_than_the_meter_s_zero_shows_no_current_across(skiff: Circuit) -> None:
    typed = TypedEvidence(readings=("SB=0.010A", "HB=0.200A", "FB=0.004A"), meter="low-current-clamp")
    assert diagnose(skiff, evidence_typed(skiff.platform, typed), {}).netted.both_ends == ()


OFF = ("ICE=off", "LS=off", "WS=off")


def probability_of(found: Diagnosis, part: str) -> float:
    return sum(chance.probability for chance in found.parts if chance.part == part)


def test_a_relay_that_only_joins_them_explains_no_draw_of_both(skiff: Circuit) -> None:
    """Both batteries give and everything is off: a closed relay takes nothing, so something else is wrong as well."""
    found = asked(skiff, "SB=0.40A", "HB=0.50A", "FC=0A", "FH=0A", "FL=0A", "FW=0A", on=OFF)
    joins = [fault for fault in found.faults if fault.part == "TIE" and fault.kind == "contact"]
    assert joins and all(flow.joins_batteries for flow in joins[0].brings)
    assert not found.tests.mend
    assert probability_of(found, "TIE") < 0.2, "its control wire on plus excites the alternator, too: that takes"
    assert "STOP" not in suspects_text(skiff.platform, found)
    assert "SB and HB both give" in " ".join(suspects_text(skiff.platform, found).split()).replace(
        "HB and SB", "SB and HB"
    )


def test_one_battery_that_gives_into_the_other_says_nothing_of_the_kind(skiff: Circuit) -> None:
    found = asked(skiff, "SB=0.40A", "HB=-0.39A", on=OFF)
    assert found.subjects[0].about == "TIE"
    assert "both give" not in " ".join(suspects_text(skiff.platform, found).split())


# ---- what takes, and what only joins ----

LEAK = SKIFF.replace("ALT.D+ -> TIE.86\n", "ALT.D+ -> TIE.86\nBA -> FG -> ALT.B+\n").replace(
    "FB 80A,", "FB 80A, FG 80A,"
)
LEAK = LEAK.replace("alternator ALT", "alternator ALT supply B+")
"""The alternator leaks 0.62 A at the starter side; over the stuck relay 0.32 A of it come from the house battery."""
HALVES = ("SB=0.305A", "HB=0.320A", "FG=0.62A", "FC=0.005A")


@pytest.fixture(scope="module")
def leaking() -> Circuit:
    return circuit_from(LEAK)


def clamped(its: Circuit, *words: str) -> Diagnosis:
    typed = TypedEvidence(readings=words, meter="low-current-clamp", positions=OFF)
    return diagnose(its, evidence_typed(its.platform, typed), {})


@pytest.mark.parametrize(("cable", "house"), [("FA", 0.32), ("FB", 0.32), ("FA", 0.36)])
def test_over_the_one_cable_that_was_read_it_comes_in(leaking: Circuit, cable: str, house: float) -> None:
    """Only the cable between the two was read, on either side of the relay: what the starter side takes beyond its
    battery is just what flows there."""
    found = clamped(leaking, *HALVES, f"HB={house}A", f"{cable}=0.32A")
    (its,) = found.netted.both_ends
    assert (its.place, its.amps) == ("SB", pytest.approx(0.32))
    accounts = accounts_of(found.netted)
    assert accounts["SB"].left == pytest.approx(0.0, abs=0.02)
    assert accounts["HB"].left == pytest.approx(house - 0.32, abs=0.01)
    assert found.netted.contradictions == ()


def test_a_cable_that_shows_another_current_is_no_way_in(leaking: Circuit) -> None:
    for odd in ("FA=0.55A", "FA=0.12A"):
        assert clamped(leaking, *HALVES, odd).netted.both_ends == ()
    assert clamped(leaking, "SB=0.305A", "HB=0.05A", "FG=0.62A", "FC=0.005A", "FA=0.32A").netted.both_ends == ()


def test_what_only_joins_them_is_no_end_of_the_hunt(leaking: Circuit) -> None:
    """The relay is sure, and takes nothing: what takes it is looked for, and nobody is told that the draw goes."""
    found = clamped(leaking, *HALVES, "FA=0.32A", "FB=0.32A")
    assert probability_of(found, "TIE") > 0.9 and found.two_faults > 0.9
    assert found.tests.mend != "TIE"
    at = {part for test in found.tests.choices for part in (test.action.about, *test.action.parts)}
    assert at & {"ALT", "FG"}
    text = " ".join(suspects_text(leaking.platform, found).split())
    assert "Prove TIE" not in text and "STOP" not in text


def test_the_proof_of_what_only_joins_them_says_what_goes_on(skiff: Circuit) -> None:
    found = asked(skiff, "SB=0.40A", "HB=-0.39A", on=OFF)
    said = to_mend(skiff.platform, found, "TIE")
    assert "it only joins the batteries" in said and "with it out the draw is gone" not in said


@pytest.mark.parametrize(
    ("readings", "on", "says"),
    [
        (("SB=0.40A", "HB=-0.39A"), ("ICE=off",), "Nothing is to be found besides: together the batteries give 0.01 A"),
        (("SB=0.80A", "HB=-0.39A"), ("ICE=off",), "The draw itself goes on"),
        (("SB=1.61A", "HB=2.45A"), ("ICE=on",), "Nothing is to be found besides: together the batteries give 4.06 A"),
        (("SB=1.61A", "HB=3.85A"), ("ICE=on",), "The draw itself goes on"),
        (("SB=0.40A",), ("ICE=off",), "Whether anything draws besides is known once each battery was read."),
    ],
)
def test_that_something_draws_besides_is_said_only_where_they_give_more_together_than_the_sheets_do(
    skiff: Circuit, readings: tuple[str, ...], on: tuple[str, ...], says: str
) -> None:
    said = to_mend(
        skiff.platform, asked(skiff, *readings, "FA=0.39A" if len(readings) > 1 else "FA=0.40A", on=on), "TIE"
    )
    others = ("The draw itself goes on", "Nothing is to be found besides", "Whether anything draws besides")
    assert says in said and sum(other in said for other in others) == 1


@pytest.mark.parametrize(("other", "takes"), [("HB=-0.1A", "0.10"), ("HB=-0.2A", "0.20")])
def test_two_of_which_one_takes_in_have_no_total(skiff: Circuit, other: str, takes: str) -> None:
    """However little that is on this meter."""
    typed = TypedEvidence(readings=("SB=0.3A", other), meter="clamp", resolution="100mA", positions=OFF)
    text = suspects_text(skiff.platform, diagnose(skiff, evidence_typed(skiff.platform, typed), {}))
    assert f"SB gives 0.30 A and HB takes in {takes} A" in text and "Total" not in text.split("\n")[0]


# ---- what comes across passes all that stands before its battery ----

FEEDER = (
    SKIFF.replace("HB.+ -> BB", "HB.+ -> BP\nBP -> FM -> BB")
    .replace("FB 80A,", "FB 80A, FM 100A,")
    .replace("terminal BA, BB", "terminal BA, BB, BP")
)
"""The same with a main fuse between the house battery and its bar: it carries what the house battery gives, 2.45 A."""


@pytest.fixture(scope="module")
def with_feeder() -> Circuit:
    return circuit_from(FEEDER)


def test_what_comes_across_is_added_up_to_the_battery(with_feeder: Circuit) -> None:
    found = asked(with_feeder, *READ, "FM=2.45A", "FH=4.05A", "FA=1.60A")
    (its,) = found.netted.both_ends
    assert (its.place, its.above, its.amps) == ("FM", ("HB",), pytest.approx(1.60))
    assert found.netted.contradictions == ()
    for place in ("FM", "HB"):
        assert found.netted.measured[place].amps == pytest.approx(0.0, abs=0.02)
        assert found.netted.readings[place].on_meter == pytest.approx(2.45)
    assert accounts_of(found.netted)["HB"] == pytest.approx((2.45, 2.45, 0.0, accounts_of(found.netted)["HB"].error))
    assert found.subjects[0].about == "TIE"
    text = " ".join(suspects_text(with_feeder.platform, found).split())
    assert "READ AGAIN" not in text and "4.05 A of 2.45" not in text and "FM (4.05 A" not in text


def test_over_the_cable_alone_it_is_added_up_to_the_battery(with_feeder: Circuit) -> None:
    found = asked(with_feeder, *READ, "FM=2.45A", "FH=4.05A", "FB=1.60A")
    (its,) = found.netted.both_ends
    assert (its.place, its.above) == ("FM", ("HB",)) and found.netted.contradictions == ()


def test_without_a_feeder_read_it_is_added_at_the_battery(with_feeder: Circuit) -> None:
    found = asked(with_feeder, *READ, "FH=4.05A", "FA=1.60A")
    (its,) = found.netted.both_ends
    assert (its.place, its.above) == ("HB", ())
