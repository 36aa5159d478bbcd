"""Whatever is given as a platform or an output: one clear message, the right exit code, no traceback."""

import os
import stat
from pathlib import Path

import pytest

from tests.cli.conftest import QUERIES, SMALL_VAN, Ran, Run

READING = [words for words in QUERIES if words[0] != "suspects"]


def filled(words: tuple[str, ...], platform: Path, out: Path) -> list[str]:
    return [w.replace("PLATFORM", str(platform)).replace("OUT", str(out / "out")) for w in words]


def clear(ran: Ran, code: int) -> None:
    """One message of one or two lines, on standard error, and nothing that looks like a crash."""
    assert ran.code == code, ran
    assert ran.out == ""
    lines = ran.err.splitlines()
    assert 1 <= len(lines) <= 2 and lines[0].startswith("circuitmap: "), ran.err
    assert "Traceback" not in ran.err and "bug" not in ran.err


@pytest.mark.parametrize("words", READING, ids=lambda words: " ".join(words[:1] + words[2:3]))
class TestEveryCommand:
    def test_missing_folder(self, words: tuple[str, ...], circuitmap: Run, tmp_path: Path) -> None:
        ran = circuitmap(*filled(words, tmp_path / "nowhere", tmp_path))
        clear(ran, 3)
        assert "nowhere" in ran.err

    def test_a_file_instead_of_a_folder(self, words: tuple[str, ...], circuitmap: Run, van: Path) -> None:
        clear(circuitmap(*filled(words, van / "van.circuit", van)), 3)

    def test_a_folder_without_notation(self, words: tuple[str, ...], circuitmap: Run, tmp_path: Path) -> None:
        (tmp_path / "empty").mkdir()
        clear(circuitmap(*filled(words, tmp_path / "empty", tmp_path)), 3)

    def test_nul_bytes(self, words: tuple[str, ...], circuitmap: Run, van: Path, tmp_path: Path) -> None:
        (van / "zero.circuit").write_bytes(b"fuse A 10A\nfuse \0B 10A\n")
        ran = circuitmap(*filled(words, van, tmp_path))
        clear(ran, 3)
        assert "zero.circuit" in ran.err and "line 2" in ran.err

    def test_a_pipe(self, words: tuple[str, ...], circuitmap: Run, van: Path, tmp_path: Path) -> None:
        os.mkfifo(van / "pipe.circuit")
        clear(circuitmap(*filled(words, van, tmp_path)), 3)

    def test_a_folder_named_like_notation(
        self, words: tuple[str, ...], circuitmap: Run, van: Path, tmp_path: Path
    ) -> None:
        (van / "folder.circuit").mkdir()
        clear(circuitmap(*filled(words, van, tmp_path)), 3)

    def test_a_link_to_nowhere(self, words: tuple[str, ...], circuitmap: Run, van: Path, tmp_path: Path) -> None:
        (van / "link.circuit").symlink_to(tmp_path / "gone")
        clear(circuitmap(*filled(words, van, tmp_path)), 3)

    def test_broken_notation_still_answers(
        self, words: tuple[str, ...], circuitmap: Run, van: Path, tmp_path: Path
    ) -> None:
        with (van / "van.circuit").open("a", encoding="utf-8") as file:
            file.write("\nfuse CAB.F9 1OA mini\nmodul X supply 1\nHEATER.A1 -> -> SP5\n\x1b[31m\n")
        ran = circuitmap(*filled(words, van, tmp_path))
        assert ran.code == (0 if words[0] == "tidy" else 1)
        assert ran.out and "Traceback" not in ran.err and "bug" not in ran.err
        assert "\x1b" not in ran.out + ran.err

    def test_nothing_but_noise(self, words: tuple[str, ...], circuitmap: Run, tmp_path: Path) -> None:
        (tmp_path / "noise").mkdir()
        (tmp_path / "noise" / "a.circuit").write_bytes(bytes(range(1, 256)) * 20)
        ran = circuitmap(*filled(words, tmp_path / "noise", tmp_path))
        assert ran.code in (1, 2) and "Traceback" not in ran.err and "bug" not in ran.err

    @pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "latin-1"])
    def test_other_encodings(
        self, words: tuple[str, ...], encoding: str, circuitmap: Run, van: Path, tmp_path: Path
    ) -> None:
        text = SMALL_VAN.replace("Door control", "Türsteuerung")
        (van / "van.circuit").write_bytes(text.replace("\n", "\r\n").encode(encoding))
        ran = circuitmap(*filled(words, van, tmp_path))
        assert ran.code == (0 if encoding == "utf-8-sig" else 1), ran
        assert "Traceback" not in ran.err and "bug" not in ran.err


@pytest.mark.parametrize("words", [("check", "PLATFORM"), ("list", "PLATFORM"), ("trace", "PLATFORM", "X")])
def test_a_folder_of_ten_thousand_files(words: tuple[str, ...], circuitmap: Run, tmp_path: Path) -> None:
    crowd = tmp_path / "crowd"
    crowd.mkdir()
    for number in range(10_000):
        (crowd / f"{number}.circuit").touch()
    ran = circuitmap(*filled(words, crowd, tmp_path))
    clear(ran, 4)
    assert "5,000" in ran.err


@pytest.mark.skipif(os.geteuid() == 0, reason="root reads everything")
def test_a_file_without_permission(circuitmap: Run, van: Path) -> None:
    (van / "van.circuit").chmod(0)
    clear(circuitmap("check", van), 3)


def test_a_file_with_an_endless_device_behind_it(circuitmap: Run, van: Path) -> None:
    (van / "zero.circuit").symlink_to("/dev/zero")
    clear(circuitmap("check", van), 3)


@pytest.mark.parametrize("name", ["platform\nfake", "\x1b[31mred", "\u202erev", "\udcff"])
def test_odd_names_of_folders(name: str, circuitmap: Run) -> None:
    ran = circuitmap("check", name)
    assert ran.code == 3
    assert not set("\x1b\u202e") & set(ran.err) and "Traceback" not in ran.err and "bug" not in ran.err


class TestUnknownNames:
    def test_a_near_name_is_suggested(self, circuitmap: Run, van: Path) -> None:
        ran = circuitmap("trace", van, "HEATRE")
        clear(ran, 2)
        assert ran.err == "circuitmap: There is no part HEATRE.\nDid you mean HEATER?\n"

    def test_a_tail_of_several_lists_them(self, circuitmap: Run, van: Path) -> None:
        with (van / "van.circuit").open("a", encoding="utf-8") as file:
            file.write("\nbox ENG\nfuse ENG.F2 10A\n")
        ran = circuitmap("trace", van, "F2")
        clear(ran, 2)
        assert "CAB.F2, ENG.F2" in ran.err

    @pytest.mark.parametrize(
        "words",
        [
            ("common", "PLATFORM", "F99"),
            ("common", "PLATFORM", "HEATER"),
            ("common", "PLATFORM", "F2", "--quiet", "F99"),
            ("common", "PLATFORM", "F2", "--quiet", "F2"),
            ("list", "PLATFORM", "--sheet", "99"),
            ("list", "PLATFORM", "--option", "NOPE"),
            ("trace", "PLATFORM", "HEATER", "--option", "TOW", "--without", "TOW"),
            ("live", "PLATFORM", "--key", "sideways"),
            ("live", "PLATFORM", "--set", "HEATER=on"),
            ("live", "PLATFORM", "--set", "IGN"),
            ("live", "PLATFORM", "--set", "IGN=sideways"),
            ("live", "PLATFORM", "--awake", "NOPE"),
            ("live", "PLATFORM", "--stuck", "NOPE.87"),
            ("live", "PLATFORM", "--unplug", "NOPE"),
            ("live", "PLATFORM", "--pull", "NOPE"),
            ("live", "PLATFORM", "--pull", "HEATER"),
            ("diagram", "PLATFORM", "NOPE", "-o", "OUT.svg"),
            ("diagram", "PLATFORM", "--drawing", "NOPE", "-o", "OUT.svg"),
            ("diagram", "PLATFORM", "--sheet", "NOPE", "-o", "OUT.svg"),
            ("diagram", "PLATFORM", "-o", "OUT.svg"),
        ],
        ids=lambda words: " ".join(words[:1] + words[2:]),
    )
    def test_wrong_use(self, words: tuple[str, ...], circuitmap: Run, van: Path, tmp_path: Path) -> None:
        clear(circuitmap(*filled(words, van, tmp_path)), 2)


class TestOutputFiles:
    @pytest.mark.parametrize(
        "words",
        [("worksheet", "PLATFORM", "-o"), ("diagram", "PLATFORM", "HEATER", "-o")],
        ids=["worksheet", "diagram"],
    )
    def test_places_that_cannot_be_written(self, words: tuple[str, ...], circuitmap: Run, van: Path) -> None:
        asked = filled(words, van, van)
        folder = van / "out.pdf"
        folder.mkdir()
        clear(circuitmap(*asked, folder), 3)
        clear(circuitmap(*asked, van / "missing" / "x.pdf"), 3)
        clear(circuitmap(*asked, "/proc/x.pdf"), 3)
        clear(circuitmap(*asked, van / "x.exe"), 2)
        clear(circuitmap(*asked, van / "x"), 2)
        assert sorted(p.name for p in van.iterdir()) == ["out.pdf", "van.circuit"]

    @pytest.mark.parametrize(
        "words",
        [("worksheet", "PLATFORM", "-o"), ("diagram", "PLATFORM", "HEATER", "-o")],
        ids=["worksheet", "diagram"],
    )
    def test_an_older_file_is_replaced_whole(self, words: tuple[str, ...], circuitmap: Run, van: Path) -> None:
        target = van / "sheet.pdf"
        target.write_bytes(b"old" * 100_000)
        target.chmod(0o640)
        ran = circuitmap(*filled(words, van, van), target)
        assert ran.code == 0, ran.err
        assert target.read_bytes().startswith(b"%PDF-") and len(target.read_bytes()) < 300_000
        assert stat.S_IMODE(target.stat().st_mode) == 0o640
        assert sorted(p.name for p in van.iterdir()) == ["sheet.pdf", "van.circuit"]
