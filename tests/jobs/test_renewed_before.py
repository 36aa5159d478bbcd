"""What the intake says was renewed, and did not help, counts: the part itself is less likely, what hangs on it is not."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.jobs.job import job_on
from circuitmap.jobs.renewed_before import batteries_renewed_before, renewed_before, with_what_was_renewed
from circuitmap.reports.job.job_text import battery_lines
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from circuitmap.wiring.platform import Platform
from tests.wiring.written import platform_from

PLATFORM = platform_from(
    """\
platform "Dunnock" supply 12V return body sleep 10min..20min limit 40mA
battery BAT 70Ah
fuse F1 10A mini, F2 15A mini
module CTRL "cab controller" supply A ground 31 sense S awake 180mA asleep 2mA
module DISP "display" supply A ground 31 awake 170mA asleep 2mA
network BODY can members CTRL, DISP
switch DOOR "door contact" positions shut, open closes 1 to case in open
relay K1 "plate relay" make
heater PLATE running 3A
switch PSW "plate switch" positions off, on closes 1 to 2 in on
ground G0
BAT.- -> G0
BAT.+ -> F1 -> CTRL.A
F1 -> DISP.A
CTRL.31 -> G0
DISP.31 -> G0
CTRL.S -> DOOR.1
BAT.+ -> F2 -> K1.30
K1.87 -> PLATE -> G0
F2 -> PSW.1
PSW.2 -> K1.86
K1.85 -> G0
"""
)


TWO = platform_from('platform "Siskin" supply 12V\nbattery B1 70Ah\nbattery B2 "body battery" 90Ah\n')


@pytest.mark.parametrize(
    ("platform", "words", "names"),
    [
        (PLATFORM, "battery renewed, no help", {"BAT"}),
        (PLATFORM, "new battery in autumn", {"BAT"}),
        (PLATFORM, "battery and relay K1 renewed", {"BAT"}),
        (PLATFORM, "battery charged, K1 renewed", set()),
        (PLATFORM, "battery lead renewed", set()),
        (PLATFORM, "battery clamp renewed", set()),
        (TWO, "body battery B2 and a relay renewed, no help", {"B2"}),
        (TWO, "both batteries renewed three weeks ago", {"B1", "B2"}),
        (TWO, "battery renewed", set()),  # which one?
        (PLATFORM, "", set()),
    ],
)
def test_which_batteries_are_meant(platform: Platform, words: str, names: set[str]) -> None:
    assert batteries_renewed_before(platform, words) == names


def battery_told(intake: str, amps: str) -> str:
    text = f'job: 1\nflat-after: 2 days\n{intake}entries:\n- at: "08:00"\n  state: locked\n- at: "09:00"\n  total: {amps}\n'
    return " ".join(battery_lines(job_on(PLATFORM, *read_card(SourceFile("c.yaml", text)))))


def test_a_new_battery_is_told_where_the_draw_is_too_little_for_the_complaint() -> None:
    said = "It was renewed before the vehicle came in: what the old one had lost explains nothing now"
    new, rest = "done-before: battery renewed\n", "battery-volts: 12.6V\n"
    assert f"{said}; how full the new one was, nobody wrote down." in battery_told(new, "0.03A")
    assert f"{said}." in battery_told(new + rest, "0.03A")
    assert said not in battery_told(new, "1.50A") and said not in battery_told("", "0.03A")


@pytest.mark.parametrize(
    ("words", "names"),
    [
        ("relay K1 renewed by the body maker, battery renewed, no help", ("K1",)),
        ("battery and cab controller CTRL renewed, no help", ("CTRL",)),
        ("battery and the cab controller renewed; did not help", ("CTRL",)),
        ("CTRL, DISP replaced in vain", ("CTRL", "DISP")),
        ("CTRL renewed", ()),  # may be how it began
        ("K1 looked at, no help", ()),
        ("wire from CTRL to DOOR renewed, no help", ()),  # the wire, not what it leads to
        ("CTRL cleaned; wire of DOOR renewed, K1 renewed, no help", ("K1",)),
        ("battery renewed, no help", ()),
        ("", ()),
    ],
)
def test_which_parts_are_meant(words: str, names: tuple[str, ...]) -> None:
    assert renewed_before(PLATFORM, words) == names


def asked(done: str, *entries: str) -> Diagnosis:
    read = ('at: "07:00", state: locked', *entries)
    text = (f"done-before: {done}\n" if done else "") + "entries:\n" + "".join(f"  - {{{its}}}\n" for its in read)
    card, problems = read_card(SourceFile("job.yaml", text))
    evidence, more = evidence_on(PLATFORM, card)
    assert (*problems, *more) == ()
    assert job_on(PLATFORM, card).evidence.mended == with_what_was_renewed(PLATFORM, card, evidence).mended
    return diagnose(circuit_of(PLATFORM), with_what_was_renewed(PLATFORM, card, evidence))


def chance_of(diagnosis: Diagnosis, part: str) -> float:
    return next((its.probability for its in diagnosis.parts if its.part == part), 0.0)


AWAKE = ('at: "07:40", total: 0.35A, read: {F1: 0.35A, F2: 0.00A}, steady: yes', "network: {BODY: 2.5V}")
HEATS = ('at: "07:40", total: 3.00A, read: {F2: 3.00A, F1: 0.00A}, steady: yes',)


def test_a_controller_renewed_in_vain_no_longer_leads_and_what_it_hears_does() -> None:
    plain, renewed = asked("", *AWAKE), asked("CTRL renewed, no help", *AWAKE)
    assert chance_of(renewed, "CTRL") < 0.5 * chance_of(plain, "CTRL")
    assert chance_of(renewed, "DOOR") > chance_of(plain, "DOOR")
    assert chance_of(renewed, "DISP") > chance_of(plain, "DISP")


def test_a_relay_renewed_in_vain_makes_what_drives_it_likelier() -> None:
    plain, renewed = asked("", *HEATS), asked("relay K1 renewed, no help", *HEATS)
    assert chance_of(renewed, "K1") < 0.5 * chance_of(plain, "K1")
    assert chance_of(renewed, "PSW") > 1.5 * chance_of(plain, "PSW")


def test_a_switch_that_stands_for_its_wire_loses_less() -> None:
    plain, renewed = asked("", *AWAKE), asked("DOOR renewed, no help", *AWAKE)
    kept = chance_of(renewed, "DOOR") / chance_of(plain, "DOOR")
    assert 0.25 < kept < 0.9


def test_it_is_said_beside_what_is_told() -> None:
    said = " ".join(suspects_text(PLATFORM, asked("relay K1 renewed, no help", *HEATS)).split())
    assert "RENEWED K1, plate relay before it came in, no help" in said
    assert "RENEWED" not in suspects_text(PLATFORM, asked("relay K1 renewed", *HEATS))
    assert "RENEWED" not in suspects_text(PLATFORM, asked("CTRL renewed, no help", *HEATS))  # nothing is told of it


def test_readings_outweigh_it() -> None:
    stuck = asked("relay K1 renewed, no help", *HEATS, 'at: "07:50", relays: {K1: stuck}')
    assert stuck.parts[0].part == "K1"


@pytest.mark.parametrize(
    ("claim", "renewed"),
    [
        ("another workshop: K1 welded, renewed", ("K1",)),
        ("another workshop: CTRL renewed", ()),  # the intake says nothing of that one
        ("another workshop: K1 was cold", ()),
        ("", ()),
    ],
)
def test_a_part_of_which_others_claim_that_they_renewed_it_is_not_how_it_began(
    claim: str, renewed: tuple[str, ...]
) -> None:
    said = (f'at: "07:30", claim: "{claim}"',) if claim else ()
    its = asked("battery new, relay K1 new", *said, *HEATS)
    assert its.renewed_before == renewed
    assert ("RENEWED K1" in " ".join(suspects_text(PLATFORM, its).split())) == bool(renewed)
