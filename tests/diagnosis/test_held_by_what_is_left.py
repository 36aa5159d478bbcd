"""What holds a network awake is named without what the same answer rules out."""

from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told

TWO_AWAKE = """\
platform "Small truck" sleep 10min..25min limit 50mA
battery BAT 100Ah
fuse F1 10A mini, F2 10A mini
module LIFT "tail lift" supply 1 ground 2 wake 12, 13 by ground asleep 1mA awake 200mA
module LAMPS "rear lamps" supply 1 ground 2 wake 12 by ground asleep 1mA awake 200mA
module STEP "step control" supply 1 ground 2 asleep 1mA awake 200mA
switch FLAP "flap contact" positions shut, open closes 1 to 2 in open
switch HATCH "hatch contact" positions shut, open closes 1 to 2 in open
switch LATCH "latch contact" positions shut, open closes 1 to 2 in open
ground G1
network NET can members LIFT (8, 9), LAMPS (8, 9), STEP (8, 9)
BAT.- -> G1
BAT.+ -> F1, F2 in RD 16
F1 -> LIFT.1 in RD 1
F2 -> LAMPS.1 in RD 1
F2 -> STEP.1 in RD 1
LIFT.2, LAMPS.2, STEP.2 -> G1 in BN 1
LIFT.12 -> FLAP.1 in GY 0.5
LIFT.13 -> HATCH.1 in GY 0.5
LAMPS.12 -> LATCH.1 in GY 0.5
FLAP.2, HATCH.2, LATCH.2 -> G1 in BN 0.5
"""
ALL = (
    "at: 08:00, state: locked, meter: clamp, resolution: 10mA, zeroed: yes",
    "at: 09:00, total: 0.60A, read: {F1: 0.20A, F2: 0.40A}, network: {NET: awake}, steady: yes",
)
WENT = ("at: 09:05, out: [F2]", "at: 09:40, total: 0.00A, steady: yes", "at: 09:42, back: [F2]")
STAYED_AWAY = (*WENT, "at: 10:20, total: 0.00A, network: {NET: asleep}, steady: yes")


def section(text: str, label: str) -> str:
    """What stands behind a label up to the next line that begins with one."""
    lines = iter(text.splitlines())
    its = [next((line for line in lines if line.startswith(f"{label} ")), "")]
    for line in lines:
        if not line.startswith("  "):
            break
        its.append(line)
    return " ".join(" ".join(its).split())


def held_by(text: str) -> str:
    """What may hold the network: the rows, and what is named besides."""
    return f"{section(text, 'MAY BE')} {section(text, 'HELD BY')}"


def answer(*entries: str) -> str:
    its = circuit_from(TWO_AWAKE)
    found, _ = told(its, *entries)
    return suspects_text(its.platform, found)


def test_before_anything_tells_them_apart_all_are_named() -> None:
    held = held_by(answer(*ALL))
    assert all(name in held for name in ("FLAP", "HATCH", "LATCH"))


def test_what_is_ruled_out_below_is_not_named() -> None:
    """With F2 out it went, and stayed away with all in: what LIFT watches has nothing to do with that fuse."""
    text = answer(*ALL, *STAYED_AWAY)
    held, out_of_it = held_by(text), section(text, "NOT")
    assert "FLAP" in out_of_it and "HATCH" in out_of_it, text
    assert "LATCH" in held and "FLAP" not in held and "HATCH" not in held, held
