"""The law of what is shared: the page of a card with a customer is the page of the same card with `[customer]` wherever
the customer stood, and nothing else is different. So no name can break a drawing or a verdict, and none is left."""

import unicodedata

import pytest

from circuitmap.flows.job import job_from
from circuitmap.flows.page import shared_job
from circuitmap.flows.questions import open_platform
from circuitmap.jobs.card_writing import new_card
from circuitmap.jobs.without_customer import HIDDEN, NO_FILE_NAME, without_customer
from circuitmap.problems import Severity
from circuitmap.source import SourceFile
from circuitmap.wiring.platform import Platform
from tests.always import always
from tests.card_texts import with_entry
from tests.pages.customers import customers

VAN = """\
platform "Marlow Linnet" sleep 20min..40min limit 50mA
battery BAT 72Ah
box CAB "cab fuse box"
fuse CAB.F14 15A mini, CAB.F22 20A mini
module LIFT "tail lift" supply 1 ground 2
module HEATER "cab heater" supply 1 ground 2
ground G1
BAT.+ -> CAB.F22 -> LIFT.1 in RD
BAT.+ -> CAB.F14 -> HEATER.1 in RD
LIFT.2 -> G1 in BN
HEATER.2 -> G1 in BN
BAT.- -> G1 in BN
"""
PHONE = "0731 44 20 19"
FREE = ("job", "vehicle", "odometer", "complaint", "since", "done-before", "happens-when")
MEASURED = (
    (("at", "10:00"), ("state", "locked")),
    (("at", "10:50"), ("read", (("F22", "0.43A"),)), ("total", "0.47A")),
    (("at", "11:00"), ("out", ("LIFT",))),
    (("at", "11:40"), ("read", (("F22", "0.00A"),)), ("total", "0.04A")),
)  # fmt: skip
WRITTEN = ("remark", "claim", "cause", "to-mend", "until-then", "mended")


@pytest.fixture(scope="module")
def van(tmp_path_factory: pytest.TempPathFactory) -> Platform:
    folder = tmp_path_factory.mktemp("van")
    (folder / "v.circuit").write_text(VAN, "utf-8")
    platform = open_platform(folder)
    assert all(problem.severity is Severity.NOTE for problem in platform.problems)
    return platform


def spellings(name: str) -> tuple[str, ...]:
    """The name in the various ways people write it."""
    return (name, name.upper(), name.lower(), unicodedata.normalize("NFD", name), unicodedata.normalize("NFC", name))


def card(name: str, phone: str, who: tuple[str, ...], file_name: str, private: bool) -> str:
    """The same card, whoever the customer is: `who` are the words that stand for the customer, in turn."""
    turn = (who[n % len(who)] for n in range(10_000))
    head = [("customer", name), ("phone", phone)] if private else []
    head += [(key, f"qwx {next(turn)} zzk") for key in FREE]
    text = new_card(head).replace("entries:\n", "")
    text += f"added: {{{quoted(f'qwx {next(turn)} zzk')}: F14}}\nentries:\n"
    entries = [*MEASURED]
    entries += [(("at", "12:00"), (key, f"zzk {next(turn)} qwx")) for key in WRITTEN]
    entries += [(("at", "12:10"), ("photo", file_name))]
    entries += [(("remark", "zzk"), ("struck", f"qwx {next(turn)} zzk"))]
    entries += [(("out", (f"qwx {next(turn)} zzk",)), ("struck", "qwx"))]
    for fields in entries:
        text = with_entry(SourceFile("job.yaml", text), fields)
    return text


def quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


def shared(van: Platform, text: str) -> str:
    """The page, after everything that was asked has been answered: hide it."""
    job = job_from(van, text, "job.yaml")
    assert not job.problems, job.problems
    doubtful = without_customer(van, job.card).doubtful
    hide = [f"{one.place}:{one.word}" for one in doubtful]
    return shared_job(job, hide=hide).page.decode()


@pytest.fixture(scope="module")
def nobody(van: Platform) -> str:
    """The page of the card that never had a customer."""
    return shared(van, card("", "", (HIDDEN,), NO_FILE_NAME, private=False))


def law(van: Platform, nobody: str, name: str, phone: str = PHONE) -> None:
    mine = shared(van, card(name, phone, spellings(name), f"{name.lower()}_dash.jpg".replace("\n", ""), private=True))
    assert mine == nobody


ALL = customers()


def test_there_are_three_hundred_of_them() -> None:
    assert len(ALL) >= 300


@pytest.mark.parametrize("name", ALL[::12])
def test_the_page_is_the_same_but_for_the_marks(van: Platform, nobody: str, name: str) -> None:
    law(van, nobody, name)


@pytest.mark.slow
@pytest.mark.parametrize("part", always(3, range(12)))
def test_the_page_is_the_same_for_all_of_them(van: Platform, nobody: str, part: int) -> None:
    for name in ALL[part::12]:
        law(van, nobody, name)
