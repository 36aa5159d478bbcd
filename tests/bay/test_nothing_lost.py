"""Nothing that was typed is lost or doubled: the desk dies between a save and its answer, phones lose their line."""

import os
import random
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from circuitmap.evidence.job_card import JobCard, read_card
from circuitmap.flows.desk import Desk
from circuitmap.flows.sent import Sent
from circuitmap.jobs.job import card_source
from tests.bay.phones import paired_phone, wait_until_empty
from tests.bay.served import DIES_AFTER_SAVING, Served
from tests.bay.test_desk import CARD, MS, NOW, PLATFORM
from tests.pages.browser import browser

ON_DEMAND = (pytest.mark.slow, pytest.mark.on_demand)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    (tmp_path / "camper").mkdir()
    (tmp_path / "camper" / "all.circuit").write_text(PLATFORM)
    (tmp_path / "job.yaml").write_text(CARD.replace("entries:\n", "entries:\n  # by hand: this comment stays\n"))
    return tmp_path


def whole(card: Path) -> JobCard:
    """The card, which has no problem at any look and has its times in order."""
    read, problems = read_card(card_source(card))
    assert not problems
    times = [entry.at.value for entry in read.entries if entry.at is not None]
    assert times == sorted(times)
    return read


def remarks(card: Path) -> list[str]:
    return [entry.remark.value for entry in whole(card).entries if entry.remark is not None]


@pytest.mark.parametrize(
    ("entries", "seed"), [(120, 1), pytest.param(2000, 2, marks=ON_DEMAND)]
)  # a card takes some hundred entries well; the large one is about many deaths, on cards of 100
def test_five_phones_and_a_desk_that_dies(shop: Path, entries: int, seed: int) -> None:
    dice = random.Random(seed)
    per_card = 100
    for begun in range(0, entries, per_card):
        card = shop / f"job{begun}.yaml"
        card.write_text((shop / "job.yaml").read_text())
        desk = Desk(card)
        [key] = desk.cards()
        many = min(per_card, entries - begun)
        boxes: dict[str, list[tuple[Sent, datetime]]] = {f"phone {n}": [] for n in range(5)}
        for number in range(many):
            its = (Sent(f"device{number:08d}", f"remark {number}", MS), NOW + timedelta(seconds=number))
            boxes[dice.choice(list(boxes))].append(its)
        while any(boxes.values()):
            name = dice.choice([name for name, waiting in boxes.items() if waiting])
            if dice.random() < 0.3:
                continue  # no line just now
            waiting = boxes[name]
            now = waiting[-1][1]
            shift = [Sent(s.id, s.line, MS - round((now - at).total_seconds() * 1000)) for s, at in waiting[:20]]
            done = desk.add(key, name, shift, MS, now)
            if dice.random() < 0.2:
                desk = Desk(card)  # it died between the save and the answer: the phone knows nothing of it
                desk.cards()
                continue
            kept = {its.id for its in done.taken if its.outcome != "refused"}
            boxes[name] = [(s, at) for s, at in waiting if s.id not in kept]
            whole(card)
        assert sorted(remarks(card), key=int) == [str(n) for n in range(many)], "none lost, none doubled"
        assert remarks(card) == sorted(remarks(card), key=int), "each where its time belongs"
        assert "# by hand: this comment stays" in card.read_text()


@dataclass(frozen=True)
class Rough:
    """How rough it gets: rounds of one card each; in a round so many turns, each of which ends with the server killed;
    of these it dies in `between` between a save and its answer. `spells` phones lose their line for a turn, and
    `thrown` pages are closed with entries waiting and opened again while nobody answers."""

    phones: int
    rounds: int
    turns: int
    each: int
    between: int
    spells: int
    thrown: int

    def told(self) -> str:
        many = self.rounds * self.turns
        entries = many * self.phones * self.each
        return (
            f"{self.phones} phones, {entries} entries, {many} deaths of the server ({self.rounds * self.between} between "
            f"a save and its answer), {self.rounds * self.spells} spells without a line, {self.rounds * self.thrown} pages "
            "thrown away"
        )


IN_CI = Rough(phones=2, rounds=1, turns=6, each=10, between=3, spells=2, thrown=2)
LARGE = Rough(phones=5, rounds=int(os.environ.get("ROUNDS", "25")), turns=8, each=2, between=2, spells=4, thrown=2)
"""2,000 entries; `ROUNDS` in the environment makes it longer or shorter."""


@pytest.mark.parametrize("rough", [IN_CI, pytest.param(LARGE, marks=ON_DEMAND)], ids=["in-ci", "large"])
def test_phones_a_server_that_dies_and_pages_thrown_away(
    rough: Rough, shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In Chromium. The server lives on from round to round; a phone is paired once."""
    sign = tmp_path / "die"
    monkeypatch.setenv("DIE_SIGN", str(sign))
    card = (shop / "job.yaml").read_text()
    (shop / "job.yaml").unlink()

    def card_of(number: int) -> Path:
        its = shop / f"round{number}.yaml"
        its.write_text(card.replace('job: "7"', f'job: "round{number}"'))
        return its

    now_on = card_of(0)
    server = Served(shop, program=("-c", DIES_AFTER_SAVING))
    server.start()
    looks = 0
    try:
        with browser() as found:
            phones = [paired_phone(found, server, f"phone{n}") for n in range(rough.phones)]
            for number in range(rough.rounds):
                if number:
                    now_on = card_of(number)
                    for page in phones:
                        go_to(page, f"job round{number}")
                looks += one_round(rough, number, phones, server, now_on, sign)
    finally:
        server.kill()
    print(f"{rough.told()}: 0 lost, 0 doubled, the card whole at each of {looks} looks")


def go_to(page: Any, title: str) -> None:
    """To the job of another card, which the shelf lists once it is asked again."""
    page.click("#tabs >> text=Jobs")
    page.click(f".job:has(b:text-is('{title}'))", timeout=60_000)
    page.click("#tabs >> text=Card")
    page.wait_for_selector("#typed", timeout=60_000)


def one_round(rough: Rough, number: int, phones: list[Any], server: Served, card: Path, sign: Path) -> int:
    """Entries, deaths and spells on one card, until nothing waits any more; how often it was looked at."""
    dice = random.Random(number)
    between = set(dice.sample(range(rough.turns), rough.between))
    spells = dict.fromkeys(dice.sample(range(rough.turns), rough.spells))
    thrown = set(dice.sample(range(rough.turns), rough.thrown))
    typed: list[str] = []
    for turn in range(rough.turns):
        without_line = dice.randrange(len(phones)) if turn in spells else -1
        if turn in between:
            sign.touch()
        for who, page in enumerate(phones):
            page.context.set_offline(who == without_line)
            for n in range(rough.each):
                said = f"{who} {rough.each * turn + n}"
                page.fill("#typed", f"remark {said}")
                page.click("text=Write it down")
                typed.append(said)
        if turn in between:
            server.process.wait(60)  # it has died by itself: the card has what nobody was told of
        else:
            server.kill()
        if turn in thrown:
            who = dice.randrange(len(phones))
            phones[who] = thrown_away(phones[who])
        sign.unlink(missing_ok=True)
        whole(card)
        server.start()
        for page in phones:
            page.context.set_offline(False)
    for page in phones:
        wait_until_empty(page)
        assert page.errors == []
    got = remarks(card)
    assert sorted(got) == sorted(typed), "none lost, none doubled"
    for who in range(len(phones)):
        mine = [int(said.split()[1]) for said in got if said.startswith(f"{who} ")]
        turns = [n // rough.each for n in mine]
        assert turns == sorted(turns), "each where its time belongs"
    assert "# by hand: this comment stays" in card.read_text()
    return rough.turns + 1


WRITTEN_DOWN = """() => new Promise((done, failed) => {
  const asked = indexedDB.open('bay')
  asked.onerror = () => failed(asked.error)
  asked.onsuccess = () => {
    const turn = asked.result.transaction('outbox')  // has its turn behind what is being written
    turn.oncomplete = () => { asked.result.close(); done() }
    turn.objectStore('outbox').count()
  }
})"""


def thrown_away(page: Any) -> Any:
    """The page closed with entries waiting, and opened again while nobody answers. Not before the phone has written
    them down: that takes as long as its disk takes, here beside other tests."""
    page.evaluate(WRITTEN_DOWN)
    again = page.context.new_page()
    again.errors = []
    again.on("pageerror", lambda error: again.errors.append(str(error)))
    url = page.url
    page.close()
    again.goto(url)
    again.wait_for_selector("#typed")
    return again
