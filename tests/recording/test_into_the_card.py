"""A recorder's file into the card: what is kept, which state is weighed, what a file that is not enough says, the verdict."""

import runpy
from itertools import product
from pathlib import Path

import pytest

from circuitmap.evidence.logged_night import (
    LoggedKind,
    LoggedNight,
    LoggedStep,
    by_the_clock,
    fields_of,
    written_night,
)
from circuitmap.evidence.logs import Log, with_state
from circuitmap.failures import CannotRead, WrongUse
from circuitmap.flows.job import Added, add_to_card, diagnosis_now, open_job
from circuitmap.jobs.card_writing import new_card
from circuitmap.jobs.named_log import log_named
from circuitmap.quantities import Band
from circuitmap.reports.job.job_text import job_text
from circuitmap.wiring.platform import Platform
from tests.cli.conftest import Run
from tests.recording import nights
from tests.recording.conftest import platform_of

ROOT = Path(__file__).parents[2]
VAN = ROOT / "sample_vehicles" / "van"
NIGHTS = {night.no: night for night in nights.nights()}


def card_in(room: Path, *lines: tuple[str, str]) -> Path:
    card = room / "job.yaml"
    if not card.exists():
        card.write_text(new_card([("platform", str(VAN)), ("battery", "95Ah")]))
    for line, at in lines:
        add_to_card(card, line, at=at)
    return card


def with_night(number: int, room: Path, more: str = "", first: tuple[tuple[str, str], ...] = ()) -> Added:
    (room / f"night{number:02d}.csv").write_text(NIGHTS[number].files()[0])
    card = card_in(room, *first, ("locked", "2031-02-11 17:00"))
    return add_to_card(card, f"logged night{number:02d}.csv sign kept{more}", at="2031-02-12 09:00")


def last_log(added: Added) -> Log:
    log = added.job.evidence.readings[-1].log
    assert log is not None
    return log


# ---- floor and peak are two states ----


def test_a_period_changes_no_current_and_makes_what_rubs_less_likely(tmp_path: Path) -> None:
    """What comes by the clock, fourteen times in 14 h, is hardly a wire that rubs (judgement)."""
    rubs = {}
    for number, period in enumerate(("", " period 60min")):
        (tmp_path / str(number)).mkdir()
        card = card_in(tmp_path / str(number), ("locked", "2031-02-11 18:00"))
        added = add_to_card(card, f"log BAT floor 0.04A peak 0.47A mean 0.12A{period} for 14h", at="2031-02-12 09:00")
        log, reading = last_log(added), added.job.evidence.readings[-1]
        assert log.comes_and_goes and reading.amps == 0.47 and log.mean == 0.12
        diagnosis = diagnosis_now(added.job)
        assert "ALT" not in {part.part for part in diagnosis.parts[:3]} and diagnosis.account is not None
        assert diagnosis.account.total == pytest.approx(0.47)
        assert "0.47 A at times, 0.04 A in between, 0.12 A on average" in " ".join(job_text(added.job, []))
        wires = {fault.part for fault in diagnosis.faults if fault.kind == "chafed"}
        rubs[period] = sum(part.probability for part in diagnosis.parts if part.part in wires)
    assert 0.0 < rubs[" period 60min"] < rubs[""]


@pytest.mark.parametrize(
    ("floor", "peak", "mean", "state", "drew"),
    [
        (0.30, 0.32, 0.31, "one", 0.31),  # it hardly moves: the mean is what flowed
        (0.03, 0.35, 0.04, "floor", 0.03),  # within the limit: the few wake-ups are no fault
        (0.04, 0.47, 0.12, "event", 0.47),
        (0.03, 0.50, 0.40, "event", 0.50),  # mostly up
        (0.45, 5.00, 0.47, "floor", 0.45),  # the floor itself is the draw
    ],
)
def test_which_state_a_typed_log_speaks_of(floor: float, peak: float, mean: float, state: str, drew: float) -> None:
    log = with_state(platform_of("battery BAT 80Ah"), Log(floor, peak, mean, 600.0, limit=0.05))
    assert (log.state, log.drew) == (state, drew)


def test_a_mean_is_never_weighed_as_a_current_where_two_states_were_logged() -> None:
    """A law, over many figures: what is weighed is the floor or the peak, unless these are next to each other."""
    platform = platform_of("battery BAT 80Ah")
    steps = (0.0, 0.02, 0.05, 0.3, 1.0, 4.0)
    for floor, rise, share in product(steps, (0.06, 0.3, 2.0), (0.01, 0.3, 0.9)):
        peak = max(floor + rise, 1.6 * floor)
        log = with_state(platform, Log(floor, peak, floor + share * (peak - floor), 600.0, limit=0.05))
        assert log.drew in (floor, peak), log


# ---- what the card keeps ----

KINDS = (
    LoggedKind(1.185, Band(12.03, 15.12), 7, "none", None, 0.857),
    LoggedKind(0.114, Band(40 / 60, 40 / 60), 6, "period", 120.0, 0.004),
    LoggedKind(4.86, Band(6.0, 8.5), 26, "thermostat", None, 0.1),
    LoggedKind(0.3, Band(1.0, 1.0), 1, "once", None, 0.0),
)


def test_what_was_written_down_reads_as_it_was() -> None:
    night = LoggedNight(
        "night.csv", "0123456789abcdef", -0.004, Band(0.1, 0.12), 0.03, 708.0, 0.2, "2031-02-12 06:10:00",
        kinds=KINDS, stairs=(LoggedStep(0.297, 3.0),), still_on=(LoggedStep(0.62, 90.0),), told="unit mA",
    )  # fmt: skip
    again = written_night(dict(fields_of(night)))
    assert again.file == night.file and again.ended == night.ended and again.mean == night.mean
    for one, other in zip(again.kinds, night.kinds, strict=True):
        assert one.amps == other.amps and one.times == other.times and one.rhythm == other.rhythm
        assert one.lasts.low == pytest.approx(other.lasts.low, rel=0.01) and one.period == other.period
    assert fields_of(again) == fields_of(night)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("floor", "dark"), ("mean", "0.2"), ("for", "3A"), ("event-1", "0.4A now and then"), ("stairs", "0.4A"),
        ("event-1", "0.4A for 9s..3s, 2 times, once, 3.0%"), ("floor", "9A"), ("ended", "yesterday"),
    ],
)  # fmt: skip
def test_what_makes_no_sense_is_a_problem_with_its_place(key: str, value: str, tmp_path: Path) -> None:
    said = dict(fields_of(LoggedNight("n.csv", "0", 0.03, Band(0.1, 0.1), 0.03, 700.0, 0.1))) | {key: value}
    pairs = ", ".join(f'{name}: "{text}"' for name, text in said.items())
    (tmp_path / "job.yaml").write_text(f"platform: {VAN}\nentries:\n  - {{at: '09:00', logged: {{{pairs}}}}}\n")
    job = open_job(tmp_path / "job.yaml")
    assert job.problems and not job.evidence.readings


def test_a_night_on_the_card(tmp_path: Path) -> None:
    added = with_night(1, tmp_path, " zero 0A,0A")
    log, text = last_log(added), (tmp_path / "job.yaml").read_text()
    assert "file: night01.csv" in text and "event-1:" in text and "stairs:" in text
    assert log.night is not None and log.kind is not None and log.kind.amps == pytest.approx(1.185, abs=0.005)
    assert added.job.evidence.readings[-1].amps == pytest.approx(1.209, abs=0.01)
    assert any("as much as fell away" in line or "By height" in line for line in added.understood)
    assert open_job(tmp_path / "job.yaml").problems == ()


def test_what_is_read_at_the_floor_clears_nobody(tmp_path: Path) -> None:
    with_night(1, tmp_path, " zero 0A")
    before = diagnosis_now(open_job(tmp_path / "job.yaml"))
    card_in(tmp_path, ("locked", "2031-02-12 09:10"))
    floor = add_to_card(tmp_path / "job.yaml", "F26=0.0mV; floor", at="2031-02-12 10:30")
    at_floor = diagnosis_now(floor.job)
    assert any(aside.why == "quiet-phase" for aside in at_floor.netted.set_aside)
    assert {one.about for one in at_floor.subjects[:1]} == {one.about for one in before.subjects[:1]}
    up = add_to_card(tmp_path / "job.yaml", "F26=0.0mV; event", at="2031-02-12 10:40")
    assert "CAB.F26" in diagnosis_now(up.job).netted.readings


@pytest.mark.parametrize(
    ("line", "file", "answers"),
    [
        ("logged night.csv", "night.csv", {}),
        ("Logged: my night.csv zero 0A,0.012A unit mA", "my night.csv", {"zero": "0A,0.012A", "unit": "mA"}),
        ('logged "b.txt" column CH 2 place F92', "b.txt", {"column": "CH 2", "place": "F92"}),
        ("logged floor 0.04A peak 0.4A mean 0.1A", None, {}),
        ("log BAT floor 0.04A peak 0.4A mean 0.1A", None, {}),
    ],
)
def test_which_line_names_a_file(line: str, file: str | None, answers: dict[str, str]) -> None:
    named = log_named(line)
    assert (named.file if named else None) == file and (named is None or named.answers == answers)


@pytest.mark.parametrize("line", ["logged a.csv zero", "logged a.csv unit mA unit A"])
def test_answers_that_are_none(line: str) -> None:
    with pytest.raises(WrongUse):
        log_named(line)


def test_what_the_file_does_not_say_is_asked_and_nothing_is_written(tmp_path: Path) -> None:
    layout = Path(__file__).parent / "layouts" / "l26_no_unit.csv"
    (tmp_path / "log.csv").write_bytes(layout.read_bytes())
    card = card_in(tmp_path, ("locked", "2031-02-11 17:00"))
    before = card.read_bytes()
    with pytest.raises(WrongUse, match="In which unit"):
        add_to_card(card, "logged log.csv", at="2031-02-12 09:00")
    with pytest.raises(CannotRead, match="There is no file other"):
        add_to_card(card, "logged other.csv", at="2031-02-12 09:00")
    assert card.read_bytes() == before


# ---- the verdict ----


def test_repaired_by_a_file_and_not_by_one_of_another_night(tmp_path: Path, circuitmap: Run) -> None:
    """Night 9 is night 1 after the repair; it counts if it lies after the mending, by the recorder's own clock."""
    with_night(1, tmp_path, " zero 0A", (("zeroed", "2031-02-11 16:50"),))
    card_in(
        tmp_path, ("out BCM", "2031-02-12 09:30"), ("back BCM", "2031-02-12 10:30"),
        ("mended new contact", "2031-02-12 11:00"), ("locked", "2031-02-12 11:10"),
    )  # fmt: skip
    card = tmp_path / "job.yaml"
    old = add_to_card(card, "logged night01.csv sign kept zero 0A", at="2031-02-13 09:00")
    assert old.job.standing.stage != "repaired" and old.job.standing.after.why == "no-room"
    csv = NIGHTS[9].files()[0].replace("2031-02-12", "2031-02-14").replace("2031-02-11", "2031-02-13")
    days = [line.partition(" ")[0] for line in csv.splitlines()[1:]]
    (tmp_path / "after.csv").write_text(csv)
    card_in(tmp_path, ("locked", f"{days[0]} 16:00"))
    new = add_to_card(card, "logged after.csv sign kept zero 0A,0A", at=f"{days[-1]} 09:00")
    assert new.job.standing.stage == "repaired", new.job.standing.after
    words = " ".join(job_text(new.job, []))
    assert "REPAIRED: " in words and "after.csv" in words
    page = tmp_path / "job.html"
    assert circuitmap("report", card, "-o", page).code == 0
    html = page.read_text()
    assert html.count("The night") >= 2 and "after.csv" in html and "<svg" in html
    (tmp_path / "after.csv").write_text(csv + "2031-02-14 06:59:59,0.03\n")
    circuitmap("report", card, "-o", page)
    assert "is not the file that was read" in page.read_text()


# ---- whose ----

CLOCK = """\
battery BAT 80Ah
module TRACK "trailer lock control" awake 300mA..500mA wakes every 60min for 80s..100s
module OTHER
network N can members TRACK, OTHER wakes every 2h for 30s
"""


@pytest.fixture(scope="module")
def clocked() -> Platform:
    return platform_of(CLOCK)


@pytest.mark.parametrize(
    ("lasts", "period", "whose"),
    [
        (95.0, 60.0, ("TRACK",)), (95.0, 61.5, ("TRACK",)), (95.0, 66.0, ()), (300.0, 60.0, ()), (30.0, 120.0, ("N",)),
        (95.0, None, ()),
    ],
)  # fmt: skip
def test_by_the_clock(lasts: float, period: float | None, whose: tuple[str, ...], clocked: Platform) -> None:
    rhythm = "none" if period is None else "period"
    kind = LoggedKind(0.46, Band(lasts / 60, lasts / 60), 12, rhythm, period, 0.3)
    assert by_the_clock(clocked, kind) == whose


def test_what_comes_by_the_clock_is_not_looked_for(clocked: Platform) -> None:
    sound = LoggedKind(0.46, Band(1.5, 1.6), 23, "period", 60.0, 0.34)
    draw = LoggedKind(1.35, Band(15.0, 40.0), 3, "none", None, 0.64)
    night = LoggedNight("n.csv", "0", 0.03, Band(0.117, 0.117), 0.01, 840.0, 0.117, kinds=(draw, sound))
    log = with_state(clocked, Log(0.03, 1.38, 0.117, 840.0, limit=0.05, night=night))
    assert log.sound == (sound,) and log.kind == draw and log.drew == pytest.approx(1.38)


def test_the_night_of_the_sample_is_that_of_its_script() -> None:
    jobs = VAN / "jobs"
    made = runpy.run_path(str(jobs / "night_0433.py"))["night"]()
    assert (jobs / "0433-night.csv").read_text() == made
