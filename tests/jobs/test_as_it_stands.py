"""How long the batteries last as the vehicle stands now, with something out: two batteries that a contact joins, each
with a share of one draw, and one left alone with all of it once the contact is out. Hours by hand: from 80 % down to
50 % of 75 Ah are 22.5 Ah, at 1.15 A 20 h."""

import pytest

from circuitmap.jobs.as_it_stands import drained_as_it_stands
from circuitmap.jobs.job import Job
from circuitmap.reports.job.job_json import job_json
from circuitmap.reports.job.job_text import job_text
from circuitmap.wiring.platform import Platform
from tests.diagnosis.test_answers import circuit_from
from tests.jobs.test_out_over_a_use import job

BUS: Platform = circuit_from("""\
platform "Ember Tarn shuttle" supply 12V return body sleep 10min..15min limit 50mA
battery G1 95Ah
battery G2 75Ah
fuse F1 100A bolted, F2 100A bolted, F3 10A mini "signs"
relay K1 "separating relay" make
lamp SIGNS running 14W
ground GND
starter START supply 30 ground 31
G1.+ -> F1 -> K1.30
G1.+ -> START.30
START.31 -> GND
K1.87 -> F2 -> G2.+
G2.+ -> F3 -> SIGNS -> GND
G1.- -> GND
G2.- -> GND
""").platform
CAME = 'at: "08:00", state: locked, meter: clamp, resolution: 10mA, zeroed: yes'
DREW = 'at: "08:40", read: {G1: 0.66A, G2: 0.51A}, steady: yes'
STUCK = 'at: "08:45", relays: {K1: stuck}'
OUT = ('at: "08:50", out: [K1]', 'at: "09:10", read: {G1: 0.01A, G2: 1.15A}, steady: yes')
BACK = ('at: "09:15", back: [K1]', 'at: "09:40", read: {G1: 0.66A, G2: 0.51A}, steady: yes')


def lines(found: Job) -> str:
    assert not found.problems
    return " ".join(" ".join(job_text(found)).split())


@pytest.mark.parametrize(
    ("entries", "said"),
    [
        (OUT, True),
        ((*OUT, *BACK), False),  # nothing is out any more
        ((*OUT, 'at: "09:20", cause: K1 welded, mended: K1 renewed'), False),
        (('at: "08:50", out: [K1]', 'at: "09:10", read: {G1: 0.66A, G2: 0.51A}, steady: yes'), False),  # as with it in
        (('at: "08:50", out: [K1]', 'at: "09:10", read: {G1: 0.01A, G2: 0.01A}, steady: yes'), False),  # enough
    ],
)
def test_what_is_left_with_it_out_has_hours_of_its_own(entries: tuple[str, ...], said: bool) -> None:
    found = job(BUS, CAME, DREW, STUCK, *entries)
    assert [name for name, _, _ in drained_as_it_stands(found)] == (["G2"] if said else [])
    assert ("As it stands now, with K1 out: G2, at 1.08 to 1.21 A it is half empty after" in lines(found)) == said
    its = job_json(found)["as_it_stands"]
    assert [(one["name"], one["out"], one["amps"]) for one in its] == ([("G2", ["K1"], 1.15)] if said else [])
    for one in its:
        low, high = one["hours_to_no_start"]
        assert low < 22.5 / 1.15 < high


def test_a_relay_with_no_volts_at_its_coil_need_not_go_out_again_where_another_battery_is_left_with_it_all() -> None:
    found = job(BUS, CAME, DREW, STUCK, *OUT)
    [one] = found.standing.tries
    assert (one.verdict, one.needs) == ("proven", ())
    assert [(its.place, its.amps) for its in one.elsewhere] == [("G2", 1.15)]
    assert found.standing.stage == "involved"  # the other battery gives too much
    assert "But 1.15 A at G2 with it out, which is too much: something else draws there." in lines(found)
    unknown = job(BUS, CAME, DREW, *OUT)
    assert "in-again" in unknown.standing.tries[0].needs
