"""`circuitmap logged`: its text, its JSON, its questions, its failures."""

from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tests.recording import nights
from tests.reports.test_json_fields import documented, fits, leaves

LAYOUTS = Path(__file__).parent / "layouts"
FILES = sorted(LAYOUTS.glob("*.csv"))


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_it_always_answers_in_words(file: Path, circuitmap: Run) -> None:
    ran = circuitmap("logged", file)
    assert ran.code in (0, 2, 3), ran
    if ran.code == 3:
        assert file.name in ran.err and not ran.out and len(ran.err) < 500
        return
    assert ran.err == "" and ("SAY FIRST" in ran.out) == (ran.code == 2)
    assert all(line == line.rstrip() and len(line) <= 100 for line in ran.out.replace(str(LAYOUTS), "").splitlines())


def night(number: int, room: Path) -> Path:
    file = room / f"night{number:02d}.csv"
    file.write_text(next(made for made in nights.nights() if made.no == number).files()[0])
    return file


def clocked(room: Path) -> Path:
    """A platform in which something wakes by its own clock, as night 7 shows it, and something falls asleep in time."""
    folder = room / "clocked"
    folder.mkdir(exist_ok=True)
    (folder / "a.circuit").write_text(
        "battery BAT 90Ah\nfuse F1 10A, F2 20A\nbar B feeds F1, F2\nBAT.+ -> B\nF1 feeds M\nF2 feeds COLD, LAMP\n"
        "module M asleep 5mA awake 245mA wakes every 60min for 20s\nmodule COLD awake 5.2A run-on 4min\n"
        "module OTHER\nnetwork N can members M, OTHER\nF1 feeds OTHER\nlamp LAMP running 5A\n"
        "switch SW positions off, on closes 1 to 2 in on\nground G\nF2 -> SW.1\nSW.2 -> LAMP.1\nLAMP.2 -> G\n"
    )
    return folder


def test_every_field_is_described_and_every_description_is_of_a_field(circuitmap: Run, tmp_path: Path) -> None:
    described = documented()["logged"]
    printed = set()
    for file in (*FILES, *(night(number, tmp_path) for number in (1, 2, 5, 6, 7))):
        drawn = ("-o", tmp_path / "night.svg") if file.stem == "night01" else ()
        if file.stem in ("night05", "night07"):
            drawn = ("--platform", clocked(tmp_path))
        ran = circuitmap("logged", file, "--battery", "80Ah", "--sign", "kept", "--json", *drawn)
        if ran.code == 3:
            continue
        for path, filled in leaves(ran.json):
            assert any(fits(path, field) or (not filled and fits(path, field[: len(path)])) for field in described), (
                path
            )
            printed |= {path} if filled else set()
    assert not {field for field in described if not any(fits(path, field) for path in printed)}


def test_nothing_is_told_before_the_unit_is_known(circuitmap: Run) -> None:
    asked = circuitmap("logged", LAYOUTS / "l26_no_unit.csv")
    assert asked.code == 2 and "In which unit are the values? (Value 27 to 1352)" in asked.out
    assert "1352 A" not in asked.out and "1.35 A" not in asked.out
    told = circuitmap("logged", LAYOUTS / "l26_no_unit.csv", "--unit", "mA")
    assert told.code == 0 and "0.027 A to 1.35 A" in told.out


@pytest.mark.parametrize(
    ("option", "value", "says"),
    [
        ("--unit", "furlong", "furlong is no unit of current"),
        ("--unit", "Ah", "Ah is no unit of current"),
        ("--scale", "100", "100 is no scale"),
        ("--scale", "0mV/A", "0mV/A is no scale"),
        ("--distance", "0s", "Samples are not 0 s apart"),
        ("--distance", "5A", "5A"),
        ("--zero", "high", "high"),
        ("--battery", "95", "95 has no unit"),
        ("--column", "CH3", "There is no one column 'CH3'"),
        ("--column", "CH", "There is no one column 'CH'"),
    ],
)
def test_an_answer_that_makes_no_sense(option: str, value: str, says: str, circuitmap: Run) -> None:
    ran = circuitmap("logged", LAYOUTS / "l14_two_equal_columns.csv", option, value)
    assert ran.code == 2 and says in ran.err and "Traceback" not in ran.err


def test_what_somebody_wrote_into_the_file_cannot_steer_the_terminal(tmp_path: Path, circuitmap: Run) -> None:
    rows = "".join(f"2031-02-11 18:00:{at:02d},0.5\n" for at in range(20))
    (tmp_path / "log.csv").write_text(f"time,\x1b[31mred\u202e (A)\n{rows}")
    ran = circuitmap("logged", tmp_path / "log.csv")
    assert ran.code == 0 and "\x1b" not in ran.out and "\u202e" not in ran.out


def test_no_such_file(tmp_path: Path, circuitmap: Run) -> None:
    ran = circuitmap("logged", tmp_path / "no.csv")
    assert ran.code == 3 and "no.csv cannot be read" in ran.err


def test_a_night_in_words(tmp_path: Path, circuitmap: Run) -> None:
    """What a diagnostician would say of this night, and nothing that must not be said."""
    told = circuitmap("logged", night(1, tmp_path), "--battery", "80Ah", "--zero", "0A,0A")
    assert told.code == 0
    words = " ".join(told.out.split())
    for said in (
        "Asleep after 12 min, in 2 steps",
        "Floor 0.024 A",
        "1. 7 times, at no fixed distance (42 min 35 s to 2 h 42 min apart), 1.19 A for 12 min 2 s to 15 min 7 s, the first at "
        "19:58:20; 86% of what was taken",
        "it comes up in steps of 0.44",
        "By height, as much as fell away at 18:22:00",
        "2. Every 2 h, 6 times, 0.114 A for 40 s",
        "4 single samples stand out",
        "Mean 0.171 A",
        "for the time to flat only",
        "Smaller than 26 mA for 1 s, 3.4 mA for 60 s",
        "Which fuse: a log of the total can't know that",
    ):
        assert said in words, said
    assert "it no longer starts after 3." in words and " days" in words
    assert "not in the file" not in words, "the zero was said"


def test_the_zero_is_taken_off_and_its_error_told(tmp_path: Path, circuitmap: Run) -> None:
    file = night(7, tmp_path)
    unknown = circuitmap("logged", file, "--json").json
    once = circuitmap("logged", file, "--zero", "4mA", "--json").json
    twice = circuitmap("logged", file, "--zero", "4mA,-4mA", "--json").json
    assert [one["zero"]["read"] for one in (unknown, once, twice)] == [0, 1, 2]
    assert [one["zero"]["error"] for one in (unknown, once, twice)] == [0.03, 0.01, 0.004]
    floors = [one["night"]["floor"] for one in (unknown, once, twice)]
    assert floors[0] == floors[2] == pytest.approx(floors[1] + 0.004)


def test_what_is_still_on_counts_for_the_time_to_flat_not_the_mean(tmp_path: Path, circuitmap: Run) -> None:
    told = circuitmap("logged", night(2, tmp_path), "--battery", "95Ah", "--zero", "0A", "--json").json["night"]
    assert told["mean"][0] == pytest.approx(0.593, abs=0.005)
    assert told["flat"]["at_end"] and told["flat"]["draw"] == [
        pytest.approx(0.635, abs=0.006),
        pytest.approx(0.655, abs=0.006),
    ]
    low, high = told["flat"]["hours"]
    assert (low, high) == (pytest.approx(19 / 0.655, rel=0.02), pytest.approx(38 / 0.635, rel=0.02))


def test_ten_seconds_say_nothing_of_a_floor(circuitmap: Run) -> None:
    told = circuitmap("logged", LAYOUTS / "l24_scope_capture.csv", "--battery", "80Ah")
    assert told.code == 0 and "Floor" not in told.out and "Mean" not in told.out and "no longer starts" not in told.out


def test_something_shorter_than_an_interval_is_told(circuitmap: Run) -> None:
    told = circuitmap("logged", LAYOUTS / "l11_max_avg_min.csv")
    assert "shorter than an interval, up to 0.478 A (at 19:44:00)" in " ".join(told.out.split())


def test_least_and_most_give_two_bounds_for_the_mean(circuitmap: Run) -> None:
    low, high = circuitmap("logged", LAYOUTS / "l12_min_max_only_serial_days.csv", "--json").json["night"]["mean"]
    assert low < high - 0.01


def test_a_value_that_is_written_on_change_holds(circuitmap: Run) -> None:
    """The mean over the whole log, as it was worked out by hand: not the mean of the rows, nor of lines between them."""
    night = circuitmap("logged", LAYOUTS / "l30_on_change_with_zone.csv", "--json").json["night"]
    assert night["settled"][0] == pytest.approx(45 * 60 + 10, abs=1)
    assert 0.029 < night["mean"][0] < 0.06
