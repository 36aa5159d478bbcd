"""What was measured at a relay or a switch is not asked for again: stuck in the hand or in the socket, a coil without
volts, volts with it in and without it."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.circuit.switched import switching_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.jobs.standing import JobStanding, standing_of
from circuitmap.jobs.trying import TryVerdict
from circuitmap.reports.job.standing_text import need_sentences
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from tests.wiring.written import platform_from

PLATFORM = platform_from(
    """\
platform "Siskin" supply 12V return body sleep 10min..20min limit 40mA
battery BAT 70Ah
alternator ALT
fuse F1 10A mini, F2 15A mini, F3 10A mini, F4 150A mega
relay K2 "bar relay" make
relay K3 "other bar relay" make
key KEY positions off, run closes 30 to 15 in run
switch HSW "heater switch" positions off, on closes 1 to 2 in on
lamp TELL running 1.2A
lamp MORE running 0.5A
heater HEAT supply 1 ground 2 control 3 running 2.5A
ground G0
BAT.- -> G0
BAT.+ -> F4 -> ALT.B+
BAT.+ -> F1 -> KEY.30
KEY.15 -> K2.86
K2.85 -> G0
KEY.15 -> K3.86
K3.85 -> G0
BAT.+ -> F2 -> K2.30
K2.87 -> TELL -> G0
F2 -> K3.30
K3.87 -> MORE -> G0
BAT.+ -> F3 -> HEAT.1
HEAT.2 -> G0
F3 -> HSW.1
HSW.2 -> HEAT.3
"""
)
READ = ('at: "07:00", state: locked', 'at: "07:40", total: 1.20A, read: {F2: 1.20A, F3: 0.00A}, steady: yes')
NO_KEY = ('at: "07:50", out: [KEY]', 'at: "08:10", total: 1.20A, steady: yes', 'at: "08:11", back: [KEY]')
OUT = ('at: "08:20", out: [K2]', 'at: "08:40", total: 0.01A, steady: yes')
BACK = ('at: "08:45", back: [K2]', 'at: "09:05", total: 1.20A, steady: yes')
AGAIN = ('at: "09:10", out: [K2]', 'at: "09:30", total: 0.01A, steady: yes')


def standing_on(*entries: str) -> JobStanding:
    text = "entries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    card, problems = read_card(SourceFile("job.yaml", text))
    evidence, more = evidence_on(PLATFORM, card)
    assert (*problems, *more) == ()
    return standing_of(PLATFORM, card, evidence)


def tries_of(*entries: str) -> dict[tuple[str, ...], TryVerdict]:
    return {one.out: one for one in standing_on(*entries).tries}


@pytest.mark.parametrize(
    ("entries", "needs"),
    [
        ((*READ, *OUT, *BACK, *AGAIN), ("inputs", "outputs")),
        ((*READ, *OUT, 'at: "08:42", relays: {K2: stuck}', *BACK, *AGAIN), ()),  # in the hand
        ((*READ, 'at: "07:45", relays: {K2: stuck}', *OUT, *BACK, *AGAIN), ()),
        ((*READ, 'at: "07:45", relays: {K2: held}', *OUT, *BACK, *AGAIN), None),  # its inputs are bad
        ((*READ, 'at: "07:45", volts: {K2.86: 0.0V}', *OUT, *BACK, *AGAIN), ()),
        ((*READ, 'at: "07:45", volts: {KEY.15: 0.0V}', *OUT, *BACK, *AGAIN), ()),  # one metal with the coil
        ((*READ, 'at: "07:45", volts: {K2.86: 12.1V}', *OUT, *BACK, *AGAIN), ("inputs", "outputs")),
        ((*READ, *NO_KEY, *OUT, *BACK, *AGAIN), ("inputs", "outputs")),  # its wire may be rubbed all the same
    ],
)
def test_a_relay_is_not_asked_for_what_was_measured(entries: tuple[str, ...], needs: tuple[str, ...] | None) -> None:
    its = tries_of(*entries)["K2",]
    assert (its.needs, its.verdict) == (needs or (), "proven" if needs == () else "involved")
    assert bool(its.failed) == (needs is None)


def heated(*between: str) -> TryVerdict:
    read = ('at: "07:00", state: locked', 'at: "07:40", total: 2.50A, read: {F3: 2.50A}, steady: yes')
    first = ('at: "08:20", out: [HSW]', 'at: "08:40", total: 0.01A, steady: yes')
    back = ('at: "08:45", back: [HSW]', 'at: "09:05", total: 2.50A, steady: yes')
    again = ('at: "09:10", out: [HSW]', 'at: "09:30", total: 0.01A, steady: yes')
    with_it, without = (*between, "", "")[:2]
    its = [*read, with_it, *first, without, *back, *again]
    return tries_of(*(entry for entry in its if entry))["HSW",]


@pytest.mark.parametrize(
    ("between", "needs"),
    [
        ((), ("itself",)),  # and not what a door contact watches, nor what it feeds
        (("volts: {HEAT.3: 12.1V}", "volts: {HEAT.3: 0.0V}"), ()),
        (("volts: {HEAT.3: 12.1V}",), ("itself",)),  # the wire may have a plus of its own
        (("volts: {HEAT.3: 12.1V}", "volts: {HEAT.3: 12.0V}"), ("itself",)),
        (("stands: {HSW: on}, volts: {HEAT.3: 12.1V}", "volts: {HEAT.3: 0.0V}"), ("itself",)),  # as it should
        (("tested: {HSW: bad}",), ()),
    ],
)
def test_a_switch_wants_a_test_of_itself_and_no_more(between: tuple[str, ...], needs: tuple[str, ...]) -> None:
    its = heated(*between)
    assert (its.needs, its.verdict) == (needs, "involved" if needs else "proven")
    said = " ".join(need_sentences(PLATFORM, its, switching_of(circuit_of(PLATFORM))))
    assert ("really at off" in said) == bool(needs)
    assert "scan" not in said and "apart" not in said


def test_of_what_has_a_cable_of_its_own_nothing_is_tested_apart() -> None:
    read = ('at: "07:00", state: locked', 'at: "07:40", total: 1.20A, read: {F4: 1.20A}, steady: yes')
    out = ('at: "08:20", out: [ALT]', 'at: "08:40", total: 0.01A, steady: yes')
    its = tries_of(*read, *out)["ALT",]
    assert (its.verdict, its.needs) == ("proven", ())


def answer(*entries: str) -> str:
    text = "entries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    card, _ = read_card(SourceFile("job.yaml", text))
    evidence, more = evidence_on(PLATFORM, card)
    assert more == ()
    return " ".join(suspects_text(PLATFORM, diagnose(circuit_of(PLATFORM), evidence)).split())


def test_stuck_in_the_hand_counts_for_the_relay_and_is_not_set_aside() -> None:
    said = answer(*READ, *OUT, 'at: "08:42", relays: {K2: stuck}', *BACK)
    assert "K2: no volts at its coil, yet its contact is closed" in said
    assert "seen while the draw was away" not in said
    opened = answer(*READ, *OUT, 'at: "08:42", relays: {K2: open}', *BACK)
    assert "K2 was seen while the draw was away" in opened


def test_a_relay_is_measured_in_its_socket_before_it_is_pulled() -> None:
    only = ('at: "07:42", relays: {K3: open}', 'at: "07:43", volts: {TELL.1: 12.1V}')
    before = answer(*READ, *only)
    assert "Before K2 is pulled, which may free a stuck contact: volts across its coil" in before
    assert before.index("Before K2 is pulled") < before.index("Prove K2")
    assert "Probe from behind" in before
    for entry in ('at: "07:45", volts: {K2.86: 0.0V}', 'at: "07:45", relays: {K2: stuck}'):
        assert "Before K2 is pulled" not in answer(*READ, *only, entry)
    assert "Before K2 is pulled" not in answer(*READ, *only, *OUT)


def test_what_is_proven_and_leaves_too_much_ends_no_search() -> None:
    read = ('at: "07:00", state: locked', 'at: "07:40", total: 1.70A, read: {F2: 1.70A}, steady: yes')
    out = ('at: "08:20", out: [K2]', 'at: "08:40", total: 0.50A, steady: yes')
    back = ('at: "08:45", back: [K2]', 'at: "09:05", total: 1.70A, steady: yes')
    again = ('at: "09:10", out: [K2]', 'at: "09:30", total: 0.50A, steady: yes')
    first = (*read, 'at: "07:45", relays: {K2: stuck}', *out, *back, *again)
    beside = ('at: "09:40", out: [K3]', 'at: "10:00", total: 0.01A, steady: yes')
    for entries, stage, leads in (
        (first, "involved", "K2"),
        ((*first, *beside), "involved", "K3"),
        ((*first, *beside, "tested: {K3: bad}", 'at: "10:05", back: [K3]', 'at: "10:30", total: 0.50A, steady: yes',
          'at: "10:35", out: [K3]', 'at: "10:55", total: 0.01A, steady: yes'), "proven", "K3"),
    ):  # fmt: skip
        standing = standing_on(*entries)
        assert (standing.stage, standing.leading and standing.leading.out) == (stage, (leads,))
        assert {one.out: one.verdict for one in standing.tries}["K2",] == "proven"
        assert standing.is_proven_now == (stage == "proven")
