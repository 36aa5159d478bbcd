"""What is entered besides currents, and what the diagnosis makes of it: finds, changes in words, what is on no sheet,
what has a battery of its own; and that the rest of a box is one step."""

from functools import cache

import pytest

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.diagnosis.seen.finding import finds_seen
from circuitmap.evidence.battery_seen import BatterySeen
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.found_there import FoundThere
from circuitmap.failures import WrongUse
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.notation.reading import read_text
from circuitmap.reports.suspects.suspects_json import suspects_json
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

VAN = """\
platform "Marlow Linnet" sleep 20min..40min limit 50mA
battery BAT 72Ah
box CAB "Cab fuse box" reach 2min
fuse CAB.F1 10A mini, CAB.F2 10A mini, CAB.F3 10A mini, CAB.F4 20A mini, CAB.F5 10A mini, CAB.F6 10A mini
fuse CAB.F7 30A maxi
bar CAB.B1 feeds CAB.F1..F7
ground G1
BAT.+ -> CAB.B1
BAT.- -> G1
lamp DOME running 400mA
lamp LOADL running 400mA
switch DOORD positions shut, open closes 1 to 2 in open
switch DOORL positions shut, open closes 1 to 2 in open
CAB.F1 -> DOME -> DOORD.1
DOORD.2 -> G1
CAB.F2 -> LOADL -> DOORL.1
DOORL.2 -> G1
heater SCRL running 6A
heater SCRR running 6A
relay KL make
relay KR make
connector X20
CAB.F4 -> KL.30, KR.30
KL.87 -> SCRL.1
KR.87 -> SCRR.1
SCRL.2, SCRR.2 -> G1
CAB.F3 -> KL.86, KR.86
module BCM supply 1 ground 2
CAB.F5 -> BCM.1
BCM.2 -> G1
KL.85 -> X20.8 -> BCM.5 in GY 0.5 code "31-8"
KR.85 -> X20.9 -> BCM.6 in GY 0.5 code "31-9"
output BCM.5, BCM.6 grounds "heated screens"
module SIREN "siren" supply 1 ground 2 care own-battery
CAB.F6 -> SIREN.1
SIREN.2 -> G1
network BODY can members BCM (C1, C2), SIREN (3, 4)
module TOWMOD supply 1 ground 2
CAB.F7 -> TOWMOD.1
TOWMOD.2 -> G1
"""


@cache
def van() -> Circuit:
    notation, problems = read_text(SourceFile("van.circuit", VAN))
    assert not problems, problems
    return circuit_of(platform_of([notation]))


def asked(*readings: str, evidence: Evidence | None = None, **said: tuple[str, ...]) -> Diagnosis:
    typed = evidence_typed(van().platform, TypedEvidence(readings=readings, meter="low-current-clamp", **said))  # type: ignore[arg-type]
    return diagnose(van(), typed if evidence is None else typed.and_also(evidence))


def chance_of(found: Diagnosis, *names: str) -> float:
    return sum(part.probability for part in found.parts if part.part in names)


DOME = ("DOME", "DOORD", "ground-side wire of DOME")
LOADL = ("LOADL", "DOORL", "ground-side wire of LOADL")
BEHIND_F1 = (*DOME, "something on CAB.F1", "wiring behind CAB.F1")


def test_a_lamp_seen_burning_speaks_for_it_and_for_what_switches_it() -> None:
    before, after = asked("BAT=0.42A"), asked("BAT=0.42A", found=("DOME=burning",))
    assert chance_of(before, *DOME) == pytest.approx(chance_of(before, *LOADL))
    assert chance_of(after, *DOME) > 0.9 > 0.1 > chance_of(after, *LOADL)
    assert after.subjects[0].about in DOME
    assert "DOME was seen burning" in suspects_text(van().platform, after)
    evidence = [line["reading"] for line in suspects_json(van().platform, after, 3)["classes"][0]["evidence"]]
    assert "found DOME" in evidence


def test_a_part_found_warm_speaks_for_what_feeds_it_too() -> None:
    before, after = asked("BAT=6.1A"), asked("BAT=6.1A", found=("SCRL=warm",))
    left, right = ("KL", "SCRL", "control wire of KL"), ("KR", "SCRR", "control wire of KR")
    assert chance_of(before, *left) == pytest.approx(chance_of(before, *right))
    assert chance_of(after, *left) > 5.0 * chance_of(after, *right)


@pytest.mark.parametrize("place", ["X20.8", "KL.85", "31-8"])
def test_a_chafed_spot_speaks_for_that_wire(place: str) -> None:
    """The cavity, the pin at the relay, and the code printed on the wire are the same wire."""
    before, after = asked("BAT=6.1A"), asked("BAT=6.1A", found=(f"{place}=chafed",))
    rise = chance_of(after, "control wire of KL") / chance_of(before, "control wire of KL")
    assert rise > 2.0
    assert chance_of(after, "control wire of KR") < chance_of(before, "control wire of KR")


def test_a_find_touches_nothing_else() -> None:
    ready = prepared_for(van(), {}, Evidence())
    (seen,) = finds_seen([FoundThere(place="DOME", sign="burning")], ready.faults, ready.parked)
    assert {ready.faults[n].part for n in seen.touched} == {"DOORD", "ground-side wire of DOME"}


def test_who_found_something_has_looked_round() -> None:
    read = ("BAT=0.42A", "F1=0.40A")
    assert any(test.action.doing == "look" for test in asked(*read).tests.choices)
    assert not any(t.action.doing == "look" for t in asked(*read, found=("TOWMOD=wet",)).tests.choices)


def test_gone_and_no_change_speak_as_figures_do_only_less_surely() -> None:
    """With the fuse of DOME out."""
    chance = {
        said: chance_of(asked("BAT=0.42A", unplugged=(f"F1={said}",)), *BEHIND_F1)
        for said in ("0.01A", "gone", "no change", "0.42A")
    }
    before = chance_of(asked("BAT=0.42A"), *BEHIND_F1)
    assert chance["0.01A"] > chance["gone"] > before > chance["no change"] > chance["0.42A"]
    assert chance["gone"] > 0.85 and chance["no change"] < 0.1 * before


def test_less_is_that_something_goes_on_without_it() -> None:
    found = asked("BAT=0.82A", unplugged=("F1=less",))
    assert found.two_faults > 2.0 * asked("BAT=0.82A").two_faults
    assert all({"DOORD", "DOME", "CAB.F1"} & set(two.about) for two in found.if_two[:3])


def test_words_without_any_reading_before_them_still_count() -> None:
    assert chance_of(asked(unplugged=("F1=gone",)), *BEHIND_F1) > 2.0 * chance_of(asked(), *BEHIND_F1)


def test_what_is_on_no_sheet_is_clamped_unplugged_and_named_like_any_other() -> None:
    fitted = ("COOLER from BAT",)
    unread = chance_of(asked("BAT=0.42A", fitted=fitted), "COOLER")
    draws = asked("BAT=0.42A", "COOLER=0.41A", fitted=fitted)
    assert draws.subjects[0].about == "COOLER" and chance_of(draws, "COOLER") > 0.9
    assert not any(part.part == "unknown at COOLER" for part in draws.parts), "what flows in its cable is its own"
    assert draws.account is not None and draws.account.found == pytest.approx(0.41)
    assert chance_of(asked("BAT=0.42A", "COOLER=0.00A", fitted=fitted), "COOLER") < 0.1 * unread
    assert chance_of(asked("BAT=0.42A", unplugged=("COOLER=gone",), fitted=fitted), "COOLER") > 3.0 * unread
    steps = {(t.action.doing, t.action.parts) for t in draws.tests.choices}
    assert draws.tests.mend == "COOLER" or steps & {("unplug", ("COOLER",)), ("clamp", ("COOLER",))}


def test_what_is_on_no_sheet_has_no_name_of_the_sheets() -> None:
    with pytest.raises(WrongUse, match="SIREN is on the sheets already"):
        asked("BAT=0.42A", fitted=("siren from BAT",))


def test_a_fuse_does_not_silence_what_has_a_battery_of_its_own() -> None:
    """With F5 out the body computer is dead; with F6 out the siren still keeps the network awake."""
    ready = prepared_for(van(), {}, Evidence())
    keepers = {f.part: f for f in ready.faults if f.kind == "keeps-awake"}
    assert ready.without(("CAB.F5",)).parts.going_on(keepers["BCM"]) is None
    assert ready.without(("CAB.F6",)).parts.going_on(keepers["SIREN"]) is keepers["SIREN"]
    assert ready.without(("SIREN",)).parts.going_on(keepers["SIREN"]) is None
    told = prepared_for(van(), {}, Evidence(own_battery=("BCM",)))
    keeper = next(f for f in told.faults if f.kind == "keeps-awake" and f.part == "BCM")
    assert told.without(("CAB.F5",)).parts.going_on(keeper) is keeper


def test_the_rest_of_a_box_is_one_step_with_its_minutes() -> None:
    """Six fuses of the box can be read: the seventh has no test points that tell anything at this current. One minute,
    half a minute for each more, two to get at the box."""
    hand = prepared_for(van(), {}, Evidence()).handling
    rest = hand.rest_of_box("CAB", ())
    assert [name.removeprefix("CAB.") for name in rest] == [fuse.name.removeprefix("CAB.") for fuse in
                                                            van().platform.fuses if hand.reads(fuse.name) == "read-fuse"]  # fmt: skip
    action = hand.action("read-box", rest)
    assert action.hands_and_reach == pytest.approx(1.0 + 0.5 * (len(rest) - 1) + 2.0)
    assert not action.is_invasive and action.wait == 0.0
    assert hand.rest_of_box("CAB", rest[:-1]) == rest[-1:]


def test_where_several_fuses_would_be_read_one_by_one_the_rest_of_the_box_is_the_step() -> None:
    found = asked("BAT=0.42A", looked=("yes",))
    boxes = [test for test in found.tests.choices if test.action.doing == "read-box"]
    assert boxes and not any(test.action.doing == "read-fuse" for test in found.tests.choices)
    outcomes = {branch.outcome: branch.probability for branch in boxes[0].branches}
    assert sum(outcomes.values()) == pytest.approx(1.0)
    assert {"none draws", "only CAB.F1", "only CAB.F2", "several draw"} <= set(outcomes)
    text = " ".join(suspects_text(van().platform, found).split())
    assert "Read the rest of CAB, Cab fuse box" in text and "One line: CAB mV: all 0.0 except .." in text


def test_a_failed_battery_test_comes_first_where_nothing_draws() -> None:
    bad = Evidence(batteries=(BatterySeen(battery="BAT", check="test", passed=False),))
    fine = Evidence(batteries=(BatterySeen(battery="BAT", check="test", passed=True),
                               BatterySeen(battery="BAT", check="charging", volts=14.2)))  # fmt: skip
    said = {name: suspects_text(van().platform, asked("BAT=0.01A", evidence=its))
            for name, its in (("bad", bad), ("fine", fine), ("none", None))}  # fmt: skip
    assert "NO DRAW FOUND" in said["none"] and "24 hours" in said["none"] and "Engine running" in said["none"]
    assert said["bad"].partition("NEXT")[2].lstrip().partition("1  ")[2].startswith("The battery failed its test")
    assert "24 hours" not in said["fine"] and "Engine running" not in said["fine"]
