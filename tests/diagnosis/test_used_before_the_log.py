"""Where nothing draws and nobody has used the vehicle since it came in, it is used as its driver does before a night is
logged: what hangs is set up by use (worked out by hand)."""

from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told

LAUNCH = """\
platform "Tarn launch" supply 12V return body sleep 5min..10min limit 40mA
battery BAT 70Ah
fuse F1 10A mini "winch controller"
module CTRL "winch controller" supply 1 ground 2 asleep 5mA awake 150mA
ground G1
BAT.- -> G1
BAT.+ -> F1 -> CTRL.1 in RD 1
CTRL.2 -> G1 in BN 1
"""
LOCKED = "at: 08:00, state: locked, meter: low current clamp, resolution: 1mA, zeroed: yes"
QUIET = "at: 09:00, total: 6mA, steady: yes"


def next_steps(*entries: str) -> str:
    its = circuit_from(LAUNCH)
    text = " ".join(suspects_text(its.platform, told(its, *entries)[0]).split())
    return text[text.index("NEXT (") :]


def test_it_is_used_as_its_driver_does_before_a_night_is_logged() -> None:
    text = next_steps(LOCKED, QUIET)
    assert "1 Use it as the driver does: key on, each consumer once" in text
    assert "nothing unplugged and no battery lead off" in text
    assert "What is switched on may move or get hot: keep clear of it." in text
    assert text.index("Use it as the driver does") < text.index("Log the total overnight")


def test_once_it_was_used_and_locked_again_the_night_comes_first() -> None:
    text = next_steps("at: 07:30, state: key on", "at: 07:40, state: key off", LOCKED, QUIET)
    assert "Use it as the driver does" not in text
    assert "1 Log the total overnight" in text


def test_a_key_that_only_asked_the_modules_is_no_use() -> None:
    text = next_steps("at: 07:30, state: key on", "at: 07:35, codes: [B1000 stored CTRL]", LOCKED, QUIET)
    assert "1 Use it as the driver does" in text
