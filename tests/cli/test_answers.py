"""Every command answers, in text that fits a screen and in JSON."""

from pathlib import Path

import pytest

from circuitmap.cli.main import COMMANDS
from tests.cli.conftest import QUERIES, Run

NOT_A_QUERY = {"explain", "card", "report", "share", "library", "diff", "merge", "bay", "transcribe", "logged"}
NOT_A_QUERY |= {"watch", "language-server"}
"""Commands that take no platform, a job card, two platforms, a log, or a whole shop, or go on until somebody ends them:
tested in their own places."""


def filled(words: tuple[str, ...], platform: Path, room: Path) -> list[str]:
    return [w.replace("PLATFORM", str(platform)).replace("OUT", str(room / "out")) for w in words]


def test_every_command_is_asked_something() -> None:
    assert {words[0] for words in QUERIES} == {entry.name for entry in COMMANDS} - NOT_A_QUERY


@pytest.mark.parametrize("words", QUERIES, ids=" ".join)
class TestEveryQuery:
    def test_text(self, words: tuple[str, ...], circuitmap: Run, van: Path, tmp_path: Path) -> None:
        ran = circuitmap(*filled(words, van, tmp_path))
        assert ran.code == 0, ran
        assert ran.err == "" and ran.out.endswith("\n") and not ran.out.endswith("\n\n")
        assert max(map(len, ran.out.replace(str(tmp_path), "").splitlines())) <= 100
        assert all(line == line.rstrip() for line in ran.out.splitlines())

    def test_json(self, words: tuple[str, ...], circuitmap: Run, van: Path, tmp_path: Path) -> None:
        ran = circuitmap(*filled(words, van, tmp_path), "--json")
        assert ran.code == 0, ran
        assert ran.out.isascii() and ran.json["format_version"] == 3

    def test_the_same_twice(self, words: tuple[str, ...], circuitmap: Run, van: Path, tmp_path: Path) -> None:
        asked = filled(words, van, tmp_path)
        assert circuitmap(*asked) == circuitmap(*asked)

    def test_equipment(self, words: tuple[str, ...], circuitmap: Run, van: Path, tmp_path: Path) -> None:
        if words[0] in ("check", "tidy"):
            pytest.skip("these look at the text, not at one car")
        for said, value in (("--option", True), ("--without", False)):
            ran = circuitmap(*filled(words, van, tmp_path), said, "TOW", "--json")
            assert ran.code == 0 and ran.json["equipment"] == {"TOW": value}


class TestFilesAreTheSame:
    @pytest.mark.parametrize("name", ["x.pdf", "x.html", "x.txt", "X.PDF"])
    def test_worksheet(self, name: str, circuitmap: Run, van: Path, tmp_path: Path) -> None:
        contents = []
        for _ in range(2):
            assert circuitmap("worksheet", van, "-o", tmp_path / name).code == 0
            contents.append((tmp_path / name).read_bytes())
        assert contents[0] == contents[1]

    @pytest.mark.parametrize("name", ["x.svg", "x.png", "x.pdf", "x.dot"])
    def test_diagram(self, name: str, circuitmap: Run, van: Path, tmp_path: Path) -> None:
        contents = []
        for _ in range(2):
            assert circuitmap("diagram", van, "HEATER", "--drawing", "F2", "-o", tmp_path / name).code == 0
            contents.append((tmp_path / name).read_bytes())
        assert contents[0] == contents[1]


class TestTidy:
    def test_writes_in_place_and_is_then_done(self, circuitmap: Run, van: Path) -> None:
        file = van / "van.circuit"
        neat = file.read_text("utf-8")
        file.write_text(neat.replace("module HEATER ", "module   HEATER\t").replace(" -> ", "->"), "utf-8")
        ran = circuitmap("tidy", van, "--check")
        assert (ran.code, ran.out) == (1, "van.circuit: would be tidied\n")
        assert file.read_text("utf-8") != neat
        ran = circuitmap("tidy", van)
        assert (ran.code, ran.out) == (0, "van.circuit: tidied\n")
        assert file.read_text("utf-8") == neat
        assert circuitmap("tidy", van).out == "1 file, tidy.\n"

    def test_keeps_a_byte_order_mark_and_line_ends(self, circuitmap: Run, van: Path) -> None:
        file = van / "van.circuit"
        neat = file.read_text("utf-8")
        file.write_bytes(neat.replace("module HEATER ", "module   HEATER ").replace("\n", "\r\n").encode("utf-8-sig"))
        assert circuitmap("tidy", van).code == 0
        assert file.read_bytes() == neat.replace("\n", "\r\n").encode("utf-8-sig")

    def test_leaves_alone_what_it_cannot_read(self, circuitmap: Run, van: Path) -> None:
        file = van / "van.circuit"
        content = 'fuse  F1   10A  "T\xfcr"\n'.encode("latin-1")
        file.write_bytes(content)
        ran = circuitmap("tidy", van)
        assert ran.code == 1 and "UTF-8" in ran.err
        assert file.read_bytes() == content


class TestStrict:
    def test_warnings_count_only_with_strict(self, circuitmap: Run, van: Path) -> None:
        with (van / "van.circuit").open("a", encoding="utf-8") as file:
            file.write("CAB.F3 -> UNHEARD.1\n")
        assert circuitmap("check", van).code == 0
        assert circuitmap("check", van, "--strict").code == 1


class TestNames:
    @pytest.mark.parametrize("name", ["CAB.F2", "F2", "f2", "cab.f2"])
    def test_any_unique_tail_will_do(self, name: str, circuitmap: Run, van: Path) -> None:
        assert circuitmap("trace", van, name).out == circuitmap("trace", van, "CAB.F2").out

    @pytest.mark.parametrize("name", ["X14.14", "HEATER.A1"])
    def test_a_pin_or_a_cavity_has_its_own_trace(self, name: str, circuitmap: Run, van: Path) -> None:
        ran = circuitmap("trace", van, name)
        assert ran.code == 0 and ran.out.startswith(name.partition(".")[0].upper())
        assert "GROUND" not in ran.out

    def test_a_pin_that_is_not_there_lists_those_that_are(self, circuitmap: Run, van: Path) -> None:
        ran = circuitmap("trace", van, "HEATER.Z9")
        assert ran.code == 2
        assert ran.err.startswith("circuitmap: HEATER has no terminal Z9") and "HEATER.A1" in ran.err

    @pytest.mark.parametrize(
        ("typed", "offered"),
        [
            (("trace", "PLATFORM", "HEA"), {"HEATER"}),
            (("trace", "PLATFORM", "F2"), {"F2"}),
            (("common", "PLATFORM", "F2", "CAB.F"), {"CAB.F1", "CAB.F2", "CAB.F3", "CAB.F4"}),
            (("live", "PLATFORM", "--key", "r"), {"run"}),
            (("live", "PLATFORM", "--awake", ""), {"BODY"}),
            (("list", "PLATFORM", "--sheet", ""), {"1", "2"}),
            (("list", "PLATFORM", "--option", "T"), {"TOW"}),
            (("trace", "NOWHERE", "HEA"), set()),
            (("explain", "missing-com"), {"missing-comma"}),
            (("trac",), {"trace"}),
        ],
    )
    def test_the_shell_completes_them(
        self, typed: tuple[str, ...], offered: set[str], fresh_circuitmap: Run, van: Path
    ) -> None:
        words = ["circuitmap", *(word.replace("PLATFORM", str(van)) for word in typed)]
        ran = fresh_circuitmap(
            env={
                "_CIRCUITMAP_COMPLETE": "bash_complete",
                "COMP_WORDS": " ".join(words) if words[-1] else " ".join(words[:-1]) + " ",
                "COMP_CWORD": str(len(words) - 1),
            }
        )
        assert ran.code == 0 and ran.err == ""
        assert {line.partition(",")[2] for line in ran.out.splitlines() if line} == offered

    @pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
    def test_the_shells_get_their_script(self, shell: str, fresh_circuitmap: Run) -> None:
        ran = fresh_circuitmap(env={"_CIRCUITMAP_COMPLETE": f"{shell}_source"})
        assert ran.code == 0 and "_CIRCUITMAP_COMPLETE" in ran.out
