"""A job card from text to evidence, and what is said about one that was broken by hand."""

from pathlib import Path

import pytest

from circuitmap.evidence.card_text import Listing, Mapping, Text, read_yaml
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.flows.questions import open_platform
from circuitmap.problems import Problem
from circuitmap.source import SourceFile
from circuitmap.wiring.platform import Platform

NOTATION = """
platform "Tarn Hauler" supply 12V return body
    sleep 20min..40min
option TOW "towing socket"
battery BAT 72Ah
box CAB "Cab fuse box"
fuse CAB.F22 10A mini, CAB.F9 20A mini, CAB.F6 5A mini
module LIFT supply A.1, B.2
module SUSP supply A1
CAB.F22 feeds SUSP
CAB.F9 feeds LIFT.A.1
CAB.F6 feeds LIFT.B.2
network CHASSIS can members LIFT, SUSP
star X60 on CHASSIS leg LIFT leg SUSP
"""

CARD = """\
job: "0412"
vehicle: Tarn Hauler
complaint: flat after one night
fitted: [TOW]
added: {dash camera: F22}
entries:
  - {at: 10:02, state: locked, meter: clamp, zeroed: yes}
  - {at: 10:12, total: 1.9A}
  - {at: 10:50, total: 0.47A, read: {F22: 1.6mV, F9: 0.0mV}}
  - at: 10:58
    network: {CHASSIS: 2.5V}
    codes: [U0140 back SUSP about LIFT, P0562 low-voltage]
  - {at: 11:00, read: {F6: 3A}, struck: slipped off}
  - {at: 11:02, out: [F9, F6], remark: both feeds of the lift}
  - {at: 11:10, total: 0.46A}
  - {at: 11:30, total: 0.05A}
  - {at: 11:31, back: [F9, F6]}
  - {at: 12:20, total: 0.48A}
  - {at: 12:30, state: key on, scan: {unsteady: [LIFT], answers: SUSP}}
  - {at: 12:32, total: 4A}
"""


@pytest.fixture(scope="module")
def platform(tmp_path_factory: pytest.TempPathFactory) -> Platform:
    folder = tmp_path_factory.mktemp("hauler")
    (folder / "a.circuit").write_text(NOTATION)
    platform = open_platform(folder)
    assert not [p for p in platform.problems if p.severity.word == "error"]
    return platform


def told(platform: Platform, text: str) -> tuple[Evidence, tuple[Problem, ...]]:
    card, problems = read_card(SourceFile("job.yaml", text))
    evidence, more = evidence_on(platform, card)
    return evidence, problems + more


def test_the_whole_card(platform: Platform) -> None:
    evidence, problems = told(platform, CARD)
    assert problems == ()
    assert evidence.options == {"TOW": True}
    assert [(a.name, a.fed_from) for a in evidence.added] == [("dash camera", "CAB.F22")]
    assert [(r.place, r.written, r.speaks) for r in evidence.readings] == [
        ("BAT", "1.9A", "early"),
        ("BAT", "0.47A", "parked"),
        ("CAB.F22", "F22 1.6mV", "parked"),
        ("CAB.F9", "F9 0.0mV", "parked"),
        ("BAT", "0.46A", "woken"),
        ("BAT", "0.05A", "parked"),
        ("BAT", "0.48A", "parked"),
        ("BAT", "4A", "woken"),
    ]
    assert {r.total for r in evidence.readings if r.place != "BAT"} == {0.47}
    assert {r.meter.name for r in evidence.readings if r.place == "BAT"} == {"clamp 1"}


@pytest.mark.parametrize(("minutes", "speaks"), [(19, "early"), (21, "early"), (39, "early"), (40, "parked")])
def test_it_is_early_until_the_longest_time_to_sleep_has_passed(platform: Platform, minutes: int, speaks: str) -> None:
    """`sleep 20min..40min`: at 21 minutes one that is slow to sleep may still be awake."""
    text = f"entries:\n  - {{at: 10:00, state: locked}}\n  - {{at: 10:{minutes}, total: 0.3A}}\n"
    evidence, problems = told(platform, text)
    assert problems == ()
    assert [reading.speaks for reading in evidence.readings] == [speaks]


@pytest.mark.parametrize(("minutes", "speaks"), [(5, "woken"), (19, "woken"), (20, "parked")])
def test_a_scan_wakes_the_vehicle(platform: Platform, minutes: int, speaks: str) -> None:
    text = f"""entries:
  - {{at: 10:00, state: locked}}
  - {{at: 11:00, scan: {{answers: SUSP}}}}
  - {{at: 11:{minutes:02}, total: 0.3A}}
"""
    evidence, problems = told(platform, text)
    assert problems == ()
    assert [(reading.speaks, reading.minutes) for reading in evidence.readings] == [(speaks, minutes)]


def test_out_and_in_again_is_one_try(platform: Platform) -> None:
    (attempt,) = told(platform, CARD)[0].tries
    assert attempt.out == ("CAB.F9", "CAB.F6")
    assert attempt.before is not None and attempt.before.amps == 0.47
    assert (attempt.after.amps, attempt.waited) == (0.05, 28.0)
    assert attempt.back is not None and attempt.back.amps == 0.48


def test_lines_scans_and_codes(platform: Platform) -> None:
    evidence, _ = told(platform, CARD)
    assert [(n.network, n.state, n.volts) for n in evidence.lines] == [("CHASSIS", "awake", 2.5)]
    assert [(r.module, r.reply) for r in evidence.replies] == [("LIFT", "unsteady"), ("SUSP", "answers")]
    assert [(c.code, c.standing, c.module, c.about) for c in evidence.codes] == [
        ("U0140", "back", "SUSP", "LIFT"),
        ("P0562", "low-voltage", "", ""),
    ]


def test_a_log_that_comes_and_goes_gives_its_peak(platform: Platform) -> None:
    text = "entries:\n  - {log: {floor: 0.03A, peak: 0.9A, mean: 0.2A, period: 10min, for: 2h, rose-first: F22}}\n"
    evidence, problems = told(platform, text)
    assert problems == ()
    (reading,) = evidence.readings
    assert (reading.place, reading.amps) == ("BAT", 0.9)
    assert reading.log is not None
    assert (reading.log.period, reading.log.duration, reading.log.rose_first) == (10.0, 120.0, "CAB.F22")


def test_what_is_read_after_mending_is_neither_the_part_out_nor_in_again(platform: Platform) -> None:
    trial = CARD[: CARD.index("  - {at: 11:31")]
    night = "{at: 23:50, log: {floor: 0.03A, peak: 0.1A, mean: 0.04A, for: 9h}}"
    later = f"  - {{at: 11:40, mended: new lift}}\n  - {night}\n  - {{at: 23:55, back: [F9, F6]}}\n"
    (attempt,) = told(platform, trial + later)[0].tries
    assert (attempt.after.amps, attempt.back) == (0.05, None)
    between = trial + "  - {at: 11:40, mended: a wire}\n  - {at: 11:50, total: 0.04A}\n  - {mended: new lift}\n"
    assert told(platform, between)[0].tries[0].after.amps == 0.05
    again = "  - {at: 12:40, total: 0.60A}\n  - {at: 12:50, out: F22}\n  - {at: 13:20, total: 0.04A}\n"
    _, since = told(platform, between + "  - {at: 12:00, back: [F9, F6], state: locked}\n" + again)[0].tries
    assert (since.before and since.before.amps, since.after.amps) == (0.60, 0.04)


TWO = """
platform "Ostrey Dunlin" supply 12V return body
option TWO "second living battery"
battery BAT 95Ah
battery LEIS 100Ah if TWO
"""


def test_of_several_batteries_a_total_and_a_log_name_theirs(tmp_path: Path) -> None:
    (tmp_path / "a.circuit").write_text(TWO)
    two = open_platform(tmp_path)
    entries = "entries:\n  - {total: 11.4A}\n  - {log: {floor: 0.1A, peak: 0.3A, mean: 0.2A}}\n"
    evidence, problems = told(two, entries)
    assert evidence.readings == ()
    assert [p.advice for p in problems] == [
        "Name the battery: BAT=11.4A or LEIS=11.4A (in a card: read: {BAT: 11.4A}). "
        "Or say that it has no LEIS, and total does: absent: [TWO].",
        "Write log: {place: BAT, floor: 0.1A, peak: 0.3A, mean: 0.2A} (place: LEIS for another one). "
        "In a short line: log BAT floor 0.05A peak 1.2A mean 0.31A.",
    ]
    evidence, problems = told(two, f"absent: [TWO]\n{entries}")
    assert [r.place for r in evidence.readings] == ["BAT", "BAT"] and problems == ()


def test_midnight_is_no_step_back(platform: Platform) -> None:
    text = "entries:\n  - {at: 23:00, state: locked}\n  - {at: 00:30, total: 0.4A}\n"
    evidence, problems = told(platform, text)
    assert problems == ()
    assert (evidence.readings[0].minutes, evidence.readings[0].speaks) == (90.0, "parked")


def test_plugs_and_legs_of_a_star_can_be_out(platform: Platform) -> None:
    text = "entries:\n  - {total: 0.4A}\n  - {out: [LIFT.A, X60.1]}\n  - {total: 0.1A}\n"
    evidence, problems = told(platform, text)
    assert problems == ()
    assert evidence.tries[0].out == ("LIFT.A", "X60.1")


def test_every_value_stays_a_text() -> None:
    """The traps of YAML 1.1: truth values, octal, sexagesimal, dates, floats, null."""
    words = ["yes", "No", "ON", "off", "y", "True", "null", "~", "010", "0x1F", "12:30", "190:20:30", "1_000", ".5",
             "1e3", ".inf", ".NaN", "2026-11-24", "=", "<<"]  # fmt: skip
    node, problems = read_yaml(SourceFile("c.yaml", "".join(f"- {w}\n" for w in words)))
    assert problems == () and isinstance(node, Listing)
    assert [item.value for item in node.items if isinstance(item, Text)] == words


def test_a_key_that_stands_twice_is_told_with_both_places() -> None:
    text = "entries:\n  - read:\n      F22: 1mV\n      F9: 0mV\n      F22: 2mV\n"
    _, problems = read_yaml(SourceFile("job.yaml", text))
    (problem,) = problems
    assert (problem.code, problem.span.place()) == ("card-twice", "job.yaml:5:7")
    assert problem.related[0].span.place() == "job.yaml:3:7"


@pytest.mark.parametrize(
    ("text", "code", "place", "says"),
    [
        ("a: b: c\n", "card-syntax", "1:5", "cannot be read here"),
        ("job: &x 1\n", "card-syntax", "1:6", "Anchors"),
        ("job: *x\n", "card-syntax", "1:6", "Anchors"),
        ("job: !!python/object/apply:os.system [x]\n", "card-syntax", "1:6", "Tags"),
        ("job: 1\n---\njob: 2\n", "card-syntax", "2:1", "second one begins"),
        ("- 1\n", "card-syntax", "1:1", "begins with keys"),
        ("[" * 40, "card-syntax", "1:13", "levels"),
        ("job: \x00", "card-syntax", "1:6", "character"),
        ("jobb: 1\n", "card-unknown-key", "1:1", "not a key of a card"),
        ("entries:\n  - {raed: {F22: 1mV}}\n", "card-unknown-key", "2:6", "not a key of an entry"),
        ("entries:\n  - {state: asleep}\n", "card-value", "2:13", "not a state"),
        ("entries: 3\n", "card-value", "1:10", "A list belongs here"),
        ("entries:\n  - {read: [F22]}\n", "card-value", "2:12", "value each"),
        ("entries:\n  - {at: 25:00}\n", "card-value", "2:10", "A time is written"),
        ("entries:\n  - {at: 2026-13-01 10:00}\n", "card-value", "2:10", "no day"),
        ("entries:\n  - {read: {F23: 1mV}}\n", "card-value", "2:13", "no part F23"),
        ("entries:\n  - {read: {F22: 1.6}}\n", "card-value", "2:18", "no unit"),
        ("entries:\n  - {total: 1mV}\n", "card-value", "2:13", "not a fuse|not a current"),
        ("entries:\n  - {meter: thumb}\n", "card-value", "2:13", "no kind of meter"),
        ("entries:\n  - {network: {BODY: awake}}\n", "card-value", "2:22", "no network BODY"),
        ("entries:\n  - {codes: [X123]}\n", "card-value", "2:14", "not a trouble code"),
        ("entries:\n  - {out: [NOBODY]}\n", "card-value", "2:12", "no part NOBODY"),
        ("fitted: [SNOW]\n", "card-value", "1:10", "no part SNOW"),
        ("added: {camera: F99}\n", "card-value", "1:17", "no part F99"),
        ("entries:\n  - {log: {floor: 1A}}\n", "card-value", "2:12", "floor, peak and mean"),
        ("entries:\n  - {log: {floor: 20mA, peak: 10mA, mean: 30mA}}\n", "card-value", "2:12", "between its floor"),
        ("entries:\n  - {log: {floor: 20mA, peak: 90mA, mean: 10mA}}\n", "card-value", "2:12", "between its floor"),
    ],
)
def test_what_is_wrong_is_told_with_its_place(platform: Platform, text: str, code: str, place: str, says: str) -> None:
    _, problems = told(platform, text)
    assert [(p.code, p.span.place()) for p in problems] == [(code, f"job.yaml:{place}")]
    assert any(word in problems[0].headline for word in says.split("|"))


def test_one_slip_does_not_hide_the_next(platform: Platform) -> None:
    text = "jobb: 1\nentries:\n  - {read: {F23: 1mV, F22: 1.6}}\n  - {raed: 1}\n"
    _, problems = told(platform, text)
    assert len(problems) == 4


def test_an_empty_card_is_a_card() -> None:
    card, problems = read_card(SourceFile("job.yaml", ""))
    assert (card.entries, problems) == ((), ())
    node, problems = read_yaml(SourceFile("job.yaml", "{}"))
    assert isinstance(node, Mapping) and problems == ()


@pytest.mark.parametrize(
    ("entry", "advice"),
    [
        ("remark: key out, main switch left on", 'remark: "key out, main switch left on"'),
        ("remark: wet, brown,  and warm, steady: yes", 'remark: "wet, brown, and warm"'),
        ("cause: K1, its contact sticks; kind contact", 'cause: "K1, its contact sticks; kind contact"'),
        ('remark: the "old" one, gone', "remark: 'the \"old\" one, gone'"),
    ],
)
def test_a_text_with_a_comma_and_no_quotes_is_to_be_quoted(entry: str, advice: str) -> None:
    """Nobody is told that half a sentence is no key; what stands behind it still counts."""
    card, (problem,) = read_card(SourceFile("job.yaml", f"entries:\n  - {{{entry}, at: 10:00}}\n"))
    assert (problem.code, problem.span.place()) == ("card-unknown-key", f"job.yaml:2:{6 + entry.index(',') + 2}")
    assert problem.advice == f"Put it in quotes: {advice}" and "has a comma and no quotes" in problem.headline
    assert card.entries[0].at is not None and card.entries[0].at.value == "10:00"
    quoted, none = read_card(SourceFile("job.yaml", f"entries:\n  - {{{advice}, at: 10:00}}\n"))
    assert none == () and quoted.entries[0].at is not None


@pytest.mark.parametrize(
    "entry", ["at: 10:00, raed: {F22: 1mV}", "at: 10:00, raed: ", 'remark: "a, b", raed', "raed, at: 10:00"]
)
def test_any_other_unknown_key_is_told_as_one(entry: str) -> None:
    _, problems = read_card(SourceFile("job.yaml", f"entries:\n  - {{{entry}}}\n"))
    assert [p.headline for p in problems] == ["raed is not a key of an entry."]
