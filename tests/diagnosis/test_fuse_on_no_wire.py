"""A fuse of which a chart says neither what feeds it nor what hangs on it: its current shows that something is on, and
nothing that is typed in could ever explain it. Whoever waits for that never mends."""

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnosis import Diagnosis
from tests.diagnosis.test_wires_that_are_left import told
from tests.wiring.written import platform_from

CHART = """\
platform "Ossel yard trailer" supply 12V return body sleep 5min..10min limit 50mA
battery BAT 90Ah
box B
fuse MAIN 80A bolted
fuse B.F1 20A mini "heater relay", B.F2 10A mini "heater relay, coil", B.F3 10A mini "lamps", B.R1 20A mini "heater"
bar B.B1 feeds B.F1..F3
relay B.K1 "heater relay" make
lamp LAMP "yard lamp"
BAT feeds MAIN
MAIN feeds B.B1
B.F1 feeds B.K1.30
B.F2 feeds B.K1.86
B.F3 feeds LAMP
"""
READ = "at: 09:00, total: 2.70A, read: {B.F1: 2.55A, B.F2: 0.15A, B.F3: 0.00A, B.R1: 2.55A}"
HELD = ("at: 09:05, relays: {B.K1: held}", "at: 09:10, out: [B.K1]", "at: 09:25, total: 0.00A")


def after(text: str) -> Diagnosis:
    return told(circuit_of(platform_from(text)), "at: 08:00, state: locked", READ, *HELD)[0]


def test_the_relay_is_to_be_mended_all_the_same() -> None:
    """F1 and F2 feed the relay, the heater's fuse shows what passes F1, and with the relay out all is gone."""
    assert after(CHART).tests.mend == "B.K1"


def test_where_the_chart_says_what_feeds_it_its_current_has_to_be_explained() -> None:
    wrong = CHART.replace("feeds B.F1..F3", "feeds B.F1..F3, B.R1") + 'heater HEAT "heater"\nB.R1 feeds HEAT\n'
    assert after(wrong).tests.mend != "B.K1"
