"""One desk for all pages that are tried in one run, and one browser for those of a file: each test has a card of its own
on it, and phones of its own. A desk that a test kills, or whose platform it changes, is its own, too."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import count
from pathlib import Path
from shutil import copytree
from typing import Any

import pytest

from tests.bay.served import ROOT, Served
from tests.bay.test_desk import CARD, PLATFORM
from tests.pages.browser import browser

MORE = """\
relay HAB.K1 "pump relay" make
relay HAB.K2 "belt tensioner relay" make hands-off restraint
lamp LOCKL "locker lamp"
switch STEPSW "step switch" positions in, out closes 1 to 2 in out
network LIVING can "living network" members HEATER, SDM
option TOW "towing socket"
ground G1 "at the step"
heater MAT "bunk mat"
"""


@pytest.fixture(scope="module")  # while it is there, no test in its thread can run an event loop of its own
def browser_there() -> Iterator[Any]:
    with browser() as its:
        yield its


@pytest.fixture
def found(browser_there: Any) -> Iterator[Any]:
    """The browser; its phones are put away after each test, so that none of them listens on."""
    yield browser_there
    for context in browser_there.contexts:
        context.close()


@pytest.fixture(scope="session")
def desk_there(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    root = tmp_path_factory.mktemp("bay")
    _platforms(root)
    server = Served(root)
    server.start()
    yield server
    server.kill()


@pytest.fixture(scope="session")
def numbers() -> Iterator[int]:
    return count(1)


@pytest.fixture
def camper(desk_there: Served, numbers: Iterator[int]) -> Served:
    """The desk that all share, with a card of a camper that nobody has read yet."""
    return _with_card(desk_there, _camper_card(desk_there.what, next(numbers)))


@pytest.fixture
def truck(desk_there: Served, numbers: Iterator[int]) -> Served:
    """The same with the truck's card as it is before anything was taken out: fuses read, steps on offer."""
    return _with_card(desk_there, _truck_card(desk_there.what, next(numbers)))


@pytest.fixture
def own_camper(tmp_path: Path, numbers: Iterator[int]) -> Iterator[Served]:
    """A desk for one test, which may kill it, and change the platform."""
    yield from _own(tmp_path, _camper_card, next(numbers))


@pytest.fixture
def own_truck(tmp_path: Path, numbers: Iterator[int]) -> Iterator[Served]:
    yield from _own(tmp_path, _truck_card, next(numbers))


def _own(root: Path, card_on: Callable[[Path, int], Path], number: int) -> Iterator[Served]:
    _platforms(root)
    card = card_on(root, number)
    server = Served(root)
    server.start()
    its = _with_card(server, card)
    yield its
    its.kill()


def _platforms(root: Path) -> None:
    copytree(ROOT / "sample_vehicles" / "truck", root / "truck")
    (root / "camper").mkdir()
    (root / "camper" / "all.circuit").write_text(PLATFORM + MORE)
    for card in (root / "truck" / "jobs").glob("*.yaml"):
        card.rename(card.with_suffix(".kept"))  # a shelf with few jobs is asked for faster


def _with_card(server: Served, card: Path) -> Served:
    return replace(server, card=card, title=f"job {card.parent.name}")


def _camper_card(root: Path, number: int) -> Path:
    card = root / f"c{number}" / "job.yaml"
    card.parent.mkdir()
    card.write_text(CARD.replace("platform: camper", "platform: ../camper").replace('job: "7"', f"job: c{number}"))
    return card


def _truck_card(root: Path, number: int) -> Path:
    text = (root / "truck" / "jobs" / "0412.kept").read_text("utf-8")
    text = text[: text.rindex("\n  - ", 0, text.index("out:"))] + "\n"
    card = root / f"t{number}" / "job.yaml"
    card.parent.mkdir()
    card.write_text(
        text.replace("platform: ..", "platform: ../truck").replace('job: "0412"', f"job: t{number}"), "utf-8"
    )
    return card
