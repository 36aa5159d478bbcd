"""When what is awake falls asleep again: against a clock that ticks second by second, and in words."""

from random import Random

import pytest

from circuitmap.power.asleep_again import asleep_again
from circuitmap.power.classes import classes_of
from circuitmap.power.evaluate import Powered
from circuitmap.reports.live.how_long_text import asleep_again_json
from circuitmap.reports.live.live_text import live_text
from tests.power.vehicle import live, vehicle

HEAD = """
platform "Asleep again"
naming G* ground, F* fuse
battery BAT
BAT.- -> G1
BAT.+ -> F1
"""


def seconds(powered: Powered) -> dict[str, int]:
    return {its.name: round(its.minutes.high * 60) for its in asleep_again(powered)}


@pytest.mark.parametrize("seed", range(60))
def test_against_a_clock(seed: int) -> None:
    """Networks that pass on only upwards, members that talk or listen, each with a time of its own or none."""
    random = Random(seed)
    count = random.randint(1, 4)
    own = {f"M{n}": random.choice((0, 0, 5, 20, 47)) for n in range(random.randint(2, 6))}
    run_on = [random.choice((0, 0, 3, 11)) for _ in range(count)]
    members = [{name: random.random() < 0.4 for name in own if random.random() < 0.6} for _ in range(count)]
    members = [its or {"M0": False} for its in members]
    passes = [(a, b) for a in range(count) for b in range(a + 1, count) if random.random() < 0.5]
    text = HEAD
    for name, time in own.items():
        text += f"module {name} supply 1 ground 2{f' run-on {time}s' if time else ''}\nF1 -> {name}.1\n{name}.2 -> G1\n"
    for n, its in enumerate(members):
        told = ", ".join(f"{name} listens" if listens else name for name, listens in its.items())
        text += f"network N{n} can members {told}{f' run-on {run_on[n]}s' if run_on[n] else ''}\n"
    for a, b in passes:
        text += f"module W{a}{b} supply 1 ground 2\nF1 -> W{a}{b}.1\nW{a}{b}.2 -> G1\n"
        text += f"gateway W{a}{b} joins N{a}, N{b} passes N{a} to N{b}\n"
    powered = live(vehicle(text), awake=frozenset(f"N{n}" for n in range(count)))

    last_quiet = [0] * count
    up_until = dict.fromkeys(own, 0)
    for now in range(500):
        for n in range(count):
            talks = any(not listens and now < own[name] for name, listens in members[n].items())
            woken = any(b == n and (now < last_quiet[a] + run_on[a]) for a, b in passes)
            if talks or woken:
                last_quiet[n] = now + 1
        for n, its in enumerate(members):
            up = now < last_quiet[n] + run_on[n]
            for name, listens in its.items():
                if up:
                    up_until[name] = max(up_until[name], now + 1 + (own[name] if listens else 0))
    for name, time in own.items():
        if any(name in its for its in members):
            up_until[name] = max(up_until[name], time)
    found = seconds(powered)
    expected = {name: time for name, time in up_until.items() if any(name in its for its in members)}
    if any(found.values()):
        assert {name: found[name] for name in expected} == expected
    else:
        assert not any(expected.values())


TEXT = (
    HEAD
    + """
switch MAIN positions off, on closes 1 to 2 in on
switch KNOB positions off, on closes 1 to 2 in on
fuse F2 10A
module HEAT supply 1 ground 2 wake 3 by plus run-on 3min
module HUB supply 1 ground 2 run-on 1min
module AMP supply 1 ground 2 wake 3 by plus
output HUB.4 feeds from 1 while awake
BAT.+ -> MAIN.1
MAIN.2 -> F2 -> HEAT.1
F2 -> KNOB.1
KNOB.2 -> HEAT.3
F1 -> HUB.1, AMP.1
HEAT.2, HUB.2, AMP.2 -> G1
HUB.4 -> AMP.3
network DATA can members HEAT drives, HUB listens
"""
)


def told(powered: Powered) -> str:
    return " ".join(live_text(powered, classes_of(powered.circuit, {})).split())


def test_one_after_the_other_and_not_without_its_switch() -> None:
    powered = live(vehicle(TEXT), switches={"MAIN": "on", "KNOB": "on"})
    assert seconds(powered) == {"HEAT": 180, "HUB": 240, "AMP": 240}
    text = told(powered)
    assert "after 3 min HEAT; at once without MAIN.2" in text
    assert "after 4 min HUB, with DATA: HEAT 3 min, then HUB 1 min" in text
    assert "after 4 min AMP, with HUB: HEAT 3 min, then HUB 1 min" in text
    assert [its["at_once_without"] for its in asleep_again_json(powered)] == [[], ["MAIN.2"], []]


def test_where_no_time_is_typed_nothing_is_told() -> None:
    text = TEXT.replace(" run-on 3min", "").replace(" run-on 1min", "")
    powered = live(vehicle(text), switches={"MAIN": "on", "KNOB": "on"})
    assert asleep_again(powered) == () and "ASLEEP AGAIN" not in told(powered)


def test_two_networks_that_pass_to_each_other_do_not_add_up_for_ever() -> None:
    text = HEAD + "".join(f"module {n} supply 1 ground 2\nF1 -> {n}.1\n{n}.2 -> G1\n" for n in ("A", "B", "W"))
    text += "network ONE can members A, W run-on 5s\nnetwork TWO can members B, W run-on 7s\n"
    text += "gateway W joins ONE, TWO passes ONE to TWO, TWO to ONE\n"
    powered = live(vehicle(text), awake=frozenset({"A"}))
    assert seconds(powered) == {"A": 12, "B": 12, "W": 12}
