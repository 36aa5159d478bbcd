"""Sizes are looked at before anything is read: a large file, an endless one or one that grows gives exit code 4, in
little memory."""

import os
import sys
from pathlib import Path

import pytest

from circuitmap import plain_files
from circuitmap.failures import CannotRead, LimitReached
from circuitmap.plain_files import read_plain
from circuitmap.saving import read_content
from tests.robust.places import ADD, MERGE, place_of
from tests.robust.running import clear, run

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="memory is limited by a shell")

LARGE = {
    "van/van.circuit": (("check", "van"), "van.circuit"),
    "van/huge.circuit": (("check", "van"), "huge.circuit"),
    "job.yaml": (("card", "show", "job.yaml"), "job.yaml"),
    "job.yaml, added to": (ADD, "job.yaml"),
    "ours.circuit": (MERGE, "ours.circuit"),
    "base.circuit": (MERGE, "base.circuit"),
    "theirs.circuit": (MERGE, "theirs.circuit"),
}


@pytest.mark.parametrize("name", LARGE)
def test_a_file_of_three_gigabytes_is_not_read(name: str, shop: Path) -> None:
    words, said = LARGE[name]
    with open(place_of(shop, name), "wb") as file:
        file.truncate(3_000_000_000)
    limited = ("sh", "-c", 'ulimit -v 2000000; exec "$@"', "sh")
    card = name.startswith("job.yaml")  # a card's limit is told in characters
    clear(run(*words, within=shop, before=limited), 4, said, "longer than" if card else "larger than")


def test_large_things_on_the_shelf_hide_nothing(shop: Path) -> None:
    for name in ("big.yaml", "other/big.circuit"):
        (shop / name).parent.mkdir(exist_ok=True)
        with open(shop / name, "wb") as file:
            file.truncate(3_000_000_000)
    limited = ("sh", "-c", 'ulimit -v 2000000; exec "$@"', "sh")
    ran = run("library", ".", within=shop, before=limited)
    clear(ran, 0)
    assert "Bramble 2 van" in ran.out
    assert "other/big.circuit is larger than" in ran.out and "big.yaml is longer than" in ran.out


def test_the_size_is_looked_at_first_and_what_grows_is_cut_off(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "x"
    file.write_bytes(b"12345")
    assert read_plain(file, 5).content == read_content(file, 5) == b"12345"
    for most in (4, 0):
        with pytest.raises(LimitReached, match=f"larger than {most} bytes"):
            read_plain(file, most)
    as_usual = os.fstat

    def before_it_grew(handle: int) -> os.stat_result:
        status = list(as_usual(handle))
        status[6] = 1
        return os.stat_result(status)

    monkeypatch.setattr(plain_files.os, "fstat", before_it_grew)
    with pytest.raises(LimitReached, match="larger than 4 bytes"):
        read_plain(file, 4)
    with pytest.raises(OSError, match="Too many levels"):
        read_plain(link_to(file), 9, follow=False)


def link_to(file: Path) -> Path:
    link = file.with_name("link")
    link.symlink_to(file)
    return link


def test_a_file_without_a_size_of_its_own_is_read_up_to_the_limit() -> None:
    place = Path("/proc/self/environ")
    if not place.exists():
        pytest.skip("no such files here")
    with pytest.raises((LimitReached, CannotRead)):
        read_plain(place, 10)
