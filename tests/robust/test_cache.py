"""Whatever stands in the place of what was remembered: the answer is the same as without it, comes soon, and nothing
else changes.

| in the cache | what is promised |
|---|---|
| a pipe, a link to one, a device, a folder, a socket | not waited for, not read |
| a link to somebody's file | not followed: neither read nor written through; a file of our own takes its place |
| a file of another owner, or one that others may write, however right its sum | not used |
| more than is ever kept | not read |
| an index with any value of any wrong kind | read anew, and written anew |
| a platform or card that changed, with size and time as before | read anew |
| what we keep | for this user's eyes only |
"""

import hashlib
import json
import os
import shutil
import socket
import stat
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from circuitmap import cache as cache_module
from circuitmap.shelf import index
from tests.cli.conftest import Ran, Run
from tests.robust.running import clear, run

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="links and pipes are made")

CARD = "job: '1'\nplatform: van\ncomplaint: flat\nentries:\n  - at: 10:02\n    state: locked\n"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A platform long enough to be remembered, and a card."""
    shop = tmp_path / "shop"
    (shop / "van").mkdir(parents=True)
    lamps = "".join(f"lamp L{n}\nBAT.+ -> L{n} in RD 1mm2\n" for n in range(300))
    (shop / "van/a.circuit").write_text(f'platform "Marlow Linnet"\nbattery BAT\n{lamps}')
    (shop / "job.yaml").write_text(CARD)
    monkeypatch.setenv("CIRCUITMAP_CACHE", str(tmp_path / "cache"))
    monkeypatch.setattr(index, "JUST_NOW", 0.0)
    monkeypatch.chdir(shop)
    return shop


COMMANDS = {"platform": ("list", "van"), "library": ("library", ".")}


def kept_file(cache: Path, kind: str) -> Path:
    (file,) = cache.glob(f"{kind}-*.json")
    return file


Place = Callable[[Path, Path], object]
"""Puts something where a file of the cache was; the second argument is somebody's file."""


def _socket(place: Path, victim: Path) -> None:
    home = os.getcwd()
    os.chdir(place.parent)  # the name of a socket has to be short
    try:
        with socket.socket(socket.AF_UNIX) as one:
            one.bind(place.name)
    finally:
        os.chdir(home)


def _large(place: Path, victim: Path) -> None:
    with open(place, "wb") as file:
        file.truncate(3_000_000_000)


def _pipe_elsewhere(place: Path, victim: Path) -> None:
    os.mkfifo(victim.parent / "pipe")
    place.symlink_to(victim.parent / "pipe")


PLACES: dict[str, Place] = {
    "a pipe": lambda place, victim: os.mkfifo(place),
    "a link to a pipe": _pipe_elsewhere,
    "a link to a file": lambda place, victim: place.symlink_to(victim),
    "a link to nowhere": lambda place, victim: place.symlink_to(victim.parent / "nowhere"),
    "a link to itself": lambda place, victim: place.symlink_to(place),
    "a link to an endless device": lambda place, victim: place.symlink_to("/dev/zero"),
    "a folder": lambda place, victim: place.mkdir(),
    "a socket": _socket,
    "a large file": _large,
    "noise": lambda place, victim: place.write_text("{" * 99),
}


@pytest.mark.parametrize("what", PLACES)
@pytest.mark.parametrize("kind", COMMANDS)
def test_what_stands_in_its_place(kind: str, what: str, shop: Path, tmp_path: Path, circuitmap: Run) -> None:
    victim = tmp_path / "elsewhere/victim"
    victim.parent.mkdir()
    victim.write_bytes(b"not yours\n")
    first = circuitmap(*COMMANDS[kind])
    place = kept_file(tmp_path / "cache", kind)
    place.unlink()
    PLACES[what](place, victim)
    second = circuitmap(*COMMANDS[kind])
    assert second == first and first.code == 0
    assert victim.read_bytes() == b"not yours\n"
    assert {p.name for p in victim.parent.iterdir()} <= {"victim", "pipe"}
    assert place.is_dir() or (stat.S_ISREG(place.lstat().st_mode) and place.stat().st_size < 1_000_000)
    assert circuitmap(*COMMANDS[kind]) == first


@pytest.mark.parametrize("where", ["a file", "a pipe", "a link to itself", "no rights"])
def test_what_stands_in_place_of_the_whole_cache(where: str, shop: Path, tmp_path: Path, circuitmap: Run) -> None:
    cache = tmp_path / "cache"
    match where:
        case "a file":
            cache.write_bytes(b"x")
        case "a pipe":
            os.mkfifo(cache)
        case "a link to itself":
            cache.symlink_to(cache)
        case "no rights":
            cache.mkdir(mode=0)
    for words in COMMANDS.values():
        assert circuitmap(*words).code == 0


def test_what_is_kept_is_for_this_users_eyes_only(shop: Path, tmp_path: Path, circuitmap: Run) -> None:
    for words in COMMANDS.values():
        circuitmap(*words)
    assert stat.S_IMODE((tmp_path / "cache").stat().st_mode) == 0o700
    files = list((tmp_path / "cache").iterdir())
    assert len(files) == 2 and all(stat.S_IMODE(file.stat().st_mode) == 0o600 for file in files)


# ---- somebody else's file, with a correct checksum ----


def forge_platform(file: Path) -> None:
    head, _, body = file.read_bytes().partition(b"\n")
    key = head.split()[0]
    body = body.replace(b'"L7"', b'"FORGED"')
    file.write_bytes(key + b" " + hashlib.sha256(body).hexdigest().encode() + b"\n" + body)


def forge_library(file: Path) -> None:
    file.write_bytes(file.read_bytes().replace(b"Marlow Linnet", b"FORGED"))


FORGERIES = {"platform": forge_platform, "library": forge_library}


@pytest.mark.parametrize("kind", COMMANDS)
def test_a_forgery_with_a_right_sum_is_used_only_if_it_is_ones_own(
    kind: str, shop: Path, tmp_path: Path, circuitmap: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    words = COMMANDS[kind]
    true = circuitmap(*words)
    file = kept_file(tmp_path / "cache", kind)
    FORGERIES[kind](file)
    assert "FORGED" in circuitmap(*words).out, "this is no forgery that anybody would believe"
    kept = file.read_bytes()
    for mode in (0o622, 0o602, 0o660):
        file.write_bytes(kept)
        file.chmod(mode)
        assert circuitmap(*words) == true
        assert stat.S_IMODE(kept_file(tmp_path / "cache", kind).stat().st_mode) == 0o600
    file.write_bytes(kept)
    another = os.geteuid() + 1
    with monkeypatch.context() as patch:
        patch.setattr(cache_module.os, "geteuid", lambda: another)
        assert circuitmap(*words) == true


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root can give a file away")
@pytest.mark.parametrize("kind", COMMANDS)
def test_a_forgery_of_another_user(kind: str, shop: Path, tmp_path: Path, circuitmap: Run) -> None:
    true = circuitmap(*COMMANDS[kind])
    file = kept_file(tmp_path / "cache", kind)
    FORGERIES[kind](file)
    assert b"FORGED" in file.read_bytes()
    os.chown(file, 65534, 65534)
    assert circuitmap(*COMMANDS[kind]) == true
    assert kept_file(tmp_path / "cache", kind).stat().st_uid == 0


# ---- an index with anything wrong in it ----

WRONG: tuple[Any, ...] = (
    None,
    True,
    0,
    -1,
    1.5,
    10**30,
    "",
    "x",
    [],
    [[]],
    [None],
    {},
    {"x": 1},
    [["a", "b", "c", "d"]],
)


def places_in(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The way to each value in a JSON text."""
    yield path
    keys = value.keys() if isinstance(value, dict) else range(min(2, len(value))) if isinstance(value, list) else ()
    for key in keys:
        yield from places_in(value[key], (*path, key))


def with_value(text: str, path: tuple[Any, ...], value: Any) -> bytes:
    data = json.loads(text)
    if not path:
        return json.dumps(value).encode()
    inner = data
    for key in path[:-1]:
        inner = inner[key]
    inner[path[-1]] = value
    return json.dumps(data).encode()


def value_at(text: str, path: tuple[Any, ...]) -> Any:
    value = json.loads(text)
    for key in path:
        value = value[key]
    return value


def test_any_wrong_value_in_the_index_is_read_anew(shop: Path, tmp_path: Path, circuitmap: Run) -> None:
    (shop / "van/a.circuit").write_text('platform "Marlow Linnet"\nbattery BAT 72Ah number "B-1"\n')
    true = {words: circuitmap(*words) for words in (("library", "."), ("library", ".", "--json"))}
    file = kept_file(tmp_path / "cache", "library")
    text = file.read_text()
    tried = 0
    for path in places_in(json.loads(text)):
        for wrong in WRONG:
            if type(wrong) is type(value_at(text, path)) is str:
                continue  # a different text is not a wrong kind of value
            tried += 1
            file.write_bytes(with_value(text, path, wrong))
            for words, answer in true.items():
                assert circuitmap(*words) == answer, (path, wrong)
    assert tried > 300


@pytest.mark.parametrize(
    "content",
    ["[" * 100_000, '{"index_version": 4, "items": ' + "9" * 5000 + "}", '{"index_version": NaN}', '"\\ud800"'],
)
def test_an_index_that_is_no_json(content: str, shop: Path, tmp_path: Path, circuitmap: Run) -> None:
    true = circuitmap("library", ".")
    kept_file(tmp_path / "cache", "library").write_text(content)
    assert circuitmap("library", ".") == true


def test_an_entry_is_that_of_its_own_place(shop: Path, tmp_path: Path, circuitmap: Run) -> None:
    """The path or kind of another entry in it would be shown, or opened."""
    true = circuitmap("library", ".")
    file = kept_file(tmp_path / "cache", "library")
    text = file.read_text()
    for old, new in (('"path":"van"', '"path":"../../elsewhere"'), ('"kind":"platform"', '"kind":"job"')):
        assert old in text
        file.write_text(text.replace(old, new))
        assert circuitmap("library", ".") == true


# ---- what changed but looks as before ----


def test_the_same_size_and_time_is_not_the_same_text(shop: Path, circuitmap: Run) -> None:
    for name, old, new in (("van/a.circuit", "Marlow Linnet", "Marlow Sorrel"), ("job.yaml", "flat", "lame")):
        file = shop / name
        assert old in circuitmap("library", ".").out
        before = file.stat()
        file.write_text(file.read_text().replace(old, new))
        os.utime(file, ns=(before.st_atime_ns, before.st_mtime_ns))
        assert (file.stat().st_size, file.stat().st_mtime_ns) == (before.st_size, before.st_mtime_ns)
        said = circuitmap("library", ".").out
        assert new in said and old not in said


def test_what_changed_just_now_is_read_again(shop: Path, circuitmap: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    """A second change might follow before the clock of the disk has moved on."""
    monkeypatch.setattr(index, "JUST_NOW", 3.0)
    assert "Marlow Linnet" in circuitmap("library", ".").out
    reads: list[object] = []
    as_usual = index._read
    monkeypatch.setattr(index, "_read", lambda item, read: (reads.append(item), as_usual(item, read))[1])
    circuitmap("library", ".")
    assert len(reads) == 2
    now = index.time.time()
    monkeypatch.setattr(index.time, "time", lambda: now + 60)
    for _ in range(3):
        circuitmap("library", ".")
    assert len(reads) == 4


# ---- what lies about on the shelf ----


def test_what_cannot_be_looked_at_hides_nothing_else(shop: Path) -> None:
    (shop / "other").mkdir()
    (shop / "other/loop.circuit").symlink_to("loop.circuit")
    (shop / "loop.yaml").symlink_to("loop.yaml")
    (shop / "loop").symlink_to("loop")
    os.mkfifo(shop / "pipe.yaml")
    (shop / "zero.yaml").symlink_to("/dev/zero")
    shutil.copytree(shop / "van", shop / "more")
    os.mkfifo(shop / "more/pipe.circuit")
    ran: Ran = run("library", ".", within=shop)
    clear(ran, 0)
    assert "Marlow Linnet" in ran.out and "job 1" in ran.out
    assert "loop.yaml cannot be read" in ran.out and "pipe.circuit is not a file" in ran.out
