"""What the answers say about circuits that are wired differently from the samples, from notation."""

from circuitmap.circuit.common import in_common
from circuitmap.circuit.feeding import feeding_of
from circuitmap.circuit.links import Circuit
from circuitmap.circuit.trace import trace
from circuitmap.notation.reading import read_text
from circuitmap.power.classes import classes_of
from circuitmap.power.evaluate import evaluate
from circuitmap.power.feeds import feeds_of
from circuitmap.power.other_ways import told_of_other_ways, with_other_ways
from circuitmap.power.state import VehicleState
from circuitmap.problems import Severity
from circuitmap.reports.circuit.common_text import common_text
from circuitmap.reports.circuit.trace_text import trace_text
from circuitmap.reports.live.class_words import class_words
from circuitmap.reports.live.live_text import live_text
from circuitmap.reports.words.feed_words import feed_words
from circuitmap.source import SourceFile
from circuitmap.transcribing.to_declare import to_declare
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.parts import Terminal
from tests.circuit.told import circuit

HEAD = """
naming SP* splice, G* ground
battery B1 70Ah
ground GB
B1.- -> GB
"""


def flat(text: str) -> str:
    return " ".join(text.split())


def common_words(its: Circuit, *drawing: str) -> str:
    return flat(common_text(its.platform, in_common(its, drawing)))


def trace_words(its: Circuit, part: str) -> str:
    traced = trace(its, part)
    ends = [pin.terminal for pin in traced.pins]
    ends += [there.taking.terminal for there in traced.downstream if there.taking.kind == "load"]
    return flat(trace_text(its.platform, traced, feeds_of(its, {}, ends)))


def live_words(its: Circuit, **said: object) -> str:
    powered = evaluate(its, VehicleState(**said))  # type: ignore[arg-type]
    return flat(live_text(powered, classes_of(its, {})))


TWO_BATTERIES = (
    HEAD
    + """
battery B2 95Ah
fuse P5 50A, F1 10A, F2 10A, F3 10A
relay K20 make
starter M1 supply 30 ground 31
lamp L1
lamp L2
lamp L3
key IGN positions off, run closes 30 to 15 in run
B2.- -> GB
B1.+ -> P5 -> K20.30
K20.87 -> B2.+
B1.+ -> M1.30
M1.31 -> GB
B1.+ -> IGN.30
IGN.15 -> K20.86
K20.85 -> GB
B1.+ -> F1 -> L1 -> GB
B2.+ -> F2 -> L2 -> GB
P5 -> F3 -> L3 -> GB
"""
)


def test_a_headline_names_no_fuse_of_the_second_battery() -> None:
    its = circuit(TWO_BATTERIES)
    assert "M1.30: always live." in trace_words(its, "M1")
    assert "through P5" not in trace_words(its, "M1")
    assert trace_words(its, "P5").count("P5: always live.") == 1


def test_fuses_on_one_battery_have_its_post_in_common_in_spite_of_a_second_one() -> None:
    its = circuit(TWO_BATTERIES)
    assert "The nearest place that normally feeds all of them is B1.+." in common_words(its, "F1", "F3")
    assert "They have no feed in common." in common_words(its, "F1", "F2")


def test_batteries_side_by_side_are_one_feed() -> None:
    its = circuit(
        HEAD + "battery B2 95Ah\nB2.- -> GB\nB1.+ -> B2.+\nfuse F1 10A, F2 10A\nlamp L1\nlamp L2\n"
        "B1.+ -> F1 -> L1 -> GB\nB2.+ -> F2 -> L2 -> GB\n"
    )
    assert "The nearest place that feeds all of them is B1.+ and B2.+." in common_words(its, "F1", "F2")


def test_a_reversing_motor_is_fed_through_its_fuse_both_ways() -> None:
    its = circuit(
        HEAD + "fuse F1 10A\nmotor MW\nswitch SW positions rest, up, down closes 30 to A in up "
        "closes 31 to A in rest, down closes 30 to B in down closes 31 to B in rest, up\n"
        "B1.+ -> F1 -> SW.30\nSW.31 -> GB\nSW.A -> MW.1\nSW.B -> MW.2\n"
    )
    assert "MW through F1, SW in up" in live_words(its, switches={"SW": "up"})
    assert "MW through F1, SW in down" in live_words(its, switches={"SW": "down"})
    says = trace_words(its, "MW")
    assert "NOT KNOWN" not in says and "GROUND MW.1" in says and "GROUND MW.2" in says


INDICATOR = (
    HEAD
    + """
fuse F1 10A, F2 10A
lamp TL
module FL supply 49 ground 31
output FL.49a feeds from 49
switch HAZ positions off, pressed closes 1 to 2 in pressed closes 3 to 4 in off closes 5 to 4 in pressed
switch STALK positions off, left closes 1 to 2 in left
key IGN positions off, run closes 30 to 15 in run
B1.+ -> IGN.30
IGN.15 -> F1 -> HAZ.3
B1.+ -> F2 -> HAZ.5
HAZ.4 -> FL.49
FL.31 -> GB
FL.49a -> STALK.1, HAZ.1
HAZ.2, STALK.2 -> TL.1
TL.2 -> GB
"""
)


def test_a_way_that_takes_three_changes_is_found_by_following_it() -> None:
    """Hazard and flasher light the lamp; so do run, stalk and flasher, which are three."""
    its = circuit(INDICATOR)
    feeds = feeds_of(its, {}, [Terminal("TL", "1"), Terminal("FL", "49")])
    told = with_other_ways(feeding_of(its), feeds)
    assert [told[Terminal("TL", "1")].other_ways, told[Terminal("FL", "49")].other_ways] == [False, False]
    assert feed_words(told[Terminal("TL", "1")]) == (
        "live with HAZ pressed while FL.49a is on, or in run with STALK left while FL.49a is on"
    )
    classes = told_of_other_ways(feeding_of(its), classes_of(its, {}))
    assert class_words(classes["TL"]).endswith(", or in run with STALK left while FL.49a is on")
    assert not any(kind.other_ways for kind in classes.values())


def test_ways_that_need_no_more_than_what_was_found_are_no_others() -> None:
    """A second contact beside the first, another one on the same key, a relay beside a relay."""
    its = circuit(
        HEAD + "fuse F1 10A\nlamp L\nkey IGN positions off, run, start closes 30 to 15 in run, start\n"
        "switch S positions off, on closes 1 to 2 in on\nrelay K1 make\nrelay K2 make\n"
        "B1.+ -> F1 -> IGN.30\nIGN.15 -> K1.86, K2.86\nK1.85, K2.85 -> GB\nIGN.15 -> K1.30, K2.30\n"
        "K1.87, K2.87 -> L.1\nK1.87 -> S.1\nS.2 -> L.1\nL.2 -> GB\n"
    )
    feeds = with_other_ways(feeding_of(its), feeds_of(its, {}, [Terminal("L", "1")]))
    assert feed_words(feeds[Terminal("L", "1")]) == "live in run, start"


def test_the_ground_in_the_headline_is_that_of_the_ground_pins() -> None:
    its = circuit(
        HEAD + "fuse F1 10A\nmodule ECU supply 1 ground 2 sense 4\nswitch SX positions off, on closes 1 to 2 in on\n"
        "B1.+ -> F1 -> ECU.1\nECU.2 -> GB\nECU.4 -> SX.1\nSX.2 -> G7\n"
    )
    assert "Ground: GB." in trace_words(its, "ECU")


def test_what_was_never_declared_comes_as_lines_to_fill_in() -> None:
    """Their kinds are guesses from how names begin; the lines can be pasted, and are then read without an error."""
    source = SourceFile(
        "a.circuit",
        "battery B\nB.+ -> F1 -> SP3\nSP3 -> HEATX.1, PUMP\nB.- -> G1\nHEATX.5 -> G1\nSP3 -> K4.30\n"
        "network N can members HEATX, DOORX\n",
    )
    platform = platform_of([read_text(source)[0]], [source])
    lines = to_declare(platform)
    assert [line.partition("#")[0].strip() for line in lines.splitlines()] == [
        "load DOORX", "fuse F1", "ground G1", "module HEATX", "relay K4 make", "load PUMP", "splice SP3",
    ]  # fmt: skip
    assert "on N; what is it?" in lines
    pasted = SourceFile("b.circuit", lines)
    both = platform_of([read_text(source)[0], read_text(pasted)[0]], [source, pasted])
    assert to_declare(both) == ""
    assert not [problem.headline for problem in both.problems if problem.severity is Severity.ERROR]
