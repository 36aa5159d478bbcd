"""What the answers say of circuits that are wired otherwise than the samples, from notation."""

from circuitmap.circuit.common import in_common
from circuitmap.circuit.links import Circuit
from circuitmap.circuit.trace import trace
from circuitmap.power.classes import classes_of
from circuitmap.power.evaluate import evaluate
from circuitmap.power.feeds import feeds_of
from circuitmap.power.state import VehicleState
from circuitmap.reports.circuit.common_text import common_text
from circuitmap.reports.circuit.trace_text import trace_text
from circuitmap.reports.live.live_text import live_text
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
