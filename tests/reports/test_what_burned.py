"""The customer reads what burned or ran because of what was proven: as somebody saw it, or else by the answer; nothing
of it where nothing is proven, or where the proven part sets nothing going."""

from circuitmap.flows.page import report_on
from circuitmap.jobs.job import job_of
from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

HORSEBOX = """\
platform "Teasel Horsebox" sleep 10min..20min limit 50mA
naming SP* splice
battery BAT 90Ah
fuse F1 10A mini, F2 15A mini, F3 5A mini
switch RAMPSW "ramp lamp switch" positions shut, open closes 1 to 2 in open
lamp RAMPL "ramp lamp" running 12W
lamp TACKL "tack locker lamp" running 5W
switch TACKSW "tack locker switch" positions shut, open closes 1 to 2 in open
relay K1 "water heating relay" make
heater TANK "water heating" running 60W
switch WARMSW positions off, on closes 1 to 2 in on
module ALARM "locking" supply 1 ground 2 asleep 5mA
ground G
BAT.+ -> F1 -> SP1
SP1 -> RAMPL -> RAMPSW.1
RAMPSW.2 -> G
SP1 -> TACKL -> TACKSW.1
TACKSW.2 -> G
BAT.+ -> F2 -> K1.30
K1.87 -> TANK -> G
F2 -> WARMSW.1
WARMSW.2 -> K1.86
K1.85 -> G
BAT.+ -> F3 -> ALARM.1
ALARM.2 -> G
BAT.- -> G
"""
LOCKED = '{at: "08:00", state: locked, meter: low-current clamp, zeroed: yes}'
LAMP = (
    LOCKED,
    '{at: "08:40", total: 1.005A, read: {F1: 1.0A, F2: 0.0A, F3: 0.005A}}',
    '{at: "08:45", out: [RAMPSW]}', '{at: "09:10", total: 0.005A}',
    '{at: "09:12", back: [RAMPSW]}', '{at: "09:40", total: 1.005A}',
    '{at: "09:42", tested: {RAMPSW: bad}}',
)  # fmt: skip
MENDED = (
    '{at: "09:50", cause: "RAMPSW, its contact sticks", mended: "switch renewed"}',
    '{at: "09:52", state: locked}', '{at: "10:30", total: 0.005A, steady: yes}',
)  # fmt: skip
HEAT = (
    LOCKED,
    '{at: "08:40", total: 5.005A, read: {F1: 0.0A, F2: 5.0A, F3: 0.005A}}',
    '{at: "08:42", relays: {K1: stuck}}',
    '{at: "08:45", out: [K1]}', '{at: "09:10", total: 0.005A}',
    '{at: "09:12", back: [K1]}', '{at: "09:40", total: 5.005A}',
    '{at: "09:50", cause: "K1, contact welded", mended: "relay renewed"}',
    '{at: "09:52", state: locked}', '{at: "10:30", total: 0.005A, steady: yes}',
)  # fmt: skip


def found(*entries: str, then: tuple[str, ...] = ()) -> str:
    lines = ["job: 6", "platform: horsebox", "entries:", *(f"  - {entry}" for entry in (*entries, *then))]
    platform = platform_of([read_text(SourceFile("h.circuit", HORSEBOX))[0]])
    job = job_of(platform, SourceFile("j.yaml", "\n".join(lines) + "\n"))
    assert not job.problems, job.problems
    page = {part.heading: part.sentences for part in report_on(job).customer}
    return " ".join(page["We found"])


def seen(sign: str) -> tuple[str, ...]:
    return (*LAMP[:2], f'{{at: "08:41", found: {{RAMPL: {sign}}}}}', *LAMP[2:])


def test_a_lamp_that_was_seen_burning_is_told_as_seen() -> None:
    said = found(*seen("burning"), then=MENDED)
    assert "The ramp lamp (RAMPL) was seen burning while it was parked." in said
    assert said.count("RAMPL") == 1 and "TACKL" not in said


def test_of_one_that_nobody_looked_at_the_answer_tells_it() -> None:
    assert "The ramp lamp (RAMPL) burned while it was parked." in found(*LAMP, then=MENDED)


def test_what_a_relay_fed_ran_and_whether_it_was_warm() -> None:
    assert "The water heating (TANK) ran while it was parked." in found(*HEAT)
    warm = (*HEAT[:3], '{at: "08:43", found: {TANK: warm}}', *HEAT[3:])
    assert "The water heating (TANK) ran while it was parked, and was found warm." in found(*warm)


def test_before_anything_is_proven_nothing_is_said_to_have_burned() -> None:
    assert "while it was parked" not in found(*seen("burning")[:5])


def test_a_wire_that_leaks_sets_nothing_going() -> None:
    leak = (
        LOCKED,
        '{at: "08:40", total: 0.405A, read: {F1: 0.4A, F2: 0.0A, F3: 0.005A}, found: {RAMPL: dark, TACKL: dark}}',
        '{at: "08:45", out: [F1]}', '{at: "09:10", total: 0.005A}',
        '{at: "09:12", back: [F1]}', '{at: "09:40", total: 0.405A, found: {SP1: chafed}}',
        '{at: "09:50", cause: "wire at SP1 chafed", mended: "wire renewed"}',
        '{at: "09:52", state: locked}', '{at: "10:30", total: 0.005A, steady: yes}',
    )  # fmt: skip
    assert "while it was parked" not in found(*leak)
