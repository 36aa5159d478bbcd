"""What is remembered of a platform is the whole platform, and only for the text that is there now."""

import dataclasses
import json
import os
from collections.abc import Mapping
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitmap import platform_cache
from circuitmap.cache import cache_folder, file_for, keep, sealed
from circuitmap.cli.ending import end_of
from circuitmap.cli.main import program
from circuitmap.flows.questions import open_platform, platform_from
from circuitmap.notation.folder import read_folder
from circuitmap.platform_cache import MOST_KEPT, remember, remembered
from circuitmap.wiring.hands_off import hands_off_things
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.stored import NotStorable, restored, stored
from tests.cli.conftest import QUERIES, ROOT, SMALL_VAN
from tests.platforms_strategy import _made_up, read
from tests.wiring.written import platform_from as platform_of_text

SAMPLES = sorted(file.parent for file in (ROOT / "sample_vehicles").glob("*/platform.circuit"))


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "cache"
    monkeypatch.setenv("CIRCUITMAP_CACHE", str(folder))
    return folder


def all_of(value: Any) -> Any:
    """Every field, those that do not count for equality included, as plain values with their types."""
    if dataclasses.is_dataclass(value):
        its = ((f.name, all_of(getattr(value, f.name))) for f in dataclasses.fields(value) if f.name != "_starts")
        return (type(value).__name__, *its)
    if isinstance(value, Mapping):
        return ("mapping", *((key, all_of(held)) for key, held in value.items()))
    if isinstance(value, tuple):
        return (type(value).__name__, *map(all_of, value))
    return type(value).__name__, value


def through_json(platform: Platform) -> Platform:
    return restored(json.loads(json.dumps(stored(platform))), platform.sources)


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_the_samples_come_back_whole(folder: Path) -> None:
    platform = open_platform(folder)
    assert len(all_of(platform)) > 10
    back = through_json(platform)
    assert all_of(back) == all_of(platform)
    assert all_of(back.derived(hands_off_things)) == all_of(hands_off_things(platform))


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10_000), st.integers(1, 3))
def test_any_platform_comes_back_whole(seed: int, batteries: int) -> None:
    platform = read(_made_up(Random(seed), batteries))
    assert all_of(through_json(platform)) == all_of(platform)


def test_problems_come_back_with_their_places() -> None:
    platform = platform_of_text(
        "fuse CAB.F1 1OA\nbox CAB\nfuse CAB.F1 10A\nfuse CAB.F1 20A\nCAB.F1 -> LAPM\nlamp LAMP\n"
    )
    assert platform.problems
    back = through_json(platform)
    assert [p.span.place() for p in back.problems] == [p.span.place() for p in platform.problems]
    assert all_of(back) == all_of(platform)


def test_what_stands_in_no_file_of_the_platform_is_not_kept() -> None:
    platform = platform_of_text("lamp LAMP\n")
    with pytest.raises(NotStorable):
        stored(dataclasses.replace(platform, sources=()))


# ---- what is served, and when ----


def test_the_second_time_it_is_remembered(cache: Path) -> None:
    truck = ROOT / "sample_vehicles" / "truck"
    first = open_platform(truck)
    sources, _ = read_folder(truck)
    again = remembered(truck, sources)
    assert again is not None and all_of(again) == all_of(first)


def test_a_changed_text_is_read_anew(cache: Path, tmp_path: Path) -> None:
    folder = long_folder(tmp_path)
    assert open_platform(folder).parts["L7"].description == ""
    (folder / "a.circuit").write_text(
        (folder / "a.circuit").read_text("utf-8").replace("lamp L7\n", 'lamp L7 "step"\n'), "utf-8"
    )
    assert open_platform(folder).parts["L7"].description == "step"


def test_a_file_more_or_renamed_is_read_anew(cache: Path, tmp_path: Path) -> None:
    folder = long_folder(tmp_path)
    open_platform(folder)
    (folder / "b.circuit").write_text("lamp NEW\n", "utf-8")
    assert "NEW" in open_platform(folder).parts
    (folder / "b.circuit").rename(folder / "c.circuit")
    span = open_platform(folder).parts["NEW"].declared
    assert span is not None and span.path == "c.circuit"


def test_another_program_does_not_use_it(cache: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = long_folder(tmp_path)
    open_platform(folder)
    sources, _ = read_folder(folder)
    assert remembered(folder, sources) is not None
    monkeypatch.setattr(platform_cache, "code_stamps", lambda *_: iter(["other"]))
    assert remembered(folder, sources) is None


@pytest.mark.parametrize("seed", range(40))
def test_what_is_damaged_is_not_used(cache: Path, tmp_path: Path, seed: int) -> None:
    folder = long_folder(tmp_path)
    open_platform(folder)
    (file,) = cache.glob("platform-*.json")
    whole = bytearray(file.read_bytes())
    random = Random(seed)
    if seed % 2:
        del whole[random.randrange(len(whole)) :]
    else:
        whole[random.randrange(len(whole))] ^= 1 << random.randrange(8)
    file.write_bytes(whole)
    sources, _ = read_folder(folder)
    assert remembered(folder, sources) is None
    assert all_of(open_platform(folder)) == all_of(platform_from(sources))


@pytest.mark.parametrize("body", ["[]", "[99,1]", "[33,0]", "null", '"x"', "[5]", "[3,9,0,0]", "[" * 3000 + "]" * 3000])
def test_what_somebody_else_wrote_there_is_not_used(cache: Path, tmp_path: Path, body: str) -> None:
    """Even with a correct checksum."""
    folder = long_folder(tmp_path)
    sources, _ = read_folder(folder)
    keep(file_for(cache, "platform", folder), sealed(platform_cache._key(sources), body.encode()))
    found = remembered(folder, sources)
    assert found is None or (body == "[33,0]" and not found.parts)
    assert "L7" in open_platform(folder).parts or body == "[33,0]"


def test_a_small_platform_is_not_kept(cache: Path, tmp_path: Path) -> None:
    folder = tmp_path / "small"
    folder.mkdir()
    (folder / "a.circuit").write_text("lamp L\n", "utf-8")
    open_platform(folder)
    assert not cache.exists()


def test_only_the_latest_are_kept(cache: Path, tmp_path: Path) -> None:
    platform = open_platform(long_folder(tmp_path))
    for n in range(MOST_KEPT + 3):
        remember(tmp_path / str(n), platform)
        newest = file_for(cache, "platform", tmp_path / str(n))
        os.utime(newest, (n, n))
    assert len(list(cache.glob("platform-*.json"))) == MOST_KEPT
    assert newest.exists()


def test_without_a_place_to_keep_it_answers_all_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = long_folder(tmp_path)
    no_folder = tmp_path / "file"
    no_folder.write_text("", "utf-8")
    for chosen in ("", str(no_folder)):
        monkeypatch.setenv("CIRCUITMAP_CACHE", chosen)
        assert "L7" in open_platform(folder).parts
    assert cache_folder() is not None
    monkeypatch.setenv("CIRCUITMAP_CACHE", "")
    assert cache_folder() is None


@pytest.mark.parametrize("words", QUERIES, ids=" ".join)
def test_every_answer_is_the_same_from_the_cache(
    words: tuple[str, ...],
    cache: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(platform_cache, "LEAST_TEXT", 0)
    (tmp_path / "van").mkdir()
    (tmp_path / "van" / "van.circuit").write_text(SMALL_VAN, "utf-8")
    monkeypatch.chdir(tmp_path)
    answers = []
    for _ in range(2):
        code = end_of(program, [word.replace("PLATFORM", "van").replace("OUT", "out") for word in words])
        written = [file.read_bytes() for file in tmp_path.glob("out.*")]
        answers.append((code, capsys.readouterr(), written))
        assert len(list(cache.glob("platform-*.json"))) == (words[0] != "tidy")
    assert answers[0] == answers[1]


def long_folder(room: Path) -> Path:
    """A platform long enough to be remembered."""
    folder = room / "platform"
    folder.mkdir()
    lamps = "".join(f"lamp L{n}\nBAT.+ -> L{n} in RD 1mm2\n" for n in range(300))
    (folder / "a.circuit").write_text("battery BAT\n" + lamps, "utf-8")
    return folder
