"""No output sends anybody to what is hands-off, wherever it hides; and below every step stand its cautions."""

import re
from itertools import pairwise
from pathlib import Path
from typing import get_args

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.written_readings import written_reading
from circuitmap.flows.questions import in_common, open_bench, platform_from, trace, trace_network, worksheet
from circuitmap.flows.states import live, state_of
from circuitmap.jobs.short_line import entry_of
from circuitmap.jobs.still_needed import Need
from circuitmap.power.hot_fuses import hot_fuses
from circuitmap.reports.circuit.common_json import common_json
from circuitmap.reports.circuit.common_text import common_text
from circuitmap.reports.circuit.network_json import network_json
from circuitmap.reports.circuit.network_text import network_text
from circuitmap.reports.circuit.trace_json import trace_json
from circuitmap.reports.circuit.trace_text import trace_text
from circuitmap.reports.job.standing_text import NEED_WORDS
from circuitmap.reports.live.live_json import live_json
from circuitmap.reports.live.live_text import live_text
from circuitmap.reports.pages.share import NO_PICTURES, shared_platform
from circuitmap.reports.suspects.suspects_json import suspects_json
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.reports.words.cautions import CAUTIONS, StepKind, cautions_at
from circuitmap.reports.words.hands_off_words import WHY_WORDS
from circuitmap.source import SourceFile
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Care, HandsOff
from circuitmap.wiring.platform import Platform
from tests.circuit.hands_off_platforms import PLACES, Hidden, text_of

ACTS = re.compile(
    r"\b(?:Take|Unplug|Part connector|Pull relay|Read|Open leg|touches|part|take|from|Prove|Go to|Clamp the cable of)\b"
)


def platform_of(hidden: Hidden) -> Platform:
    return platform_from((SourceFile("p.circuit", text_of(hidden, "restraint")),))


def diagnoses_of(hidden: Hidden) -> list[Diagnosis]:
    """The platform with a total, then with each of its fuses in turn carrying all of it, then with everything read."""
    platform = platform_of(hidden)
    circuit = circuit_of(platform)
    meter = meter_named("clamp")
    fuses = [fuse.name for fuse in platform.fuses]
    readings = [("BAT=0.60A",), *(("BAT=0.60A", f"{fuse}=0.58A") for fuse in fuses)]
    readings.append(("BAT=0.60A", *(f"{fuse}=0.10A" for fuse in fuses)))
    found = []
    for words in readings:
        read = tuple(written_reading(platform, word, meter, total=0.6) for word in words)
        found.append(diagnose(circuit, Evidence(readings=read)))
    return found


@pytest.mark.parametrize("hidden", PLACES, ids=lambda its: its.place)
def test_no_step_of_the_next_test_goes_there(hidden: Hidden) -> None:
    for diagnosis in diagnoses_of(hidden):
        platform = diagnosis.hands_off.platform
        for test in diagnosis.tests.choices:
            action = test.action
            if action.doing in ("look", "inputs", "clamp"):
                continue
            assert [part for part in action.parts if not diagnosis.hands_off.may_touch(part)] == [], action
        told = suspects_json(platform, diagnosis, 5)
        for told_test in told["tests"]:
            if told_test["action"] not in ("look", "inputs", "clamp"):
                assert not set(told_test["parts"]) & set(hidden.never)
        _no_act_in(suspects_text(platform, diagnosis), hidden)


def _no_act_in(text: str, hidden: Hidden) -> None:
    """No line of the steps asks to do something with a name that may not be touched."""
    steps = text[text.index("NEXT") :] if "NEXT" in text else ""
    steps = re.split(r"^(?:HANDS OFF|NOT KNOWN|CARE|COUNT)", steps, flags=re.M)[0]
    for line in steps.splitlines():
        head = re.sub(r"\(.*?\)  then .*", "", line)  # what an outcome points to is not a step
        if re.match(r" \d  |      If it stays", line) and ACTS.search(head):
            for name in hidden.never:
                assert not re.search(rf"(?<![\w.]){re.escape(name)}(?![\w.])", head), line


@pytest.mark.parametrize("hidden", PLACES, ids=lambda its: its.place)
def test_the_list_for_the_car_has_no_room_to_write_there(hidden: Hidden, tmp_path: Path) -> None:
    (tmp_path / "p.circuit").write_text(text_of(hidden, "gas"), encoding="utf-8")
    bench = open_bench(tmp_path)
    text = worksheet(bench, "txt").decode()
    for fuse in bench.platform.fuses:
        row = next(line for line in text.splitlines() if line.startswith(f"{fuse.name.rpartition('.')[2]} "))
        if not bench.circuit.hands_off.may_touch(fuse.name):
            assert "____" not in row and "HANDS OFF" in row
    page = worksheet(bench, "html").decode()
    assert page.count("HANDS OFF") == text.count("HANDS OFF")


@pytest.mark.parametrize("hidden", PLACES, ids=lambda its: its.place)
def test_all_fuses_of_a_box_leaves_it_out(hidden: Hidden) -> None:
    platform = platform_of(hidden)
    line = entry_of(platform, "CAB mV: all 0.0")
    read = dict(dict(line.fields)["read"])
    left = [fuse.name for fuse in platform.fuses if fuse.name.startswith("CAB.") and fuse.name in hidden.never]
    assert not set(read) & set(hidden.never)
    if any(not fuse.empty for fuse in platform.fuses if fuse.name in left):
        assert any("Hands off" in remark for remark in line.understood)


NOTHING_TO_SAY = {"finish-sheet"}
"""Steps at which nobody can be hurt and nothing can be lost."""


def test_every_kind_of_step_has_its_line_in_the_catalogue() -> None:
    doing, others = get_args(StepKind)
    step_kinds = {*get_args(doing), *get_args(others)}
    spoken_of = set().union(*(caution.at for caution in CAUTIONS))
    assert step_kinds - spoken_of == NOTHING_TO_SAY
    assert spoken_of <= step_kinds


def test_everything_to_take_care_of_has_its_line_in_the_catalogue() -> None:
    spoken_of = set().union(*(caution.when for caution in CAUTIONS))
    assert set(get_args(Care)) <= spoken_of
    assert set(get_args(HandsOff)) - {"", "not"} == set(WHY_WORDS)
    assert set(NEED_WORDS) == set(get_args(get_args(Need)[0])) | set(get_args(get_args(Need)[1]))


def test_every_caution_has_a_code_of_its_own_and_a_source() -> None:
    codes = [caution.code for caution in CAUTIONS]
    assert len(codes) == len(set(codes))
    assert all(caution.source and caution.words.endswith(".") for caution in CAUTIONS)


@pytest.mark.parametrize("care", get_args(Care))
@pytest.mark.parametrize("step", ("unplug", "pull-fuses", "prove"))
def test_a_caution_stands_at_each_step_that_takes_something_out(care: str, step: str) -> None:
    text = f"battery BAT\nmodule M supply 1 ground 2 care {care}\nfuse F1 5A\nBAT.+ -> F1 -> M.1\nM.2 -> case\n"
    platform = platform_from((SourceFile("p.circuit", text),))
    codes = {told.code for told in cautions_at(platform, step, ("M",))}  # type: ignore[arg-type]
    if care in ("hot", "holds-fuel") and step == "pull-fuses":  # both hold at the part, not at its fuse
        assert care not in codes
    else:
        assert care in codes


@pytest.mark.parametrize("volts", (12, 24, 48))
def test_higher_volts_are_told_at_every_step_with_a_meter(volts: int) -> None:
    platform = platform_from((SourceFile("p.circuit", f'platform "P" supply {volts}V\nbattery BAT\n'),))
    for step in (
        "read-fuse",
        "read-box",
        "read-again",
        "clamp",
        "finer-clamp",
        "at-the-post",
        "leads-again",
        "network-line",
        "relay-volts",
        "series",
        "wire-ohms",
        "drop-test",
    ):
        codes = {told.code for told in cautions_at(platform, step)}  # type: ignore[arg-type]
        assert ("higher-volts" in codes) is (volts > 12)
    assert ("arcing" in {told.code for told in cautions_at(platform, "unplug")}) is (volts == 48)


@pytest.mark.parametrize("hidden", PLACES[:3], ids=lambda its: its.place)
def test_cautions_stand_right_below_their_step(hidden: Hidden) -> None:
    for diagnosis in diagnoses_of(hidden):
        lines = suspects_text(diagnosis.hands_off.platform, diagnosis).splitlines()
        for above, below in pairwise(lines):
            if re.match(r" \d  [A-Z]", above):
                assert below.lstrip().startswith("!") or below.startswith("    "), (above, below)
                assert "!" in "\n".join(lines[lines.index(above) : lines.index(above) + 4])


def test_what_is_found_by_looking_at_a_hands_off_fuse_is_handed_over() -> None:
    """Wiring behind the fuse, or something fitted at it, is not a part of the platform; it is as hands-off as the
    fuse."""
    platform = platform_of(PLACES[0])
    meter = meter_named("clamp")
    read = [written_reading(platform, word, meter, total=0.6) for word in ("BAT=0.60A", "CAB.F8=0.58A", "CAB.F2=0A")]
    text = suspects_text(platform, diagnose(circuit_of(platform), Evidence(readings=tuple(read))))
    assert "CAB.F8" in text
    assert "prove it: out, in, out" not in text and "freed from what it rubs on" not in text


@pytest.mark.parametrize("hidden", PLACES[:6], ids=lambda its: its.place)
def test_a_shared_page_says_it_at_the_fuse(hidden: Hidden) -> None:
    platform = platform_of(hidden)
    shared = shared_platform(platform, {}, {}, NO_PICTURES, circuit_of(platform).hands_off)
    told = {item.name for chapter in shared.chapters for item in chapter.items if "HANDS OFF" in dict(item.facts)}
    assert told >= {name for name in hidden.never if name in platform.parts and platform.parts[name].kind == "fuse"}
    assert not told & set(hidden.free)


@pytest.mark.parametrize("hidden", PLACES, ids=lambda its: its.place)
def test_what_names_it_says_so(hidden: Hidden, tmp_path: Path) -> None:
    """`trace` of each thing that nobody touches, `common` with such a fuse, and `live`, as text and as data."""
    (tmp_path / "p.circuit").write_text(text_of(hidden, "restraint"), encoding="utf-8")
    bench = open_bench(tmp_path)
    hands_off, platform = bench.circuit.hands_off, bench.platform
    never = [name for name in hidden.never if name in platform.parts]
    for name in never:
        its = trace(bench, name)
        text = trace_text(platform, *its, hands_off=hands_off)
        assert re.search(rf"^HANDS OFF  {re.escape(name)} \(", text, re.M), name
        assert trace_json(platform, *its, hands_off)["hands_off"][0]["name"] == name
    for fuse in [name for name in never if platform.parts[name].kind == "fuse"]:
        shared = in_common(bench, [fuse, "CAB.F2"])
        assert f"HANDS OFF  {fuse} (" in common_text(platform, shared, hands_off=hands_off)
        assert next(iter(common_json(platform, shared, hands_off)["hands_off"]))["name"] == fuse
    now = live(bench, state_of(bench, key="run"))
    told = {its["name"] for its in live_json(now.powered, now.classes)["hands_off"]}
    text = live_text(now.powered, now.classes)
    hot = {its.name for its in hot_fuses(now.powered) if its.live == Answer.YES}
    drawing = {name for name, its in now.powered.loads.items() if its.draws == Answer.YES}
    assert told >= {name for name in never if name in hot | drawing}
    assert ("HANDS OFF" in text) is bool(told) and not told & set(hidden.free)


@pytest.mark.parametrize("hidden", PLACES, ids=lambda its: its.place)
def test_what_names_nothing_of_it_says_nothing(hidden: Hidden, tmp_path: Path) -> None:
    text = text_of(hidden, "gas").replace("hands-off gas", "not hands-off")
    (tmp_path / "p.circuit").write_text(text, encoding="utf-8")
    bench = open_bench(tmp_path)
    hands_off = bench.circuit.hands_off
    told = trace_text(bench.platform, *trace(bench, "HEATER"), hands_off=hands_off)
    told += common_text(bench.platform, in_common(bench, ["CAB.F1", "CAB.F2"]), hands_off=hands_off)
    now = live(bench, state_of(bench, key="run"))
    assert "HANDS OFF" not in told + live_text(now.powered, now.classes)


def test_a_pin_on_the_copper_of_its_feed_is_told_with_its_part(tmp_path: Path) -> None:
    hidden = next(its for its in PLACES if its.place == "a load beside others on a splice")
    (tmp_path / "p.circuit").write_text(text_of(hidden, "restraint"), encoding="utf-8")
    bench = open_bench(tmp_path)
    text = " ".join(trace_text(bench.platform, *trace(bench, "LOCKS"), hands_off=bench.circuit.hands_off).split())
    assert "LOCKS.1 (on the same copper as what feeds M, restraint or pyrotechnic): unplugged, but not probed" in text


def test_a_network_that_is_hands_off_says_so_with_its_members(tmp_path: Path) -> None:
    hidden = next(its for its in PLACES if its.place == "a network")
    (tmp_path / "p.circuit").write_text(text_of(hidden, "restraint"), encoding="utf-8")
    bench = open_bench(tmp_path)
    its = trace_network(bench, "SAFE")
    text = network_text(bench.platform, *its, hands_off=bench.circuit.hands_off)
    assert "HANDS OFF  SAFE (restraint" in text
    told = network_json(bench.platform, *its, bench.circuit.hands_off)["network"]["hands_off"]
    assert [one["name"] for one in told] == ["SAFE", "GW", "LOCKS"]


BESIDE = """platform "P" supply 12V return body sleep 5min..10min limit 30mA
battery BAT 60Ah
fuse F1 20A mini, F2 10A mini, F8 30A mini, F9 30A mini
splice SP
relay K make
module BELT supply 1 ground 2 asleep 1mA hands-off restraint
module BODY supply 1 ground 2 asleep 2mA awake 200mA
module TRAY supply 1 ground 2 asleep 2mA awake 4A
switch SW positions off, on closes 1 to case in on
heater HEAT running 4A
BAT.- -> case
BAT.+ -> F8 -> SP -> BELT.1
BAT.+ -> F2 -> BODY.1
BAT.+ -> F1 -> K.30
F1 -> TRAY.1
BAT.+ -> F9
{coil} -> K.86
K.85 -> SW.1
BELT.2, BODY.2, TRAY.2 -> case
K.87 -> HEAT -> case
"""


@pytest.mark.parametrize(("coil", "probed"), [("SP", False), ("F9", True)])
def test_a_coil_on_the_copper_of_its_feed_may_be_pulled_and_is_not_probed(coil: str, probed: bool) -> None:
    platform = platform_from((SourceFile("p.circuit", BESIDE.format(coil=coil)),))
    read = (written_reading(platform, "F1=4.1A", meter_named("clamp"), total=4.2),)
    found = diagnose(circuit_of(platform), Evidence(readings=read))
    assert found.hands_off.may_touch("K") and found.hands_off.may_probe("K.86") is probed
    assert any(its.action.doing == "relay-volts" for its in found.tests.choices) is probed
