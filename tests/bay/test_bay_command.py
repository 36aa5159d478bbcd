"""`circuitmap bay`: it prints where and how, stops at once, and what goes wrong is one clear message."""

import json
import re
import secrets
import socket
import time
from collections.abc import Iterator
from pathlib import Path
from shutil import copytree
from typing import Any

import httpx
import pytest
from markupsafe import escape

from circuitmap.web.serving import QUIET, shown_code
from tests.bay.cameras import PLACE, camera
from tests.bay.qr_reading import read_back
from tests.bay.served import ROOT, Served, served
from tests.cli.conftest import Run, circuitmap

__all__ = ["circuitmap"]


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(copytree(ROOT / "sample_vehicles" / "van", tmp_path_factory.mktemp("shop") / "van"))


@pytest.fixture(scope="module")
def bay(shop: Path) -> Iterator[Served]:
    with served(shop) as its:
        yield its


@pytest.fixture
def phone(bay: Served) -> Iterator[httpx.Client]:
    with httpx.Client(base_url=bay.base, headers={"Origin": bay.base.rstrip("/")}, timeout=60) as client:
        code = bay.code()
        answer = client.post("/pair", json={"code": code, "name": "Ida"})
        assert answer.status_code == 200, answer.text
        bay.next_code(code)
        yield client


def job(phone: httpx.Client) -> str:
    return str(phone.get("/jobs").json()["jobs"][0]["key"])


def test_nothing_is_told_to_who_is_not_paired(bay: Served) -> None:
    with httpx.Client(base_url=bay.base, headers={"Origin": bay.base.rstrip("/")}) as stranger:
        for path in (
            "/jobs", "/jobs/x", "/jobs/x/stream", "/jobs/x/report", "/jobs/x/picture", "/jobs/x/places",
            "/jobs/x/parts/y", "/jobs/x/photos/y", "/platforms", "/platforms/x", "/platforms/x/parts/y", "/plain",
            "/plain/x", "/plain/platforms/x", "/plain/platforms/x/y",
        ):  # fmt: skip
            assert stranger.get(path).status_code == 401, path
        for path in ("/jobs/x/entries", "/jobs/x/strike", "/platforms/x/jobs"):
            assert stranger.post(path, json={}).status_code == 401, path
        jpeg = {"Content-Type": "image/jpeg"}
        assert stranger.post("/jobs/x/photos/y", content=b"\xff\xd8", headers=jpeg).status_code == 401
        assert stranger.post("/pair", json={"code": "guessed", "name": "Eve"}).status_code == 403
        page = stranger.get("/").text
        named = re.findall(r'(?:href|src)="(/page/[^"]+)"', page)
        assert len(named) > 5 and {"bay.css", "bay.js"} <= {name.rpartition("/")[2] for name in named}
        for name in named:
            assert stranger.get(name).headers["cache-control"] == "private, max-age=604800, immutable"
            other = name.replace(name.split("/")[2], "0123456789ab")
            assert stranger.get(other).headers["cache-control"] == "no-store", "an old page must not keep a new file"
        assert stranger.get(named[0].rpartition("/")[0] + "/bay.py").status_code == 404


def test_the_cookie_is_for_nobody_else(bay: Served) -> None:
    with httpx.Client(base_url=bay.base, headers={"Origin": bay.base.rstrip("/")}) as client:
        code = bay.code()
        said = client.post("/pair", json={"code": code, "name": "Tom"}).headers["set-cookie"]
        bay.next_code(code)
    assert f"bay{bay.port}=" in said and "HttpOnly" in said and "SameSite=strict" in said


def test_an_entry_reaches_the_card_and_everybody_who_listens(phone: httpx.Client, shop: Path) -> None:
    key = job(phone)
    with phone.stream("GET", f"/jobs/{key}/stream") as stream:
        lines = stream.iter_lines()
        first = next(line for line in lines if line.startswith("data: "))
        now = round(time.time() * 1000)
        sent = {"sent_ms": now, "entries": [{"id": "device00000001", "line": "remark from a phone", "at_ms": now}]}
        assert phone.post(f"/jobs/{key}/entries", json=sent).json()["taken"][0]["outcome"] == "kept"
        assert phone.post(f"/jobs/{key}/entries", json=sent).json()["taken"][0]["outcome"] == "known"
        then = next(line for line in lines if line.startswith('data: {"revision"') and "from a phone" in line)
    assert "from a phone" not in first
    # By its id: where it stands hangs on the time of day, the card has no dates.
    entry = _entry(json.loads(then.removeprefix("data: ")), "device00000001")
    assert (entry["by"], entry["says"]) == ("Ida", "remark from a phone"[7:])
    assert phone.post(f"/jobs/{key}/strike", json={"id": "device00000001", "reason": "a slip"}).status_code == 200
    assert _entry(phone.get(f"/jobs/{key}").json(), "device00000001")["struck"] == "a slip (Ida)"


def _entry(answer: dict[str, Any], its_id: str) -> dict[str, Any]:
    [entry] = [its for its in answer["entries"] if its["id"] == its_id]
    return dict(entry)


@pytest.mark.parametrize(
    "body",
    [
        b"", b"{", b"[]", b"null", b'{"entries": {}}', b'{"entries": []}', b'{"entries": [1]}', b"\xff\xfe", b"[" * 60_000,
        b'{"sent_ms": -1, "entries": [{"id": "device00000001", "line": "locked"}]}',
        b'{"sent_ms": 1e99, "entries": [{"id": "device00000001", "line": "locked"}]}',
        b'{"sent_ms": 1, "entries": [{"id": 5, "line": "locked"}]}',
        b'{"sent_ms": 1, "entries": [{"id": "device00000001", "line": ["locked"]}]}',
    ],
)  # fmt: skip
def test_what_makes_no_sense_is_refused_with_a_reason(phone: httpx.Client, body: bytes) -> None:
    answer = phone.post(f"/jobs/{job(phone)}/entries", content=body, headers={"Content-Type": "application/json"})
    assert answer.status_code == 400 and answer.json()["why"]


@pytest.mark.parametrize(("entries", "status"), [(49, 200), (50, 200), (51, 400)])
def test_a_batch_has_a_limit(phone: httpx.Client, entries: int, status: int) -> None:
    batch = [{"id": "short", "line": "locked", "at_ms": 1} for _ in range(entries)]  # each is refused: no card grows
    assert phone.post(f"/jobs/{job(phone)}/entries", json={"sent_ms": 1, "entries": batch}).status_code == status


def test_pages_for_reading_need_no_script(phone: httpx.Client) -> None:
    key = job(phone)
    assert f'href="/plain/{key}"' in phone.get("/plain").text
    page = phone.get(f"/plain/{key}").text
    assert "<script" not in page and "<h2>Next</h2>" in page and "<table>" in page


def test_platforms_are_read_without_script_down_to_a_part(phone: httpx.Client) -> None:
    [one] = phone.get("/platforms").json()["platforms"]
    assert f'href="/plain/platforms/{one["key"]}"' in phone.get("/plain").text
    fuses = [fuse for box in phone.get(f"/platforms/{one['key']}").json()["boxes"] for fuse in box["fuses"]]
    page = phone.get(f"/plain/platforms/{one['key']}").text
    links = re.findall(r'href="(/plain/platforms/[0-9a-f]+/[0-9a-f]+)"', page)
    assert len(links) == len(fuses) and "<script" not in page and all(escape(fuse["feeds"]) in page for fuse in fuses)
    for link, fuse in zip(links, fuses, strict=True):
        answer = phone.get(link)
        assert answer.status_code == 200 and "<script" not in answer.text, link
        assert f"<h1>{escape(fuse['name'])}</h1>" in answer.text, link
    hands_off = next(link for link, fuse in zip(links, fuses, strict=True) if fuse["why"])
    assert "! HANDS OFF: " in phone.get(hands_off).text
    assert phone.get("/plain/platforms/x").status_code == 409 and phone.get(f"{links[0]}0").status_code == 409


def test_clients_that_never_say_what_they_want_are_let_go(bay: Served, phone: httpx.Client) -> None:
    silent = [socket.create_connection(("127.0.0.1", bay.port)) for _ in range(40)]
    for one in silent[::2]:
        one.sendall(b"GET / HTTP/1.1\r\nHost: ")
    assert phone.get("/jobs").status_code == 200
    for one in silent:
        one.settimeout(20)
        assert one.recv(100) == b""
        one.close()


def test_a_taken_port_is_one_clear_message(bay: Served, shop: Path, circuitmap: Run) -> None:
    ran = circuitmap("bay", str(shop), "--port", str(bay.port))
    assert ran.code == 3 and f"Port {bay.port} of 127.0.0.1 is taken." in ran.err and "--port" in ran.err
    assert "Traceback" not in ran.err


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("bay", "NOWHERE"), 3, "no folder or card"),
        (("bay", "SHOP", "--address", "no.such.name"), 2, "is no address"),
        (("bay", "SHOP", "--port", "70000"), 2, "70000"),
        (("bay", "SHOP", "--revoke", "Nobody"), 2, "no phone of Nobody"),
    ],
)
def test_wrong_use(words: tuple[str, ...], code: int, said: str, shop: Path, circuitmap: Run) -> None:
    ran = circuitmap(*(word.replace("SHOP", str(shop)) for word in words))
    assert ran.code == code and said in ran.err and "Traceback" not in ran.err


def test_phones_are_listed_revoked_and_outlive_a_restart(tmp_path: Path, circuitmap: Run) -> None:
    copytree(ROOT / "sample_vehicles" / "van", tmp_path / "van")
    assert circuitmap("bay", str(tmp_path), "--phones").out == "No phone is paired.\n"
    with served(tmp_path) as bay, httpx.Client(timeout=60) as client:
        client.headers["Origin"] = bay.base.rstrip("/")
        assert client.post(f"{bay.base}pair", json={"code": bay.code(), "name": "Ida"}).status_code == 200
        assert client.get(f"{bay.base}jobs").status_code == 200
        assert bay.interrupt() == 130
        assert "Traceback" not in "".join(bay.said)
        bay.start()
        assert client.get(f"{bay.base}jobs").status_code == 200
        assert circuitmap("bay", str(tmp_path), "--phones").out.startswith("Ida, since 20")
        assert circuitmap("bay", str(tmp_path), "--revoke", "Ida").code == 0
        assert client.get(f"{bay.base}jobs").status_code == 401


def test_the_code_is_drawn_as_it_is() -> None:
    head, *rows, url = shown_code("http://192.168.1.20:8410/#pair=AbCdEfGhIjKlMnOpQrStUv")
    assert "10 minutes" in head and url.endswith("#pair=AbCdEfGhIjKlMnOpQrStUv")
    light = {"█": (1, 1), "▀": (1, 0), "▄": (0, 1), " ": (0, 0)}
    modules = [[light[c][half] for c in row] for row in rows for half in (0, 1)]
    side = len(modules[0])
    assert side == 33 + 2 * QUIET, "version 4, as large as such an address needs"
    assert all(all(row[:QUIET]) and all(row[-QUIET:]) for row in modules) and all(map(all, modules[:QUIET]))
    corner = [row[QUIET : QUIET + 7] for row in modules[QUIET : QUIET + 7]]
    assert corner[0] == [0] * 7 and corner[1] == [0, 1, 1, 1, 1, 1, 0] and corner[3] == [0, 1, 0, 0, 0, 1, 0]


@pytest.mark.parametrize(
    "address", ["127.0.0.1:8410", "192.168.120.101:65535", "10.0.0.2:8410", "[fd12:3456::20]:8410"]
)
def test_the_code_that_is_shown_can_be_read_back(address: str) -> None:
    """From the half blocks in the terminal, by a reader of its own, not by the library that wrote it."""
    said = f"http://{address}/#pair={secrets.token_urlsafe(16)}"
    _, *rows, url = shown_code(said)
    dark = {"█": (False, False), "▀": (False, True), "▄": (True, False), " ": (True, True)}
    modules = [[dark[c][half] for c in row[QUIET:-QUIET]] for row in rows for half in (0, 1)]
    side = len(rows[0]) - 2 * QUIET
    assert read_back(modules[QUIET : QUIET + side]) == said == url


def test_a_platform_is_read_and_a_job_begun_over_the_line(phone: httpx.Client, shop: Path) -> None:
    [one] = phone.get("/platforms").json()["platforms"]
    read = phone.get(f"/platforms/{one['key']}").json()
    fuse = read["boxes"][0]["fuses"][0]
    assert phone.get(f"/platforms/{one['key']}/parts/{fuse['part']}").json()["name"] == fuse["name"]
    begun = {"number": "0777", "said": {"complaint": "flat"}, "fitted": ["TOW"], "absent": ["AUXHEAT"]}
    keys = {phone.post(f"/platforms/{one['key']}/jobs", json=begun).json()["key"] for _ in range(2)}
    assert len(keys) == 1 and (shop / "jobs" / "0777.yaml").is_file()
    assert phone.get(f"/jobs/{keys.pop()}").json()["complaint"] == "flat"
    for wrong in (
        {**begun, "said": {"customer": "x"}},
        {**begun, "said": []},
        {**begun, "fitted": "TOW"},
        {"number": 7},
    ):
        answer = phone.post(f"/platforms/{one['key']}/jobs", json=wrong)
        assert answer.status_code == 400 and answer.json()["why"]


@pytest.mark.parametrize(("names", "status"), [(499, 200), (500, 200), (501, 400)])
def test_equipment_has_a_limit(phone: httpx.Client, names: int, status: int) -> None:
    [one] = phone.get("/platforms").json()["platforms"]
    begun = {"number": f"eq{names}", "said": {}, "fitted": ["TOW"] * names}
    assert phone.post(f"/platforms/{one['key']}/jobs", json=begun).status_code == status


def test_a_photo_goes_over_the_line_and_comes_back(phone: httpx.Client, shop: Path) -> None:
    key, its_id = job(phone), "device00000077"
    jpeg = {"Content-Type": "image/jpeg"}
    assert phone.post(f"/jobs/{key}/photos/{its_id}", content=b"GIF89a", headers=jpeg).status_code == 400
    assert phone.post(f"/jobs/{key}/photos/{its_id}", content=camera(300, 200), headers=jpeg).status_code == 200
    now = round(time.time() * 1000)
    entry = {"id": its_id, "line": "", "at_ms": now, "photo": True}
    taken = phone.post(f"/jobs/{key}/entries", json={"sent_ms": now, "entries": [entry]}).json()["taken"]
    assert taken[0]["outcome"] == "kept"
    there = phone.get(f"/jobs/{key}/photos/{its_id}")
    assert there.headers["content-type"] == "image/jpeg" and there.content.startswith(b"\xff\xd8")
    assert PLACE not in there.content + (shop / "jobs" / f"photo-{its_id}.jpg").read_bytes()
    assert phone.get(f"/jobs/{key}/photos/device00000078").status_code == 409
