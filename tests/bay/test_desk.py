"""The desk keeps a card for several people: one save for all, nothing twice, each where its time belongs, no customer."""

import json
from datetime import datetime, timedelta
from pathlib import Path
from shutil import copytree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitmap.evidence.job_card import read_card
from circuitmap.failures import CannotRead, LimitReached, WrongUse
from circuitmap.flows import desk as desk_module
from circuitmap.flows.desk import MOST_IN_A_BATCH, MOST_JOBS, Desk
from circuitmap.flows.job import add_to_card, open_job
from circuitmap.flows.sent import Sent
from circuitmap.jobs.card_writing import bare
from circuitmap.jobs.job import card_source

SAMPLES = Path(__file__).parent.parent.parent / "sample_vehicles"
PLATFORM = """\
platform "Ostrey Dunlin" sleep 10min..15min limit 40mA
battery BAT 95Ah
box HAB "Living box" at "under the seat"
fuse HAB.F1 15A mini "step"
fuse HAB.F2 15A mini "airbag"
fuse HAB.F3 10A mini "heater"
fuse HAB.F4 10A mini empty
bar HAB.B1 feeds HAB.F1, HAB.F2, HAB.F3
motor STEP "entry step"
module SDM "airbag module" asleep 1mA
module HEATER "heater" asleep 4mA
BAT.+ -> HAB.B1
HAB.F1 feeds STEP
HAB.F2 feeds SDM
HAB.F3 feeds HEATER
"""
CARD = """\
job: "7"
platform: camper
vehicle: blue one
complaint: flat after two days, says Quillaby
customer: Quillaby
phone: 0555 123456
entries:
  - {at: "2026-02-03 09:00", state: locked}
"""
NOW = datetime(2026, 2, 3, 10, 0, 0)
MS = 1_000_000_000


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    (tmp_path / "camper").mkdir()
    (tmp_path / "camper" / "all.circuit").write_text(PLATFORM)
    (tmp_path / "job.yaml").write_text(CARD)
    (tmp_path / "other.yaml").write_text("somebody: else\n")
    return tmp_path


def opened(shop: Path) -> tuple[Desk, str]:
    desk = Desk(shop)
    [key] = [key for key, path in desk.cards().items() if path.name == "job.yaml"]
    return desk, key


def sent(number: int, line: str, seconds_ago: int = 0) -> Sent:
    return Sent(f"device{number:08d}", line, MS - 1000 * seconds_ago)


def add(desk: Desk, key: str, by: str, *batch: Sent, now: datetime = NOW) -> list[str]:
    return [its.outcome for its in desk.add(key, by, batch, MS, now).taken]


def test_each_entry_is_kept_known_or_refused_and_the_others_go_on(shop: Path) -> None:
    desk, key = opened(shop)
    batch = (sent(1, "total 0.6A", 60), sent(2, "nonsense"), sent(3, "F1=1.9mV"))
    done = desk.add(key, "Ida", batch, MS, NOW)
    assert [its.outcome for its in done.taken] == ["kept", "refused", "kept"]
    assert "not understood" in done.taken[1].why
    assert add(desk, key, "Ida", *batch) == ["known", "refused", "known"]
    entries = open_job(shop / "job.yaml").card.entries
    assert [e.at.value for e in entries if e.at][1:] == ["2026-02-03 09:59:00", "2026-02-03 10:00:00"]
    assert {e.by.value for e in entries if e.by} == {"Ida"}


def test_one_save_for_all(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    desk, key = opened(shop)
    saves = []
    update = desk_module.update
    monkeypatch.setattr(desk_module, "update", lambda *about: (saves.append(1), update(*about)))
    assert add(desk, key, "Ida", *(sent(n, f"remark {n}", 9 - n) for n in range(9))) == ["kept"] * 9
    assert len(saves) == 1


@pytest.mark.parametrize(
    ("many", "fits"), [(MOST_IN_A_BATCH - 1, True), (MOST_IN_A_BATCH, True), (MOST_IN_A_BATCH + 1, False)]
)
def test_a_batch_has_a_limit(shop: Path, many: int, fits: bool) -> None:
    desk, key = opened(shop)
    batch = [sent(n, f"remark {n}") for n in range(many)]
    if fits:
        assert add(desk, key, "Ida", *batch) == ["kept"] * many
    else:
        with pytest.raises(WrongUse, match="at once"):
            add(desk, key, "Ida", *batch)


@pytest.mark.parametrize("shift", [timedelta(days=-400), timedelta(0), timedelta(days=400)])
def test_a_wrong_clock_of_a_phone_does_no_harm(shop: Path, shift: timedelta) -> None:
    desk, key = opened(shop)
    wrong = round(shift.total_seconds() * 1000) + 10**12
    desk.add(key, "Ida", [Sent("device00000001", "remark x", wrong - 30_000)], wrong, NOW)
    assert open_job(shop / "job.yaml").card.entries[-1].at.value == "2026-02-03 09:59:30"  # type: ignore[union-attr]


@pytest.mark.parametrize(("days", "outcome"), [(6.9, "kept"), (7.1, "refused")])
def test_what_is_too_old_is_refused_not_moved(shop: Path, days: float, outcome: str) -> None:
    desk, key = opened(shop)
    assert add(desk, key, "Ida", sent(1, "remark x", round(days * 86_400))) == [outcome]


def test_whoever_reads_otherwise_because_of_a_late_entry_is_told(shop: Path) -> None:
    desk, key = opened(shop)
    assert add(desk, key, "Ida", sent(1, "total 0.6A")) == ["kept"]
    late = desk.add(key, "Tom", [sent(2, "out F1", 30)], MS, NOW)
    [its] = late.moved
    assert (its.by, its.says, its.was) == ("Ida", "total 0.6A", "with the car asleep")
    assert its.now == "just after it was woken, HAB.F1 out"
    assert not desk.add(key, "Tom", [sent(3, "remark x", 20)], MS, NOW).moved


def test_two_people_who_differ_are_told_first(shop: Path) -> None:
    desk, key = opened(shop)
    add(desk, key, "Ida", sent(1, "total 0.6A", 90), sent(2, "F1=0.6mV", 60))
    assert not desk.answer(key)["do"].startswith("Read again")
    add(desk, key, "Tom", sent(3, "F1=4.0mV"))
    assert desk.answer(key)["do"].startswith("Read again. HAB.F1: Ida 0.6mV, then Tom 4.0mV")


def test_strike_goes_by_id_or_by_what_still_stands_there(shop: Path) -> None:
    desk, key = opened(shop)
    add(desk, key, "Ida", sent(1, "remark one", 60), sent(2, "remark two"))
    desk.strike(key, "a slip", its_id="device00000002")
    with pytest.raises(WrongUse, match="has changed"):
        desk.strike(key, "a slip", number=1, says="opened")
    desk.strike(key, "not so", number=1, says="locked")
    struck = [e.struck.value if e.struck else "" for e in open_job(shop / "job.yaml").card.entries]
    assert struck == ["not so", "", "a slip"]


def test_an_answer_is_worked_out_once_for_each_revision(shop: Path) -> None:
    desk, key = opened(shop)
    first = desk.answer(key)
    assert desk.answer(key) is first and desk.counted == 1
    add(desk, key, "Ida", sent(1, "total 0.6A"))
    second = desk.answer(key)
    assert desk.counted == 2 and second["revision"] != first["revision"]
    assert Desk(shop).revision(key) == second["revision"], "a restart has nothing to remember"
    text = PLATFORM.replace("limit 40mA", "limit 50mA")
    (shop / "camper" / "all.circuit").write_text(text + "# longer\n")
    assert desk.revision(key) != second["revision"]


def test_the_customer_never_leaves_the_desk(shop: Path) -> None:
    desk, key = opened(shop)
    add(desk, key, "Ida", sent(1, "remark Quillaby says it rained", 60), sent(2, "total 0.6A"))
    said = json.dumps([desk.answer(key), desk.ahead(key), [its._asdict() for its in desk.shelf()]])
    said += desk.report(key).decode()
    assert "Quillaby" not in said and "0555" not in said and "rained" in said


def test_a_word_that_only_may_be_the_customer_is_hidden_not_asked(shop: Path) -> None:
    (shop / "job.yaml").write_text(CARD.replace("Quillaby", "May Brook"))
    desk, key = opened(shop)
    add(desk, key, "Ida", sent(1, "remark it may rain at the brook", 60))
    said = json.dumps(desk.answer(key)["entries"])
    assert "rain" in said and "brook" not in said.casefold() and " may " not in said


def test_no_report_of_a_card_that_cannot_be_read_everywhere(shop: Path) -> None:
    (shop / "job.yaml").write_text(CARD + "  - {at: 10:00, total: lots}\n")
    desk, key = opened(shop)
    with pytest.raises(CannotRead, match="mend it first"):
        desk.report(key)


def test_no_line_is_offered_for_what_is_hands_off(shop: Path) -> None:
    desk, key = opened(shop)
    add(desk, key, "Ida", sent(1, "total 0.6A", 60), sent(2, "F2=1.9mV"))
    answer = desk.answer(key)
    fuses = {fuse["short"]: fuse for box in answer["boxes"] for fuse in box["fuses"]}
    assert fuses["F2"]["state"] == "hands off" and not fuses["F2"]["read"] and not fuses["F2"]["zero"]
    assert "restraint" in fuses["F2"]["why"] and not fuses["F2"]["asleep"]
    assert fuses["F4"]["state"] == "empty" and not fuses["F4"]["zero"]
    lines = [line for step in answer["steps"] for one in step["outcomes"] for line in one["lines"]]
    assert not [line for line in [*lines, *(step["out"] for step in answer["steps"])] if "F2" in line or "SDM" in line]


def test_the_boxes_say_how_each_fuse_stands(shop: Path) -> None:
    desk, key = opened(shop)
    add(desk, key, "Ida", sent(1, "total 0.6A", 90), sent(2, "F1=1.9mV", 60), sent(3, "F3=0.0mV"))
    [box] = desk.answer(key)["boxes"]
    stands = {fuse["short"]: (fuse["state"], fuse["sign"], fuse["shown"], fuse["by"]) for fuse in box["fuses"]}
    assert stands["F1"] == ("draws", "●", "1.9mV", "Ida") and stands["F3"] == ("quiet", "○", "0.0mV", "Ida")
    assert box["fuses"][2]["asleep"] == "0.0 mV", "4 mA across a 10 A mini fuse, 7.7 mΩ by its data sheet"


def test_too_early_says_until_when(shop: Path) -> None:
    desk, key = opened(shop)
    assert desk.answer(key)["early"] == "Too early until 09:15."
    add(desk, key, "Ida", sent(1, "door opened"))
    assert desk.answer(key)["early"] == "Too early until 10:10."
    add(desk, key, "Ida", sent(2, "opened"), now=NOW + timedelta(minutes=1))
    assert desk.answer(key)["asleep_ms"] is None


def test_what_is_ahead_is_what_comes(tmp_path: Path) -> None:
    """One tap shows the next step without a line: the same as the desk answers once the entries are there."""
    copytree(SAMPLES / "truck", tmp_path / "truck")
    card = tmp_path / "truck" / "jobs" / "0412.yaml"
    text = card.read_text("utf-8")
    card.write_text(text[: text.rindex("\n  - ", 0, text.index("out:"))] + "\n", "utf-8")
    desk = Desk(card)
    [key] = desk.cards()
    follows = desk.ahead(key)["follows"]
    step = next(step for step in desk.answer(key)["steps"] if step["out"])
    assert {one["key"] for one in step["outcomes"]} <= set(follows)
    gone = next(one for one in step["outcomes"] if one["lines"][-1] == "gone")
    at = datetime.now() - timedelta(minutes=50)
    add(desk, key, "Ida", sent(1, gone["lines"][0]), now=at)
    assert desk.answer(key)["out"]["asked"] and "out.gone" in desk.ahead(key)["follows"]
    add(desk, key, "Ida", sent(2, gone["lines"][1]), now=at + timedelta(minutes=40))
    now = desk.answer(key)
    assert follows[gone["key"]]["stands"] == now["stands"] and follows[gone["key"]]["do"] == now["do"]
    assert now["stands"].startswith("INVOLVED")


def test_looking_ahead_is_given_up_when_the_card_changes(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    desk, key = opened(shop)
    add(desk, key, "Ida", sent(1, "total 0.6A", 60), sent(2, "out F1"))
    whole = desk.ahead(key)["follows"]
    assert set(whole) >= {"out.gone", "out.less", "out.no change"}
    desk = Desk(shop)
    if_so = desk_module.if_so

    def somebody_writes(*about: object) -> object:
        add(desk, key, "Tom", sent(9, "remark x"))
        return if_so(*about)  # type: ignore[arg-type]

    monkeypatch.setattr(desk_module, "if_so", somebody_writes)
    assert len(desk.ahead(key)["follows"]) == 1
    monkeypatch.undo()
    assert set(desk.ahead(key)["follows"]) == set(whole), "what was given up is not kept"


@pytest.mark.parametrize(("beyond", "left_out"), [(-1, 0), (0, 0), (1, 1)])
def test_a_shelf_has_a_limit_and_says_so(shop: Path, beyond: int, left_out: int) -> None:
    for number in range(MOST_JOBS + beyond - 2):  # two are there
        (shop / f"job{number}.yaml").write_text(CARD)
    desk = Desk(shop)
    assert len(desk.cards()) == min(MOST_JOBS, MOST_JOBS + beyond) and desk.left_out == left_out


def test_a_job_has_a_key_and_no_file_name(shop: Path) -> None:
    desk, key = opened(shop)
    [job] = desk.shelf()
    assert job.key == key and job.title == "job 7" and "NOTHING READ" in job.stands
    for wrong in ("job.yaml", "../job.yaml", "", key[:-1]):
        with pytest.raises(CannotRead, match="no such job"):
            desk.answer(wrong)


def test_a_card_that_cannot_be_read_is_told_and_not_written(shop: Path) -> None:
    desk, key = opened(shop)
    text = CARD + "  - {at: 10:00, total: lots}\n"
    (shop / "job.yaml").write_text(text)
    assert "mend it at the desk" in desk.answer(key)["do"]
    (shop / "job.yaml").write_text(text + "  - [\n")
    with pytest.raises((CannotRead, LimitReached)):
        desk.answer(key)


LINES = ("total 0.6A", "F1=1.9mV", "F3=0.0mV", "out F1", "back all", "remark rain", "door opened", "total 0.05A")


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.tuples(st.sampled_from(LINES), st.integers(1, 40)), min_size=1, max_size=7),
    st.randoms(use_true_random=False),
)
def test_any_delays_give_the_card_of_the_same_lines_typed_in_order(
    tmp_path_factory: pytest.TempPathFactory, typed: list[tuple[str, int]], order: object
) -> None:
    """Two phones, any delay of each entry, some delivered twice: the card equals that of `card add`, but for who, ids
    and seconds."""
    shop = tmp_path_factory.mktemp("shop")
    (shop / "camper").mkdir()
    (shop / "camper" / "all.circuit").write_text(PLATFORM)
    (shop / "job.yaml").write_text(CARD)
    (shop / "typed.yaml").write_text(CARD)
    at, entries = NOW, []
    for number, (line, minutes) in enumerate(typed):
        at += timedelta(minutes=minutes)
        try:
            add_to_card(shop / "typed.yaml", line, at=f"{at:%Y-%m-%d %H:%M}")
        except WrongUse:
            continue
        entries.append((number, line, at))
    desk, key = opened(shop)
    arriving = [*entries, *entries[:2]]
    order.shuffle(arriving)  # type: ignore[attr-defined]
    # What made no sense before an earlier entry came is sent again.
    for number, line, its in [*arriving, *entries]:
        clock = MS + round((its - NOW).total_seconds() * 1000)
        desk.add(key, "Ida" if number % 2 else "Tom", [Sent(f"device{number:08d}", line, clock)], clock, its)
    wanted, got = (read_card(card_source(shop / name))[0] for name in ("typed.yaml", "job.yaml"))
    assert [_but_who(entry) for entry in got.entries] == [_but_who(entry) for entry in wanted.entries]


def _but_who(entry: object) -> object:
    said = [(name, value) for name, value in bare(entry) if name not in ("by", "id", "at")]  # type: ignore[attr-defined]
    at = next((value for name, value in bare(entry) if name == "at"), "")  # type: ignore[attr-defined]
    return said, str(at)[:16]
