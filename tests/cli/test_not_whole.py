"""A card or a platform of which parts could not be read: every answer says so, the pages too, and the exit code is
1."""

from pathlib import Path

import pytest

from circuitmap.drawings.placing import graphviz_layout
from circuitmap.flows import page as page_flow
from tests.cli.conftest import Run

CARD = """\
job: "17"
platform: van
customer: Jessamy Orford
complaint: flat
entries:
  - {at: 10:00, state: locked}
  - {at: 10:50, total: 0.47A}
"""
SLIPS = {
    "a key that is a slip": CARD.replace("total:", "totall:"),
    "a key twice": CARD.replace("total: 0.47A", "total: 0.47A, total: 0.1A"),
    "an unknown part": CARD.replace("total: 0.47A", "read: {F99: 0.47A}"),
    "a part twice": CARD.replace("total: 0.47A", "read: {F1: 0.47A, CAB.F1: 0.1A}"),
    "a total that another reading denies": CARD.replace("total: 0.47A", "total: 0.47A, read: {BAT: 1A}"),
    "a name without a value": CARD.replace("total: 0.47A", "read: {F1: }"),
    "neither yes nor no": CARD.replace("total: 0.47A", "total: 0.47A, steady: maybe"),
    "the customer's key, a big letter": CARD.replace("customer:", "Customer:"),
    "the customer's key, a slip": CARD.replace("customer:", "custommer:"),
    "the customer as a list": CARD.replace("customer: Jessamy Orford", "customer: [Jessamy Orford]"),
    "the customer as a mapping": CARD.replace("customer: Jessamy Orford", "customer: {name: Jessamy Orford}"),
    "the customer doubled": CARD.replace("complaint: flat", "customer: Ada Quill"),
    "the customer in an entry": CARD.replace("total: 0.47A", "total: 0.47A, customer: Jessamy Orford"),
    "a time that is none": CARD.replace("10:50", "10:70"),
}


@pytest.fixture(params=SLIPS.values(), ids=SLIPS.keys())
def slip(request: pytest.FixtureRequest, van: Path) -> Path:
    card = van.parent / "job.yaml"
    card.write_text(request.param, "utf-8")
    return card


def test_a_card_with_a_problem_is_not_shared(circuitmap: Run, slip: Path) -> None:
    page = slip.parent / "page.html"
    ran = circuitmap("share", slip, "-o", page)
    assert ran.code == 1 and not page.exists() and not ran.out
    assert ran.err.startswith("circuitmap: Not shared: job.yaml cannot be read in ") and "job.yaml:" in ran.err
    told = circuitmap("share", slip, "-o", page, "--json").json
    assert told["error"]["exit_code"] == 1 and not page.exists()


@pytest.mark.parametrize("ending", ["md", "html"])
def test_its_report_says_so_beside_the_verdict(circuitmap: Run, slip: Path, ending: str) -> None:
    report = slip.parent / f"report.{ending}"
    ran = circuitmap("report", slip, "-o", report)
    assert ran.code == 1 and "Wrote" in ran.out
    assert "The card has problems" in ran.err and "job.yaml:" in ran.err
    text = report.read_text("utf-8")
    head, record = text.split("Record for the technician")
    assert "Parts of the job card could not be read (1 place" in head
    assert "Not read" in record and "job.yaml:" in record.replace("\\", "")


def test_its_report_in_numbers(circuitmap: Run, slip: Path) -> None:
    ran = circuitmap("report", slip, "-o", slip.parent / "r.pdf", "--json")
    assert (ran.code, ran.json["card_problems"], ran.json["problems"]["errors"]) == (1, 1, 0)


def test_showing_it_exits_1(circuitmap: Run, slip: Path) -> None:
    ran = circuitmap("card", "show", slip)
    assert ran.code == 1 and ran.out and "job.yaml:" in ran.err


WORDS = [
    ("share", "van", "-o", "OUT.html"),
    ("share", "job.yaml", "-o", "OUT.html"),
    ("report", "job.yaml", "-o", "OUT.html"),
    ("report", "job.yaml", "-o", "OUT.md"),
    ("report", "job.yaml", "-o", "OUT.pdf"),
    ("card", "show", "job.yaml"),
    ("card", "add", "job.yaml", "total", "0.5A", "--at", "10:55"),
    ("card", "strike", "job.yaml", "2", "wrong van"),
    ("card", "new", "van", "new.yaml"),
]


@pytest.mark.parametrize("words", WORDS, ids=lambda words: " ".join(words[:2]))
@pytest.mark.parametrize("broken", [False, True])
def test_a_platform_with_errors_is_told(
    circuitmap: Run, van: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], broken: bool
) -> None:
    monkeypatch.chdir(van.parent)
    if broken:
        with (van / "van.circuit").open("a", encoding="utf-8") as file:
            file.write("\nmodul X supply 1\nfuse CAB.F9 1OA mini\n")
    Path("job.yaml").write_text(CARD, "utf-8")
    ran = circuitmap(*words)
    assert ran.code == int(broken), ran
    assert ran.out and ("The text has 2 errors; the answer rests on the rest." in ran.err) == broken
    for page in (*Path().glob("OUT.html"), *Path().glob("OUT.md")):
        assert ("The wiring that was typed in has 2 errors" in page.read_text("utf-8")) == broken
    if words[:2] != ("card", "new"):
        Path("job.yaml").write_text(CARD, "utf-8")
        told = circuitmap(*words, "--json")
        assert told.code == int(broken) and told.json["problems"]["errors"] == 2 * broken


def test_a_whole_card_says_nothing_of_the_kind(circuitmap: Run, van: Path) -> None:
    card = van.parent / "job.yaml"
    card.write_text(CARD, "utf-8")
    ran = circuitmap("report", card, "-o", card.parent / "r.html")
    assert ran.code == 0 and not ran.err
    text = (card.parent / "r.html").read_text("utf-8")
    assert "Not complete" not in text and "Not read" not in text


DOUBTFUL = CARD.replace("complaint: flat", "complaint: an Oxford garage found nothing").replace(
    "0.47A", "0.47A, remark: Orford rang"
)


class TestSharing:
    @pytest.fixture
    def card(self, van: Path) -> Path:
        card = van.parent / "job.yaml"
        card.write_text(DOUBTFUL, "utf-8")
        return card

    def test_nothing_is_written_while_a_place_is_doubtful(self, circuitmap: Run, card: Path) -> None:
        ran = circuitmap("share", card, "-o", card.parent / "page.html")
        assert ran.code == 2 and not ran.out and not (card.parent / "page.html").exists()
        assert 'complaint: "Oxford" in: an Oxford garage found nothing' in ran.err
        assert "--hide WORD" in ran.err and "--keep Oxford" in ran.err

    @pytest.mark.parametrize(("answer", "reads"), [("--keep", "an Oxford garage"), ("--hide", "an [customer] garage")])
    def test_what_is_typed_then_is_shared(self, circuitmap: Run, card: Path, answer: str, reads: str) -> None:
        ran = circuitmap("share", card, "-o", card.parent / "page.html", answer, "oxford")
        assert ran.code == 0 and not ran.err
        assert "2.remark: [customer] rang" in ran.out and "Orford" not in ran.out
        page = (card.parent / "page.html").read_text("utf-8")
        assert reads in page and "Orford" not in page and "Jessamy" not in page
        told = circuitmap("share", card, "-o", card.parent / "page.html", answer, "oxford", "--json").json
        assert {"place": "2.remark", "text": "[customer] rang"} in told["hidden"]

    @pytest.mark.parametrize("name", ["orford.html", "mrs_orford_van.html", "JOrford.html"])
    def test_the_files_own_name_does_not_name_the_customer(self, circuitmap: Run, card: Path, name: str) -> None:
        ran = circuitmap("share", card, "-o", card.parent / name, "--keep", "oxford")
        assert ran.code == 2 and "names the customer" in ran.err and not (card.parent / name).exists()

    def test_a_platform_has_no_customer(self, circuitmap: Run, van: Path) -> None:
        ran = circuitmap("share", van, "-o", van.parent / "p.html", "--keep", "may")
        assert ran.code == 2 and "no customer" in ran.err

    def test_very_many_doubts_are_cut_short(self, circuitmap: Run, card: Path) -> None:
        card.write_text(DOUBTFUL.replace("an Oxford garage", "Oxford " * 300), "utf-8")
        ran = circuitmap("share", card, "-o", card.parent / "page.html")
        assert ran.code == 2 and "300 places may name the customer" in ran.err and "and 260 more" in ran.err
        assert circuitmap("share", card, "-o", card.parent / "page.html", "--keep", "oxford").code == 0


def test_drawings_that_cannot_be_laid_out_are_named(
    van: Path, circuitmap: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(graphviz_layout, "MOST_ARRANGED", 1)
    page = van.parent / "page.html"
    assert circuitmap("share", van, "-o", page).code == 0
    text = " ".join(page.read_text("utf-8").split())
    assert "Drawings: what hangs on" in text and "could not be laid out within the limits." in text


def test_drawings_beyond_what_one_page_may_draw_are_counted(
    van: Path, circuitmap: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What Graphviz has to arrange counts, too: a tall drawing has many rows for a few parts."""

    def said() -> str:
        page = van.parent / "page.html"
        assert circuitmap("share", van, "-o", page).code == 0
        return " ".join(page.read_text("utf-8").split())

    assert "are not drawn." not in said()
    monkeypatch.setattr(page_flow, "MOST_ARRANGED_ON_A_PAGE", 20)
    assert "Drawings: those of the fuses up to CAB.F" in said() and "more are not drawn." in said()
