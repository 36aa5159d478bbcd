import os

import pytest

from circuitmap.failures import CannotRead, LimitReached
from circuitmap.notation import folder as reading
from circuitmap.notation.folder import read_folder


def write(folder, **files):
    for name, content in files.items():
        (folder / f"{name}.circuit").write_bytes(content.encode() if isinstance(content, str) else content)


def test_files_come_in_the_order_of_their_names(tmp_path):
    write(tmp_path, b="box B", a="box A", c="box C")
    (tmp_path / "notes.txt").write_text("not notation")
    (tmp_path / ".hidden.circuit").write_text("not read")
    sources, problems = read_folder(tmp_path)
    assert [source.path for source in sources] == ["a.circuit", "b.circuit", "c.circuit"]
    assert problems == ()


def test_a_byte_order_mark_is_no_part_of_the_text(tmp_path):
    write(tmp_path, a=b"\xef\xbb\xbfbox A\r\n")
    (source,), problems = read_folder(tmp_path)
    assert (source.text, problems) == ("box A\r\n", ())


def test_what_is_not_utf8_is_read_and_said_with_its_place(tmp_path):
    write(tmp_path, a=b'box A\nbox B "K' + b'\xfchler"\n')
    (source,), (problem,) = read_folder(tmp_path)
    assert problem.code == "wrong-encoding"
    assert (problem.span.line, problem.span.column) == (2, 9)
    assert source.line(2).startswith("box B")


def test_utf16_is_said_once(tmp_path):
    write(tmp_path, a="box A\n".encode("utf-16"))
    (source,), (problem,) = read_folder(tmp_path)
    assert (problem.code, source.text) == ("wrong-encoding", "box A\n")


def test_second_versions_are_reported_and_not_read(tmp_path):
    write(tmp_path, a="box A")
    for name in ("a (1).circuit", "a.sync-conflict-20250101.circuit", "a - Copy.circuit"):
        (tmp_path / name).write_text("box A")
    sources, problems = read_folder(tmp_path)
    assert [source.path for source in sources] == ["a.circuit"]
    assert [problem.code for problem in problems] == ["second-version"] * 3


@pytest.mark.parametrize("target", ["missing", "a.circuit", "a\0b"])
def test_no_folder(tmp_path, target):
    write(tmp_path, a="box A")
    with pytest.raises(CannotRead):
        read_folder(f"{tmp_path}/{target}")


def test_an_empty_folder_is_no_platform(tmp_path):
    with pytest.raises(CannotRead, match=r"no \.circuit file"):
        read_folder(tmp_path)


def test_a_pipe_does_not_block(tmp_path):
    os.mkfifo(tmp_path / "a.circuit")
    with pytest.raises(CannotRead, match="is not a file"):
        read_folder(tmp_path)


def test_a_folder_with_the_ending_is_not_read(tmp_path):
    (tmp_path / "a.circuit").mkdir()
    with pytest.raises(CannotRead):
        read_folder(tmp_path)


def test_nul_bytes_are_no_text(tmp_path):
    write(tmp_path, a=b"box A\nbox\0B\n")
    with pytest.raises(CannotRead, match="line 2"):
        read_folder(tmp_path)


@pytest.mark.parametrize("more", [-1, 0, 1])
def test_limit_of_one_file(tmp_path, more):
    write(tmp_path, a=b"#" * (reading.LARGEST_FILE + more))
    if more > 0:
        with pytest.raises(LimitReached):
            read_folder(tmp_path)
    else:
        assert len(read_folder(tmp_path)[0]) == 1


@pytest.mark.parametrize("more", [-1, 0, 1])
def test_limit_of_a_platform(tmp_path, more, monkeypatch):
    monkeypatch.setattr(reading, "LARGEST_PLATFORM", 10_000)
    write(tmp_path, a=b"#" * 5_000, b=b"#" * (5_000 + more))
    if more > 0:
        with pytest.raises(LimitReached):
            read_folder(tmp_path)
    else:
        assert len(read_folder(tmp_path)[0]) == 2


@pytest.mark.parametrize("more", [-1, 0, 1])
def test_limit_of_files(tmp_path, more):
    for number in range(reading.MOST_FILES + more):
        (tmp_path / f"{number}.circuit").write_text("")
    if more > 0:
        with pytest.raises(LimitReached):
            read_folder(tmp_path)
    else:
        assert len(read_folder(tmp_path)[0]) == reading.MOST_FILES + more


@pytest.mark.parametrize("more", [-1, 0, 1])
def test_limit_of_entries(tmp_path, more, monkeypatch):
    monkeypatch.setattr(reading, "MOST_ENTRIES", 50)
    write(tmp_path, a="box A")
    for number in range(49 + more):
        (tmp_path / f"{number}.txt").write_text("")
    if more > 0:
        with pytest.raises(LimitReached):
            read_folder(tmp_path)
    else:
        assert len(read_folder(tmp_path)[0]) == 1
