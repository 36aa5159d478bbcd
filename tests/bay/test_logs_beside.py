"""A night's log from a phone: written beside the card, read when the line that names it comes, drawn in the report."""

import time
from collections.abc import Iterator
from pathlib import Path
from shutil import copytree

import httpx
import pytest

from circuitmap.failures import LimitReached, WrongUse
from circuitmap.flows.desk import Desk
from circuitmap.flows.logs_beside import LARGEST_LOG, keep_log, log_name
from circuitmap.web.guard import largest_at, why_refused
from tests.bay.served import Served, served

ROOT = Path(__file__).parents[2]
NIGHT = ROOT / "sample_vehicles" / "van" / "jobs" / "0433-night.csv"
CSV = {"Content-Type": "text/csv"}
CARD = """\
job: "0901"
platform: ..
customer: Quillaby
fitted: [TOW]
entries:
  - {at: "2024-11-04 17:06", state: locked}
"""


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("shop") / "van"
    copytree(ROOT / "sample_vehicles" / "van", folder)
    for card in (folder / "jobs").glob("*"):
        card.unlink()
    (folder / "jobs" / "0901.yaml").write_text(CARD)
    return folder


@pytest.fixture(scope="module")
def bay(shop: Path) -> Iterator[Served]:
    with served(shop) as its:
        yield its


@pytest.fixture(scope="module")
def phone(bay: Served) -> Iterator[httpx.Client]:
    with httpx.Client(base_url=bay.base, headers={"Origin": bay.base.rstrip("/")}, timeout=60) as client:
        assert client.post("/pair", json={"code": bay.code(), "name": "Ida"}).status_code == 200
        yield client


def sent(phone: httpx.Client, key: str, its_id: str, line: str) -> dict[str, str]:
    now = round(time.time() * 1000)
    batch = {"sent_ms": now, "entries": [{"id": its_id, "line": line, "at_ms": now}]}
    taken: dict[str, str] = phone.post(f"/jobs/{key}/entries", json=batch).json()["taken"][0]
    return taken


def test_a_log_goes_over_the_line_and_stands_in_the_report(phone: httpx.Client, shop: Path, bay: Served) -> None:
    key = str(phone.get("/jobs").json()["jobs"][0]["key"])
    its_id, night = "device00000091", NIGHT.read_bytes()
    with httpx.Client(base_url=bay.base, headers={"Origin": bay.base.rstrip("/")}) as stranger:
        assert stranger.post(f"/jobs/{key}/logs/{its_id}", content=night, headers=CSV).status_code == 401
    assert phone.post(f"/jobs/{key}/logs/{its_id}", content=night).status_code == 415
    for _ in range(2):  # the answer was lost, and it is sent again
        answer = phone.post(f"/jobs/{key}/logs/{its_id}", content=night, headers=CSV)
        assert (answer.status_code, answer.json()) == (200, {"name": f"log-{its_id}.csv"})
    assert phone.post(f"/jobs/{key}/logs/{its_id}", content=b"time,A\n", headers=CSV).status_code == 400
    assert (shop / "jobs" / f"log-{its_id}.csv").read_bytes() == night
    assert sent(phone, key, "device00000092", f"logged log-{its_id}.csv")["outcome"] == "kept"
    shown = phone.get(f"/jobs/{key}").json()
    assert "event-1" in shown["entries"][-1]["says"]
    report = phone.get(f"/jobs/{key}/report").text
    assert "The night of entry 2" in report and "Quillaby" not in report and "as much as fell away" not in report[:2000]


@pytest.mark.parametrize("name", ["../../secret.csv", "/etc/hosts.csv", "other.csv", ".hidden.csv"])
def test_only_a_file_beside_the_card_is_opened(name: str, phone: httpx.Client) -> None:
    key = str(phone.get("/jobs").json()["jobs"][0]["key"])
    number = sum(name.encode()) % 10_000
    taken = sent(phone, key, f"device0000{number:04d}ab", f"logged {name}")
    assert taken["outcome"] == "refused" and "beside the card" in taken["why"]


def test_a_link_is_not_followed(phone: httpx.Client, shop: Path, tmp_path: Path) -> None:
    (tmp_path / "elsewhere.csv").write_bytes(NIGHT.read_bytes())
    (shop / "jobs" / "link.csv").symlink_to(tmp_path / "elsewhere.csv")
    key = str(phone.get("/jobs").json()["jobs"][0]["key"])
    taken = sent(phone, key, "device00000098", "logged link.csv")
    assert taken["outcome"] == "refused" and "it is a link" in taken["why"]


def test_what_the_file_does_not_say_is_asked_on_the_phone(phone: httpx.Client, shop: Path) -> None:
    key = str(phone.get("/jobs").json()["jobs"][0]["key"])
    layout = ROOT / "tests" / "recording" / "layouts" / "l26_no_unit.csv"
    (shop / "jobs" / "bare.csv").write_bytes(layout.read_bytes())
    taken = sent(phone, key, "device00000095", "logged bare.csv")
    assert taken["outcome"] == "refused" and "In which unit" in taken["why"] and "unit mA" in taken["why"]


def test_a_log_has_a_limit(tmp_path: Path) -> None:
    card = tmp_path / "job.yaml"
    with pytest.raises(LimitReached):
        keep_log(card, "device00000096", b"x" * (LARGEST_LOG + 1))
    for wrong, content in (("../x", b"x"), ("device00000097", b"")):
        with pytest.raises(WrongUse):
            keep_log(card, wrong, content)
    assert not list(tmp_path.iterdir()) and log_name("a") == "log-a.csv"
    assert largest_at(b"/jobs/k/logs/device00000096") == LARGEST_LOG and largest_at(b"/jobs/k/logs") < LARGEST_LOG
    heads = [(b"host", b"localhost"), (b"origin", b"http://localhost"), (b"content-type", b"text/csv")]
    too_long = [*heads, (b"content-length", str(LARGEST_LOG + 1).encode())]
    refused = why_refused("POST", b"/jobs/k/logs/device00000096", too_long, ())
    assert refused is not None and refused.status == 413


def test_the_desk_names_no_customer_by_a_file(tmp_path: Path) -> None:
    copytree(ROOT / "sample_vehicles" / "van", tmp_path / "van")
    jobs = tmp_path / "van" / "jobs"
    text = (jobs / "0433.yaml").read_text().replace("0433-night.csv", "quillaby.csv")
    (jobs / "0433.yaml").write_text(text.replace("platform: ..", "platform: ..\ncustomer: Quillaby"))
    (jobs / "0433-night.csv").rename(jobs / "quillaby.csv")
    desk = Desk(tmp_path)
    key = next(key for key, path in desk.cards().items() if path.name == "0433.yaml")
    page = desk.report(key).decode()
    assert "quillaby" not in page.casefold() and "The night of entry 3" in page
