"""Readings netted into segments: no current counted twice, only one state, contradictions named."""

from functools import cache

import pytest

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.diagnosis.prepared import Prepared, prepared_for
from circuitmap.diagnosis.seen.netting import Netted, account_of, netted
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.timeline import evidence_on
from circuitmap.evidence.written_readings import written_reading
from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

NOTATION = """
platform "Marlow Linnet" supply 12V return body
    sleep 20min..40min
battery BAT 72Ah
box CAB "Cab fuse box"
box ENG "Engine fuse box"
fuse ENG.F1 60A bolted, ENG.F2 60A bolted
bar CAB.B1 feeds CAB.F1, CAB.F2
bar CAB.B2 feeds CAB.F3
fuse CAB.F1 10A mini, CAB.F2 10A mini, CAB.F3 10A mini, CAB.F9 10A mini
relay CAB.K1 make
module HEATER supply 1
module LOCKS supply 1
module TOWMOD supply 1
lamp WORK
sheet "1"
BAT.+ -> ENG.F1 -> CAB.B1
BAT.+ -> ENG.F2 -> CAB.B2
CAB.F1 -> HEATER.1
CAB.F2 -> LOCKS.1
CAB.F3 -> TOWMOD.1
CAB.B1 -> CAB.K1.30
CAB.K1.87 -> CAB.F9 -> WORK -> case
CAB.B2 -> CAB.K1.86
CAB.K1.85 -> PRESS.1
switch PRESS positions rest, pressed closes 1 to case in pressed
"""

SERIES = """
platform "Tarn Hauler" supply 24V return body
battery BAT 24V series
fuse F1 10A mini, F2 10A mini
module LIFT supply 1
module CBRADIO supply 1
sheet "1"
BAT.+ -> F1 -> LIFT.1
BAT.mid -> F2 -> CBRADIO.1
"""


@cache
def circuit(text: str = NOTATION) -> Circuit:
    source = SourceFile("a.circuit", text)
    notation, problems = read_text(source)
    assert problems == ()
    return circuit_of(platform_of([notation], [source]))


@cache
def ready(text: str = NOTATION) -> Prepared:
    return prepared_for(circuit(text), {}, Evidence())


def net(*words: str, meter: str = "series", total: float | None = None, text: str = NOTATION) -> Netted:
    platform = circuit(text).platform
    readings = [written_reading(platform, word, meter_named(meter), total=total) for word in words]
    return netted(readings, ready(text).tree, ready(text).routes)


def amps(result: Netted) -> dict[str, float | None]:
    return {s.place: None if s.amps is None else round(s.amps, 6) for s in result.segments}


def test_each_place_becomes_its_reading_minus_its_nearest_measured_branches() -> None:
    found = amps(net("BAT=1.00A", "ENG.F1=0.80A", "CAB.F1=0.30A", "CAB.F2=0.20A", "CAB.F3=0.10A"))
    assert found == {"BAT": 0.10, "ENG.F1": 0.30, "CAB.F1": 0.30, "CAB.F2": 0.20, "CAB.F3": 0.10}


def test_a_branch_hangs_on_the_nearest_place_that_was_measured() -> None:
    assert amps(net("BAT=1.00A", "CAB.F1=0.30A")) == {"BAT": 0.70, "CAB.F1": 0.30}


def test_errors_add_in_squares() -> None:
    (bat, *_) = net("BAT=1.00A", "CAB.F1=0.30A", "CAB.F3=0.40A").segments
    half = (bat.strip.highest - bat.strip.lowest) / 2
    assert half == pytest.approx((3 * 0.005**2) ** 0.5)
    assert bat.strip.blur == pytest.approx(0.01 * (1.0**2 + 0.3**2 + 0.4**2) ** 0.5)


def test_the_zero_of_one_clamp_cancels_between_two_of_its_readings() -> None:
    bat, feeder = net("BAT=1.00A", "ENG.F1=0.30A", meter="clamp").segments
    assert bat.zero is not None and bat.zero.amps == pytest.approx(0.0)
    assert feeder.zero is not None and feeder.zero.amps == pytest.approx(0.030)


def test_without_a_total_nothing_is_known_of_the_rest() -> None:
    result = net("CAB.F1=0.30A")
    assert account_of(result) is None
    assert amps(result) == {"CAB.F1": 0.30}


def test_the_balance() -> None:
    account = account_of(net("BAT=1.00A", "ENG.F1=0.80A", "CAB.F1=0.30A"))
    assert account is not None
    assert (account.total, account.found, account.left) == pytest.approx((1.00, 0.80, 0.20))


def test_branches_that_carry_more_than_their_feeder_contradict_it() -> None:
    result = net("ENG.F1=0.10A", "CAB.F1=0.30A", "CAB.F2=0.20A")
    (clash,) = result.contradictions
    assert clash.place == "ENG.F1"
    assert {r.place for r in clash.readings} == {"ENG.F1", "CAB.F1", "CAB.F2"}
    assert "ENG.F1" not in amps(result)


def test_a_current_the_wrong_way_round_is_told() -> None:
    (clash,) = net("BAT=-0.80A").contradictions
    assert clash.amps == pytest.approx(-0.80)


def test_of_two_readings_at_a_place_the_later_counts() -> None:
    result = net("CAB.F1=0.30A", "CAB.F1=0.31A")
    assert amps(result) == {"CAB.F1": 0.31}
    assert result.read_twice == {"CAB.F1"}
    assert net("CAB.F1=0.30A", "CAB.F1=0.80A").read_twice == frozenset()


def test_a_box_is_not_netted_beside_one_of_its_feeders() -> None:
    result = net("CAB=0.60A", "ENG.F1=0.50A")
    assert [(a.reading.place, a.why, a.beside) for a in result.set_aside] == [("CAB", "partial-feeder", ("ENG.F1",))]


def test_a_box_alone_takes_off_what_was_read_in_it() -> None:
    assert amps(net("BAT=1.00A", "CAB=0.60A", "CAB.F1=0.20A")) == {"BAT": 0.40, "CAB": 0.40, "CAB.F1": 0.20}


def test_draws_takes_nothing_off_the_place_above() -> None:
    assert amps(net("ENG.F1=0.50A", "CAB.F1=draws")) == {"ENG.F1": 0.50, "CAB.F1": None}


def test_a_fuse_that_is_dead_when_parked_hangs_where_there_is_current_to_give() -> None:
    result = net("ENG.F1=0.90A", "ENG.F2=0.00A", "CAB.F9=0.85A")
    assert result.loose == {"CAB.F9": "ENG.F1"}
    assert amps(result)["ENG.F1"] == pytest.approx(0.05)


def test_rows_with_another_total_belong_to_another_state() -> None:
    card = """
entries:
  - {at: 08:00, state: locked, meter: clamp}
  - {at: 09:00, total: 0.90A, read: {CAB.F1: 0.50A}}
  - {at: 09:10, total: 0.40A, read: {CAB.F2: 0.20A}}
"""
    evidence, problems = evidence_on(circuit().platform, read_card(SourceFile("c.yaml", card))[0])
    assert problems == ()
    result = netted(evidence.readings, ready().tree, ready().routes)
    assert [(a.reading.place, a.why) for a in result.set_aside] == [("CAB.F1", "other-state")]
    assert amps(result) == {"BAT": 0.20, "CAB.F2": 0.20}


def test_early_readings_and_the_quiet_phase_clear_nobody() -> None:
    card = """
entries:
  - {at: 08:00, state: locked, meter: clamp}
  - {at: 08:10, read: {CAB.F1: 0.2A}}
  - {at: 09:00, log: {floor: 0.03A, peak: 0.90A, mean: 0.20A, period: 10min}}
  - {at: 09:20, total: 0.03A, read: {CAB.F2: 0.0A}}
  - {at: 09:30, read: {CAB.F3: 0.0A}}
"""
    text = card.replace("  - {at: 09:20, total: 0.03A, read: {CAB.F2: 0.0A}}\n", "")
    evidence, problems = evidence_on(circuit().platform, read_card(SourceFile("c.yaml", text))[0])
    assert problems == ()
    result = netted(evidence.readings, ready().tree, ready().routes)
    assert [(a.reading.place, a.why) for a in result.set_aside] == [("CAB.F1", "early"), ("CAB.F3", "phase-unknown")]


def test_between_two_batteries_in_series() -> None:
    """The minus post carries what the plus post carries, and also what is taken from the tap."""
    result = net("BAT=0.30A", "BAT.-=0.70A", "F1=0.25A", "F2=0.10A", text=SERIES)
    assert amps(result) == {"BAT": 0.05, "BAT.-": 0.30, "F1": 0.25, "F2": 0.10}
    account = account_of(result)
    assert account is not None and account.total == pytest.approx(0.70)
