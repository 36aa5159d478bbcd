"""The shop's shelf: listed, found again, quick, and never reading a second version as data."""

import json
import os
from pathlib import Path

import pytest

from circuitmap.failures import CannotRead
from circuitmap.flows.questions import open_platform
from circuitmap.shelf import index as index_of_the_shelf
from circuitmap.shelf.entry import ShelfEntry, entry_of_platform
from circuitmap.shelf.finding import find
from circuitmap.shelf.index import entries_of
from circuitmap.shelf.shelved import Shelved, shelf_of

VAN = """\
platform "Marlow Linnet 2.2" years 2016-2020 supply 12V
battery BAT 72Ah
fuse CAB.F22 20A mini "cab heating"
module HEATER "Auxiliary heater" supply A1 number "H-77"
network BODY can "body network" members HEATER
"""


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(index_of_the_shelf, "JUST_NOW", 0.0)  # what a test sets up is to be remembered at once
    for name in ("van", "makes/truck"):
        (tmp_path / name).mkdir(parents=True)
    (tmp_path / "van/a.circuit").write_text(VAN)
    (tmp_path / "van/a (conflicted version).circuit").write_text('platform "Wrong"\n')
    (tmp_path / "makes/truck/t.circuit").write_text('platform "Tarn Hauler" supply 24V\nmodule LIFT "tail lift"\n')
    (tmp_path / ".hidden").mkdir()
    (tmp_path / ".hidden/x.circuit").write_text('platform "Hidden"\n')
    return tmp_path


def entries(shop: Path, index: Path | None = None, reads: list[str] | None = None) -> tuple[ShelfEntry, ...]:
    def read(item: Shelved) -> ShelfEntry:
        if reads is not None:
            reads.append(item.path)
        return entry_of_platform(item.path, open_platform(shop / item.path))

    return entries_of(shelf_of(shop), shop, read, index)


def test_platforms_are_listed_and_second_versions_only_reported(shop: Path) -> None:
    assert [(e.path, e.title) for e in entries(shop)] == [("makes/truck", "Tarn Hauler"), ("van", "Marlow Linnet 2.2")]
    assert shelf_of(shop).second_versions == ("van/a (conflicted version).circuit",)


@pytest.mark.parametrize(
    ("words", "paths", "name"),
    [
        ("heater", ["van"], "HEATER"),
        ("f22", ["van"], "CAB.F22"),
        ("cab heating", ["van"], "CAB.F22"),
        ("H-77", ["van"], "H-77"),
        ("body network", ["van"], "BODY"),
        ("tail lift", ["makes/truck"], "LIFT"),
        ("linnet", ["van"], None),
        ("linnet heater", ["van"], "HEATER"),
        ("linnet lift", [], None),
        ("", ["makes/truck", "van"], None),
    ],
)
def test_found_by_what_is_in_it(shop: Path, words: str, paths: list[str], name: str | None) -> None:
    found = find(entries(shop), words)
    assert [f.entry.path for f in found] == paths
    if name is not None:
        assert name in [match.name for match in found[0].matches]


def test_only_what_changed_is_read_again(shop: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    index = tmp_path_factory.mktemp("index")
    reads: list[str] = []
    first = entries(shop, index, reads)
    assert reads == ["makes/truck", "van"]
    assert entries(shop, index, reads) == first
    assert reads == ["makes/truck", "van"]
    (shop / "van/a.circuit").write_text(VAN.replace("2.2", "2.3"))
    os.utime(shop / "van/a.circuit", ns=(1, 1))
    assert entries(shop, index, reads)[1].title == "Marlow Linnet 2.3"
    assert reads == ["makes/truck", "van", "van"]


@pytest.mark.parametrize("spoilt", [b"", b"{", b'{"index_version": 2, "items": {"platform van": {"stamps": 1}}}'])
def test_a_spoilt_index_changes_no_answer(shop: Path, tmp_path_factory: pytest.TempPathFactory, spoilt: bytes) -> None:
    index = tmp_path_factory.mktemp("index")
    first = entries(shop, index)
    (file,) = index.glob("library-*.json")
    json.loads(file.read_bytes())
    file.write_bytes(spoilt)
    assert entries(shop, index) == first
    file.unlink()
    assert entries(shop, index) == first == entries(shop, None)


def test_an_index_that_cannot_be_written_stops_nothing(shop: Path) -> None:
    assert entries(shop, shop / "van/a.circuit") == entries(shop, None)


def test_a_platform_that_cannot_be_read_is_listed_with_its_trouble(shop: Path) -> None:
    (shop / "van/b.circuit").write_bytes(b"a\0b")
    (entry,) = (e for e in entries(shop) if e.path == "van")
    assert "NUL" in entry.trouble


def test_no_such_folder(tmp_path: Path) -> None:
    with pytest.raises(CannotRead, match="no folder"):
        shelf_of(tmp_path / "nowhere")
