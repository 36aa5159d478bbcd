"""Nothing torn, nothing lost, nobody overwritten."""

import os
import stat
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from circuitmap.saving import (
    CannotWrite,
    ChangedMeanwhile,
    read_content,
    replace_unlocked,
    save,
    update,
    write_output,
)


def test_a_new_file_is_written(tmp_path: Path) -> None:
    save(tmp_path / "a.yaml", b"one\n", based_on=None)
    assert read_content(tmp_path / "a.yaml") == b"one\n"


def test_a_save_based_on_an_older_text_is_refused(tmp_path: Path) -> None:
    card = tmp_path / "a.yaml"
    card.write_bytes(b"one\n")
    save(card, b"two\n", based_on=b"one\n")
    with pytest.raises(ChangedMeanwhile, match="changed by somebody else"):
        save(card, b"three\n", based_on=b"one\n")
    assert card.read_bytes() == b"two\n"


@pytest.mark.parametrize(("minutes", "stays"), [(0, True), (59, True), (61, False)])
def test_what_a_killed_writer_left_goes_after_an_hour(tmp_path: Path, minutes: int, stays: bool) -> None:
    """Any sooner, it may belong to somebody who is still writing where turns are not taken."""
    card = tmp_path / "a.yaml"
    card.write_bytes(b"one\n")
    left = tmp_path / ".a.yaml.4711.unfinished"
    left.write_bytes(b"half")
    then = time.time() - 60 * minutes
    os.utime(left, (then, then))
    update(card, lambda now: b"two\n")
    assert card.read_bytes() == b"two\n"
    assert left.exists() is stays


def test_a_new_file_never_replaces_one_that_came_first(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_bytes(b"theirs\n")
    with pytest.raises(ChangedMeanwhile):
        save(tmp_path / "a.yaml", b"mine\n", based_on=None)
    assert (tmp_path / "a.yaml").read_bytes() == b"theirs\n"


def test_a_change_behind_the_lock_is_still_noticed(tmp_path: Path) -> None:
    card = tmp_path / "a.yaml"
    card.write_bytes(b"one\n")

    def change(now: bytes | None) -> bytes:
        card.write_bytes(b"from another machine\n")
        return (now or b"") + b"two\n"

    with pytest.raises(ChangedMeanwhile):
        update(card, change)
    assert card.read_bytes() == b"from another machine\n"


def test_mode_is_kept_and_nothing_is_left_behind(tmp_path: Path) -> None:
    card = tmp_path / "a.yaml"
    card.write_bytes(b"one\n")
    card.chmod(0o640)
    update(card, lambda now: b"two\n")
    assert card.stat().st_mode & 0o777 == 0o640
    assert sorted(p.name for p in tmp_path.iterdir() if p.name != ".circuitmap.lock") == ["a.yaml"]


def test_a_link_is_followed_not_replaced(tmp_path: Path) -> None:
    (tmp_path / "real.yaml").write_bytes(b"one\n")
    (tmp_path / "link.yaml").symlink_to("real.yaml")
    update(tmp_path / "link.yaml", lambda now: b"two\n")
    assert (tmp_path / "link.yaml").is_symlink()
    assert (tmp_path / "real.yaml").read_bytes() == b"two\n"


@pytest.mark.parametrize("name", ["missing/x.svg", "."])
def test_an_output_that_cannot_be_written_says_so(tmp_path: Path, name: str) -> None:
    with pytest.raises(CannotWrite):
        write_output(tmp_path / name, b"x")


def test_what_is_merged_is_not_written_over_what_somebody_wrote_meanwhile(tmp_path: Path) -> None:
    ours = tmp_path / "ours.circuit"
    ours.write_bytes(b"theirs by now\n")
    with pytest.raises(ChangedMeanwhile):
        replace_unlocked(ours, b"merged\n", based_on=b"ours\n")
    replace_unlocked(ours, b"merged\n", based_on=b"theirs by now\n")
    assert [(p.name, p.read_bytes()) for p in tmp_path.iterdir()] == [("ours.circuit", b"merged\n")]


def test_the_content_is_on_the_disk_before_it_is_moved_and_the_move_before_it_is_acknowledged(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What survives a power cut is the order of these; a kill cannot show it."""
    order: list[str] = []
    flush, move = os.fsync, os.replace

    def fsync(handle: int) -> None:
        order.append("flush folder" if stat.S_ISDIR(os.fstat(handle).st_mode) else "flush file")
        flush(handle)

    def replace(old: Path, new: Path) -> None:
        order.append("move")
        assert old.read_bytes() == b"one\n"
        move(old, new)

    monkeypatch.setattr(os, "fsync", fsync)
    monkeypatch.setattr(os, "replace", replace)
    for write in (lambda path: save(path, b"one\n", based_on=None), lambda path: write_output(path, b"one\n")):
        order.clear()
        write(tmp_path / f"{len(list(tmp_path.iterdir()))}.yaml")
        assert order == ["flush file", "move", "flush folder"]


def test_many_writers_lose_nothing(tmp_path: Path) -> None:
    card = tmp_path / "a.yaml"
    writers, entries = 24, 20

    def one(number: int) -> None:
        for entry in range(entries):
            update(card, lambda now: (now or b"") + f"{number}:{entry}\n".encode())  # noqa: B023

    with ThreadPoolExecutor(writers) as pool:
        list(pool.map(one, range(writers)))
    lines = card.read_bytes().split()
    assert len(lines) == len(set(lines)) == writers * entries
