"""`circuitmap suspects` as it is typed."""

import contextlib
import io
import json
from pathlib import Path

import pytest

from circuitmap.cli.ending import end_of
from circuitmap.cli.main import program
from tests.diagnosis.cards import SAMPLES

TRUCK, VAN, MOTORHOME = (str(SAMPLES / name) for name in ("truck", "van", "motorhome"))


def run(*words: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = end_of(program, ["suspects", *words])
    return code, out.getvalue(), err.getvalue()


def test_the_trucks_answer() -> None:
    code, out, _ = run(
        TRUCK, "BAT=0.47A", "F6=0.6mV", "F11=0.3mV", "F19=0.7mV", "F24=0.5mV", "F33=0.7mV", "F40=0.0mV",
        "F41=0.0mV", "F31=0.0mV", "--network", "CHASSIS=2.5V", "--unsteady", "LIFT",
    )  # fmt: skip
    assert code == 0
    assert "LOOK AT    the chassis network CHASSIS: one of its 7 members" in out
    first = next(line for line in out.splitlines() if line.startswith("MAY BE"))
    assert "LIFT, tail-lift controller, box on the right frame rail, rear" in first
    told = out.partition("WHY")[0]
    assert all(told.count(name) == 1 for name in ("GATE", "HEATER", "LAMPS", "REEFER"))


def test_a_try_at_the_battery_and_elsewhere() -> None:
    code, out, _ = run(VAN, "--total", "1A", "F24=0.9A", "--unplugged", "F24=0.1A", "--json")
    assert code == 0
    its = {"out": ["CAB.F24"], "outcome": "down", "not_counted": None, "ended_by_itself": 0.0}
    assert json.loads(out)["tries"] == [its]
    code, out, _ = run(MOTORHOME, "BAT=4.3A", "--unplugged", "KSPLIT@BAT=0.02A", "--without", "BOOST", "--json")
    assert (code, json.loads(out)["tries"][0]["outcome"]) == (0, "normal")
    code, out, _ = run(VAN, "--total", "1A", "--unplugged", "F24,F23=0.04A", "--json")
    assert json.loads(out)["tries"][0]["out"] == ["CAB.F24", "CAB.F23"]


def test_something_fitted_is_a_suspect_of_its_own() -> None:
    _, out, _ = run(VAN, "--total", "0.3A", "F31=0.29A", "--fitted", "dash camera from F31", "--json")
    assert json.loads(out)["parts"][0]["part"] == "dash camera"


def test_a_part_that_the_car_lacks_is_no_suspect() -> None:
    _, out, _ = run(TRUCK, "BAT=0.5A", "--without", "EQ", "--json", "--top", "100")
    assert "EQ" not in {part["part"] for part in json.loads(out)["parts"]}


def test_figures_only_when_asked_for() -> None:
    words = (TRUCK, "BAT=0.9A", "F12=0.9A")
    assert " dB" not in run(*words)[1]
    numbers = run(*words, "--numbers")[1]
    assert " dB" in numbers and "bits" in numbers
    explained = run(*words, "--explain", "1")[1]
    assert explained.startswith("1  ") and "WHY" in explained


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((TRUCK, "F99=1A"), "There is no part F99"),
        ((TRUCK, "F6"), "is not a reading"),
        ((TRUCK, "F6=1.6"), "has no unit"),
        ((TRUCK, "--meter", "thumb"), "thumb"),
        ((TRUCK, "--resolution", "big"), "big is not a reading"),
        ((TRUCK, "--network", "CHASSIS"), "is not a network's state"),
        ((TRUCK, "--network", "CHASSIS=7"), "A network is awake, asleep"),
        ((TRUCK, "--silent", "NOBODY"), "There is no part NOBODY"),
        ((TRUCK, "--unplugged", "LIFT"), "is not a try"),
        ((TRUCK, "--fitted", "camera"), "fed from where?"),
        ((TRUCK, "--option", "SNOW"), "There is no equipment option SNOW"),
        ((TRUCK, "--without", "SNOW"), "There is no part SNOW"),
        ((TRUCK, "--relay", "LIFT=held"), "LIFT is not a relay"),
        ((TRUCK, "--input", "FLAPSW=odd"), "An input is seen right or wrong"),
        ((MOTORHOME, "--total", "1A"), "--total is for vehicles with one battery"),
        ((MOTORHOME, "BAT=1A", "--unplugged", "KSPLIT=0A"), "read at which battery?"),
        ((TRUCK, "BAT=1A", "--explain", "99"), "There is no explanation 99"),
    ],
)
def test_wrong_use_gets_one_clear_message(words: tuple[str, ...], says: str) -> None:
    code, _, err = run(*words)
    assert code == 2
    assert says in err and "Traceback" not in err


def test_a_card_that_was_broken_by_hand_still_gives_the_rest(tmp_path: Path) -> None:
    card = tmp_path / "job.yaml"
    card.write_text("entries:\n  - {total: 0.47A}\n  - {raed: {F6: 1mV}}\n", "utf-8")
    code, out, err = run(TRUCK, "--card", str(card))
    assert code == 1
    assert "Total 0.47 A" in out
    assert "job.yaml:3:6" in err and "not a key of an entry" in err
    code, out, _ = run(TRUCK, "--card", str(card), "--json")
    assert (code, json.loads(out)["card_problems"][0]["line"]) == (1, 3)


def test_a_card_that_is_not_there() -> None:
    code, _, err = run(TRUCK, "--card", "nowhere.yaml")
    assert code == 3 and "There is no card nowhere.yaml" in err


def test_a_card_and_words_together() -> None:
    card = str(SAMPLES / "van/jobs/0405.yaml")
    alone = json.loads(run(VAN, "--card", card, "--json")[1])
    more = json.loads(run(VAN, "--card", card, "--relay", "REAR.K2=held", "--json")[1])
    # The wire comes in pieces, from plug to plug, once its driver was out.
    before, after = (
        sum(one["probability"] for one in answer["parts"] if "X20.8" in one["part"]) for answer in (alone, more)
    )
    assert after > before > 0.95
