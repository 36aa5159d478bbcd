"""Links, pipes, devices, read-only and unreadable files in every place that a command reads or writes.

| what is there | what is promised |
|---|---|
| a link that leads in a circle, in any place | 3, with its name |
| `-o` at a pipe, a socket, a device that nobody meant | 3 at once; nothing waits |
| a link out of its folder in the place of what is written | 3; what it leads to stays as it is |
| a link inside its folder | followed |
| a read-only file in the place of what is written | 3; it stays as it is, also for root |
| a file of somebody else's, or with rights of its own | it keeps its owner, or at least its group, and its rights |
| a file or folder that cannot be read, or not be written | 3, with its name |
"""

import os
import re
import socket
import stat
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from circuitmap import platform_cache
from circuitmap.saving import update, write_output
from tests.cli.conftest import Run
from tests.robust.places import CARD, MERGE, READ, READERS, WRITTEN, place_of
from tests.robust.running import as_one_who_may_not, clear, run

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="links and pipes are made")


def in_its_place(place: Path) -> bytes:
    """Take away what is there, and return what it held."""
    content = place.read_bytes() if place.is_file() else b""
    if place.is_file():
        place.unlink()
    elif place.is_dir():
        place.rename(place.parent.parent / "away")
    return content


# ---- links in a circle ----


@pytest.mark.parametrize(("name", "words"), READ, ids=lambda it: it if isinstance(it, str) else " ".join(it[:2]))
def test_reading_a_link_in_a_circle(name: str, words: tuple[str, ...], shop: Path, circuitmap: Run) -> None:
    in_its_place(shop / name)
    (shop / name).symlink_to((shop / name).name)
    clear(circuitmap(*words), 3, Path(name).name)


@pytest.mark.parametrize("name", WRITTEN)
def test_writing_over_a_link_in_a_circle(name: str, shop: Path, circuitmap: Run) -> None:
    place = place_of(shop, name)
    in_its_place(place)
    place.symlink_to("second")
    (place.parent / "second").symlink_to(place.name)
    clear(circuitmap(*WRITTEN[name]), 3, place.name)
    assert place.is_symlink()


def test_other_places_of_a_link_in_a_circle(
    shop: Path, tmp_path: Path, circuitmap: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    (shop / "loop").symlink_to("loop")
    for words in (
        ("library", "loop"), ("card", "new", "loop", "new.yaml"), ("card", "new", "van", "loop/new.yaml"),
        ("card", "show", "loop/job.yaml"), ("worksheet", "van", "-o", "loop/out.txt"), ("share", "loop", "-o", "x.html"),
        ("diff", "van", "loop"), ("diff", "loop", "--git", "HEAD"), ("suspects", "van", "F2=0.4A", "--earlier-jobs", "loop"),
    ):  # fmt: skip
        clear(circuitmap(*words), 3)
    (shop / "job.yaml").write_text(CARD.replace("platform: van", "platform: loop"))
    for words in READERS["job.yaml"][:5]:
        clear(circuitmap(*words), 3, "loop")
    for name in ("loop", str(tmp_path / "nowhere"), "/dev/null/cache"):
        monkeypatch.setenv("CIRCUITMAP_CACHE", name)
        monkeypatch.setattr(platform_cache, "LEAST_TEXT", 0)
        assert circuitmap("list", "van").code == circuitmap("library", ".").code == 0


# ---- pipes, sockets, devices ----


def a_socket(place: Path) -> None:
    home = os.getcwd()
    os.chdir(place.parent)
    try:
        with socket.socket(socket.AF_UNIX) as one:
            one.bind(place.name)
    finally:
        os.chdir(home)


NO_FILES: dict[str, Callable[[Path], None]] = {
    "a pipe": os.mkfifo,
    "a socket": a_socket,
    "a folder": lambda place: place.mkdir(),
    "a link to a device": lambda place: place.symlink_to("/dev/zero"),
}


EACH_WAY_OF_READING = (
    ("van/van.circuit", ("check", "van")),
    ("job.yaml", ("card", "show", "job.yaml")),
    ("ours.circuit", MERGE),
)
WITHOUT_A_FILE = [("a pipe", *one) for one in READ if one[0] != "van"]
WITHOUT_A_FILE += [(kind, *one) for kind in NO_FILES if kind != "a pipe" for one in EACH_WAY_OF_READING]


@pytest.mark.parametrize(("kind", "name", "words"), WITHOUT_A_FILE, ids=lambda it: it if isinstance(it, str) else it[1])
def test_reading_what_is_no_file(kind: str, name: str, words: tuple[str, ...], shop: Path, circuitmap: Run) -> None:
    in_its_place(shop / name)
    NO_FILES[kind](shop / name)
    clear(circuitmap(*words), 3, Path(name).name)


@pytest.mark.parametrize("kind", NO_FILES)
@pytest.mark.parametrize("name", WRITTEN)
def test_writing_to_what_is_no_file(kind: str, name: str, shop: Path, circuitmap: Run) -> None:
    place = place_of(shop, name)
    in_its_place(place)
    NO_FILES[kind](place)
    before = place.lstat()
    clear(circuitmap(*WRITTEN[name]), 2 if name == "new.yaml" else 3, place.name)
    assert os.path.samestat(place.lstat(), before)


def test_a_pipe_that_somebody_reads_slowly_is_no_output_either(shop: Path) -> None:
    os.mkfifo(shop / "out.svg")
    reader = subprocess.Popen(["sh", "-c", "exec sleep 60 <out.svg"], cwd=shop)
    try:
        clear(run(*WRITTEN["out.svg"], within=shop), 3, "out.svg is a pipe")
    finally:
        reader.kill()
        reader.wait(20)


def test_standard_output_and_a_terminal_are_places_to_write_to(shop: Path) -> None:
    (shop / "stdout.svg").symlink_to("/dev/stdout")
    for streams in ({}, {"stdout": subprocess.DEVNULL}):
        ran = run("diagram", "van", "HEATER", "-o", "stdout.svg", within=shop, **streams)
        clear(ran, 0)
        assert bool(streams) or ran.out.startswith("<?xml") or "<svg" in ran.out
    clear(run(*MERGE, "-o", "/dev/null", within=shop), 0)


# ---- links out of the folder ----


@pytest.mark.parametrize("target", ["there", "not there", "a folder further in"])
@pytest.mark.parametrize("name", WRITTEN)
def test_a_link_out_of_its_folder_is_not_written_through(name: str, target: str, shop: Path, circuitmap: Run) -> None:
    place = place_of(shop, name)
    content = in_its_place(place)
    elsewhere = shop.parent / "elsewhere"
    elsewhere.mkdir()
    victim = elsewhere / "victim"
    if target == "there" or content:
        victim.write_bytes(content or b"not yours\n")
    match target:
        case "a folder further in":
            (place.parent / "in").symlink_to(elsewhere)
            place.symlink_to("in/victim")
        case _:
            place.symlink_to(victim)
    before = victim.read_bytes() if victim.exists() else None
    ran = circuitmap(*WRITTEN[name])
    if name == "new.yaml" and before is not None:
        clear(ran, 2, "There is a card")
    else:
        clear(ran, 3, f"{place.name} is a link that leads out of its folder")
    assert (victim.read_bytes() if victim.exists() else None) == before
    assert {p.name for p in elsewhere.iterdir()} <= {"victim"} and place.is_symlink()


@pytest.mark.parametrize("name", WRITTEN)
def test_a_link_inside_its_folder_is_followed(name: str, shop: Path, circuitmap: Run) -> None:
    place = place_of(shop, name)
    content = in_its_place(place)
    (place.parent / "in").mkdir()
    real = place.parent / "in/real"
    if content:
        real.write_bytes(content)
    place.symlink_to(real)
    ran = circuitmap(*WRITTEN[name])
    assert ran.code in (0, 1) and place.is_symlink()
    assert real.read_bytes() != content


# ---- read-only, owners, rights ----


@pytest.mark.parametrize("name", [name for name in WRITTEN if name != "new.yaml"])
def test_a_read_only_file_is_not_replaced(name: str, shop: Path, circuitmap: Run) -> None:
    place = place_of(shop, name)
    content = in_its_place(place) or b"mine\n"
    place.write_bytes(content)
    place.chmod(0o444)
    ran = circuitmap(*WRITTEN[name])
    clear(ran, 3, f"{place.name} is read-only; nothing was written")
    assert place.read_bytes() == content and stat.S_IMODE(place.stat().st_mode) == 0o444


@pytest.mark.parametrize("name", [name for name in WRITTEN if name != "new.yaml"])
def test_rights_are_kept(name: str, shop: Path, circuitmap: Run) -> None:
    place = place_of(shop, name)
    content = in_its_place(place) or b"mine\n"
    place.write_bytes(content)
    place.chmod(0o4626)
    assert circuitmap(*WRITTEN[name]).code in (0, 1)
    assert place.read_bytes() != content
    assert stat.S_IMODE(place.stat().st_mode) == 0o626, "but nothing that lets somebody act for its owner"


@pytest.mark.skipif(sys.platform == "win32" or os.geteuid() != 0, reason="only root can give a file away")
@pytest.mark.parametrize("name", [name for name in WRITTEN if name != "new.yaml"])
def test_the_owner_is_kept(name: str, shop: Path, circuitmap: Run) -> None:
    place = place_of(shop, name)
    place.write_bytes(in_its_place(place) or b"mine\n")
    os.chown(place, 65534, 12345)
    assert circuitmap(*WRITTEN[name]).code in (0, 1)
    assert (place.stat().st_uid, place.stat().st_gid) == (65534, 12345)


def test_where_the_owner_cannot_be_kept_the_group_is(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[tuple[int, int]] = []
    card = shop / "job.yaml"
    true = os.stat(card)

    def chown(handle: int, owner: int, group: int) -> None:
        asked.append((owner, group))
        if owner != -1:
            raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "fchown", chown)
    as_usual = os.fstat

    def fstat(handle: int) -> os.stat_result:
        status = list(as_usual(handle))
        status[4] += 1  # whoever writes is somebody else
        return os.stat_result(status)

    monkeypatch.setattr(os, "fstat", fstat)
    update(card, lambda now: b"more\n")
    assert asked == [(true.st_uid, true.st_gid), (-1, true.st_gid)]
    assert card.read_bytes() == b"more\n"


def test_nobody_is_made_owner_of_what_is_put_in_its_place_meanwhile(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Permissions are set on the open file, not on a name that the folder's owner can point elsewhere."""
    for name in ("chown", "lchown", "chmod", "lchmod"):
        monkeypatch.setattr(os, name, lambda *_, **__: pytest.fail("by name"), raising=False)
    write_output(shop / "job.yaml", b"x\n")


@pytest.mark.parametrize(("name", "words"), READ, ids=lambda it: it if isinstance(it, str) else " ".join(it[:2]))
def test_what_cannot_be_read(name: str, words: tuple[str, ...], shop: Path) -> None:
    (shop / name).chmod(0)
    try:
        ran = run(*words, within=shop, before=as_one_who_may_not())
    finally:
        (shop / name).chmod(0o755)
    clear(ran, 3, Path(name).name)
    assert re.search("ermission denied|cannot be read", ran.err)


@pytest.mark.parametrize("name", WRITTEN)
def test_a_folder_that_cannot_be_written(name: str, shop: Path) -> None:
    place = place_of(shop, name)
    content = place.read_bytes() if place.exists() else None
    place.parent.chmod(0o555)
    try:
        ran = run(*WRITTEN[name], within=shop, before=as_one_who_may_not())
    finally:
        place.parent.chmod(0o755)
    clear(ran, 3)
    assert "ermission denied" in ran.err and (place.name in ran.err or str(place.parent) in ran.err)
    assert (place.read_bytes() if place.exists() else None) == content


def test_a_folder_on_the_shelf_that_cannot_be_read_hides_no_other(shop: Path) -> None:
    (shop / "closed").mkdir(mode=0)
    ran = run("library", ".", within=shop, before=as_one_who_may_not())
    (shop / "closed").chmod(0o755)
    clear(ran, 0)
    assert "Bramble 2 van" in ran.out and "closed" in ran.out


def test_undisturbed_all_of_them_write(shop: Path, circuitmap: Run) -> None:
    """Shows that whatever was refused above was refused for the right reason."""
    for name, words in WRITTEN.items():
        before = place_of(shop, name).read_bytes() if place_of(shop, name).exists() else b""
        clear(circuitmap(*words), 0)
        assert place_of(shop, name).read_bytes() != before
    for _, words in READ:
        if "--git" not in words and "new.yaml" not in words:
            assert circuitmap(*words).code in (0, 1, 2)
