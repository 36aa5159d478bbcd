"""What proof of a part still lacks: the ground lead that is off for a cable resets what only hung, and where a part's own
current was read and just that went, it need not go out a third time. Currents by hand: 0.36 A with the part, 0 A without.
"""

import pytest

from circuitmap.jobs.job import Job
from circuitmap.jobs.trying import TryVerdict
from circuitmap.reports.job.standing_text import for_proof
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_two_batteries_joined import SKIFF
from tests.jobs.test_out_over_a_use import job

SLEDGE = circuit_from("""\
platform "Rodney snow sledge" supply 12V return body sleep 10min..15min limit 30mA
battery BAT 60Ah
fuse F1 10A mini "control"
alternator ALT supply B+ ground 31
module CTRL "control" supply 1 ground 2 asleep 2mA awake 360mA
BAT.- -> case
BAT.+ -> ALT.B+
BAT.+ -> F1 -> CTRL.1
CTRL.2, ALT.31 -> case
""").platform
CAME = 'at: "08:00", state: locked, meter: clamp, resolution: 10mA, zeroed: yes'
DREW = 'at: "08:40", total: 0.36A, steady: yes'
ITS_CABLE = 'at: "08:42", read: {ALT: 0.36A}'
OUT = ('at: "08:50", out: [ALT]', 'at: "09:10", total: 0.00A, steady: yes')
BACK = ('at: "09:15", back: [ALT]', 'at: "09:40", total: 0.36A, steady: yes')
QUIET_BACK = ('at: "09:15", back: [ALT]', 'at: "09:40", total: 0.00A, steady: yes')


def tried(*entries: str) -> TryVerdict:
    found: Job = job(SLEDGE, CAME, DREW, *entries)
    [one] = found.standing.tries
    return one


@pytest.mark.parametrize(
    ("entries", "verdict", "needs"),
    [
        (OUT, "involved", ("in-again",)),  # the ground lead was off for it: what only hung is reset by that
        ((ITS_CABLE, *OUT), "proven", ()),
        ((*OUT, *BACK), "proven", ()),
        ((*OUT, *QUIET_BACK), "gone-by-itself", ()),
    ],
)
def test_a_cable_off_once_proves_it_only_with_its_own_current_or_once_it_came_back(
    entries: tuple[str, ...], verdict: str, needs: tuple[str, ...]
) -> None:
    found = tried(*entries)
    assert (found.verdict, found.needs) == (verdict, needs)


FITTED = 'at: "08:41", added: {tool charger: BAT}'
PLUG_OUT = ('at: "08:50", out: [tool charger]', 'at: "09:10", total: 0.00A, steady: yes')
PLUG_IN = ('at: "09:15", back: [tool charger]', 'at: "09:40", total: 0.36A, steady: yes')
OWN_READ = 'at: "08:42", read: {tool charger: 0.36A}'
REST_READ = 'at: "08:43", total: 0.36A, read: {F1: 0.00A}, steady: yes'
OTHER_READ = 'at: "08:42", read: {tool charger: 0.20A}'


@pytest.mark.parametrize(
    ("read", "needs"),
    [
        ((), ("out-again",)),
        ((OWN_READ,), ()),
        ((OTHER_READ,), ("out-again",)),
        ((REST_READ,), ()),  # what no fuse at the post carries, and just that went
        ((REST_READ.replace("F1: 0.00A", "F1: 0.20A"),), ("out-again",)),
    ],
)
def test_where_just_its_own_current_went_and_came_a_third_go_adds_nothing(
    read: tuple[str, ...], needs: tuple[str, ...]
) -> None:
    found = tried(FITTED, *read, *PLUG_OUT, *PLUG_IN)
    assert (found.verdict, found.needs) == ("involved" if needs else "proven", needs)


HELD = circuit_from("""\
platform "Dunmere trailer hoist" supply 12V return body sleep 10min..15min limit 30mA
battery BAT 60Ah
fuse F1 20A mini "pump"
relay K1 "pump relay" make
motor PUMP "pump" supply 1 ground 2 running 6A
BAT.- -> case
BAT.+ -> F1 -> K1.30
F1 -> K1.86
K1.87 -> PUMP.1
PUMP.2, K1.85 -> case
""").platform
K1_OUT = ('at: "08:50", out: [K1]', 'at: "09:10", total: 0.00A, steady: yes')
K1_IN = ('at: "09:15", back: [K1]', 'at: "09:40", total: 0.36A, steady: yes')


@pytest.mark.parametrize(
    ("check", "says"),
    [
        ("relays: {K1: held}", "By its volts something drives K1: find and mend that first; the part itself"),
        ("tested: {K1 inputs: bad}", "K1 inputs bad. Mend that first; the part itself"),
    ],
)
def test_what_nobody_typed_as_a_test_is_told_as_it_was_seen(check: str, says: str) -> None:
    found = job(HELD, CAME, DREW, f'at: "08:45", {check}', *K1_OUT, *K1_IN)
    assert says in " ".join(for_proof(HELD, found.standing))


BARROW = circuit_from("""\
platform "Rodney field barrow" supply 12V return body sleep 10min..15min limit 30mA
battery BAT 60Ah
fuse F1 10A mini "heater", F2 10A mini "control"
relay K1 "heater relay" make running 150mA
heater WARM "seat heater" running 360mA
module CTRL "control" supply 1 ground 2 asleep 2mA
output CTRL.7 grounds "heater relay"
BAT.- -> case
BAT.+ -> F1 -> K1.30
K1.87 -> WARM -> case
BAT.+ -> F2 -> CTRL.1
F2 -> K1.86
K1.85 -> CTRL.7
CTRL.2 -> case
""").platform
STUCK = 'at: "08:45", relays: {K1: stuck}'
PULLED = ('at: "08:50", out: [K1]', 'at: "09:10", total: 0.00A, steady: yes')


def pulled(*entries: str) -> tuple[str, tuple[str, ...]]:
    [one] = job(BARROW, CAME, DREW, *entries).standing.tries
    return one.verdict, one.needs


def test_a_relay_that_was_measured_stuck_is_not_put_in_and_pulled_again() -> None:
    assert pulled(STUCK, *PULLED) == ("proven", ())
    verdict, needs = pulled(*PULLED)
    assert verdict == "involved" and {"in-again", "out-again"} <= set(needs)
    verdict, needs = pulled('at: "08:45", relays: {K1: open}', *PULLED)
    assert verdict == "involved" and "in-again" in needs


def test_a_stuck_relay_between_batteries_is_proven_and_what_draws_at_the_other_goes_on() -> None:
    """With the relay open the other battery gives all of the 4.05 A: that is not the end of the hunt."""
    found = job(
        circuit_from(SKIFF).platform,
        CAME,
        'at: "08:40", read: {SB: 1.61A, HB: 2.45A}, steady: yes',
        'at: "08:45", relays: {TIE: stuck}',
        'at: "08:50", out: [TIE]',
        'at: "09:10", read: {SB: 0.01A, HB: 4.05A}, steady: yes',
    )
    [one] = found.standing.tries
    assert (one.verdict, one.needs) == ("proven", ())
    assert found.standing.stage == "involved" and not found.standing.is_proven_now
