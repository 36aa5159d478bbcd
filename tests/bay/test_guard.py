"""What may come in: only our own page, under our own address, in JSON, of a size; judged at the edges."""

import asyncio
import socket
import time
from collections.abc import MutableMapping
from pathlib import Path
from shutil import copytree
from typing import Any

import pytest

from circuitmap.web import guard
from circuitmap.web.guard import LARGEST_BODY, LARGEST_TYPED, LONGEST_PATH, Guard, why_refused
from tests.bay.served import Served, served

HOST = b"192.168.1.20:8410"
ORIGIN = b"http://192.168.1.20:8410"
GOOD = [(b"host", HOST), (b"origin", ORIGIN), (b"content-type", b"application/json"), (b"content-length", b"2")]


def status(method: str, headers: list[tuple[bytes, bytes]], path: bytes = b"/jobs") -> int:
    refusal = why_refused(method, path, headers, ["bench.lan"])
    return refusal.status if refusal is not None else 200


def with_header(name: bytes, *values: bytes) -> list[tuple[bytes, bytes]]:
    return [*((key, value) for key, value in GOOD if key != name), *((name, value) for value in values)]


@pytest.mark.parametrize(
    ("host", "wanted"),
    [
        (HOST, 200), (b"127.0.0.1", 200), (b"localhost:8410", 200), (b"LOCALHOST", 200), (b"[::1]:8410", 200), (b"bench.lan:8410", 200),
        (b"Bench.LAN", 200), (b"bench.lan.evil.example", 403), (b"evil.example", 403), (b"127.0.0.1.evil.example", 403), (b"", 403),
        (b"localhost.", 403), (b"127.0.0.1:80:80", 403), (b"127.0.0.1:x", 403), (b"evil@127.0.0.1", 403), (b"0x7f.1", 403), (b"[::1", 403),
    ],
)  # fmt: skip
def test_the_host_is_ours(host: bytes, wanted: int) -> None:
    assert status("GET", [(b"host", host)]) == wanted


def test_there_is_exactly_one_host() -> None:
    assert status("GET", []) == 403
    assert status("GET", [(b"host", HOST), (b"Host", HOST)]) == 403
    assert status("GET", [(b"host", HOST), (b"host", b"evil.example")]) == 403


@pytest.mark.parametrize(
    ("headers", "wanted"),
    [
        (GOOD, 200),
        (with_header(b"origin"), 403),
        (with_header(b"origin", b"null"), 403),
        (with_header(b"origin", b"http://evil.example"), 403),
        (with_header(b"origin", b"http://192.168.1.20:8411"), 403),  # another port of the same machine
        (with_header(b"origin", b"https://192.168.1.20:8410"), 403),
        (with_header(b"origin", ORIGIN, ORIGIN), 403),
        (with_header(b"host", b"127.0.0.1:8410"), 403),  # ours, and the page is not of the same
        (with_header(b"sec-fetch-site", b"same-origin"), 200),
        (with_header(b"sec-fetch-site", b"none"), 200),
        (with_header(b"sec-fetch-site", b"same-site"), 403),
        (with_header(b"sec-fetch-site", b"cross-site"), 403),
        (with_header(b"content-type"), 415),
        (with_header(b"content-type", b"text/plain"), 415),
        (with_header(b"content-type", b"application/x-www-form-urlencoded"), 415),
        (with_header(b"content-type", b"application/json; charset=utf-8"), 200),
        (with_header(b"content-type", b"text/plain, application/json"), 415),
        (with_header(b"content-length", b"%d" % (LARGEST_BODY - 1)), 200),
        (with_header(b"content-length", b"%d" % LARGEST_BODY), 200),
        (with_header(b"content-length", b"%d" % (LARGEST_BODY + 1)), 413),
        (with_header(b"content-length", b"-1"), 400),
        (with_header(b"content-length", b"1", b"2"), 400),
        (with_header(b"content-length"), 200),
    ],
)
def test_what_changes_something_comes_from_our_page(headers: list[tuple[bytes, bytes]], wanted: int) -> None:
    assert status("POST", headers) == wanted


@pytest.mark.parametrize(
    ("path", "most"),
    [
        (b"/platforms/x/typing/y/try", LARGEST_TYPED),
        (b"/platforms/x/typing/y", LARGEST_BODY),
        (b"/platforms/x/jobs", LARGEST_BODY),
        (b"/jobs/x/typing/y/try", LARGEST_BODY),
    ],
)
def test_a_sheet_may_be_larger_than_an_entry(path: bytes, most: int) -> None:
    for size, wanted in ((most - 1, 200), (most, 200), (most + 1, 413)):
        assert status("POST", with_header(b"content-length", b"%d" % size), path) == wanted


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT"])
def test_no_other_method(method: str) -> None:
    assert status(method, GOOD) == 405


@pytest.mark.parametrize(
    "path", [b"/../etc/passwd", b"/a/../b", b"/%2e%2e/x", b"/..%5c", b"\\\\x", b"//evil.example", b"/a%00", b"/jobs/..", b"/\0"]
)  # fmt: skip
def test_no_path_leads_elsewhere(path: bytes) -> None:
    assert status("GET", GOOD, path) == 404


@pytest.mark.parametrize(("long", "wanted"), [(LONGEST_PATH - 1, 200), (LONGEST_PATH, 200), (LONGEST_PATH + 1, 404)])
def test_a_path_has_a_length(long: int, wanted: int) -> None:
    assert status("GET", GOOD, b"/" + b"a" * (long - 1)) == wanted


async def _reads_all(scope: MutableMapping[str, Any], receive: Any, send: Any) -> None:
    more = True
    while more:
        more = (await receive()).get("more_body", False)
    await send({"type": "http.response.start", "status": 200, "headers": [(b"cache-control", b"private")]})
    await send({"type": "http.response.body", "body": b""})


@pytest.mark.parametrize(("size", "wanted"), [(LARGEST_BODY - 1, 200), (LARGEST_BODY, 200), (LARGEST_BODY + 1, 413)])
def test_a_body_without_a_length_is_counted(size: int, wanted: int) -> None:
    said: list[Any] = []
    chunks = [b"x" * 1000] * (size // 1000) + [b"x" * (size % 1000)]

    async def receive() -> dict[str, Any]:
        return {"type": "http.request", "body": chunks.pop(0), "more_body": bool(chunks)}

    async def send(message: Any) -> None:
        said.append(message)

    headers = with_header(b"content-length")
    scope = {"type": "http", "method": "POST", "path": "/x", "raw_path": b"/x", "headers": headers}
    asyncio.run(Guard(_reads_all, ())(scope, receive, send))
    assert said[0]["status"] == wanted
    kept = dict(said[0]["headers"])
    assert (
        b"'unsafe" not in kept[b"content-security-policy"] and b"default-src 'none'" in kept[b"content-security-policy"]
    )
    assert not [name for name in kept if name.startswith(b"access-control")]


def answered(bay: Served, head: str, body: bytes, wait: float) -> bytes:
    """What the shop's machine answers to somebody who sends the head, waits, and sends the rest."""
    lines = [f"POST /jobs/x/{head}", f"Host: 127.0.0.1:{bay.port}", f"Origin: {bay.base.rstrip('/')}"]
    lines += [f"Content-Length: {len(body)}", "", ""]
    with socket.create_connection(("127.0.0.1", bay.port), timeout=30) as line:
        line.sendall("\r\n".join(lines).encode())
        time.sleep(wait)
        for start in range(0, len(body), 8_000):
            line.sendall(body[start : start + 8_000])
            time.sleep(0.001)
        said = b""
        while part := line.recv(4_096):
            said += part
        return said


@pytest.mark.parametrize(
    ("head", "size", "status"),
    [
        ("logs/device00000091 HTTP/1.1\r\nContent-Type: text/plain", 60_000, b"415"),
        ("logs/device00000091 HTTP/1.1\r\nContent-Type: text/plain", 0, b"415"),
        ("entries HTTP/1.1\r\nContent-Type: application/json", LARGEST_BODY + 200_000, b"413"),
    ],
)
def test_who_is_still_sending_gets_the_answer(tmp_path: Path, head: str, size: int, status: bytes) -> None:
    """RFC 9112, 9.6: a connection that is closed with something unread in it is reset, and the answer is lost."""
    copytree(Path(__file__).parents[2] / "sample_vehicles" / "van", tmp_path / "van")
    with served(tmp_path / "van") as bay:
        assert answered(bay, head, b"x" * size, 0.3).startswith(b"HTTP/1.1 " + status)


def test_who_never_sends_the_rest_is_answered_all_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(guard, "READ_AWAY_SECONDS", 0.05)
    said: list[Any] = []

    async def receive() -> dict[str, Any]:
        await asyncio.sleep(60)
        raise AssertionError

    async def send(message: Any) -> None:
        said.append(message)

    scope = {"type": "http", "method": "PUT", "path": "/x", "raw_path": b"/x", "headers": GOOD}
    asyncio.run(Guard(_reads_all, ())(scope, receive, send))
    assert said[0]["status"] == 405
