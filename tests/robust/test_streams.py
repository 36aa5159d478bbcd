"""Standard output, errors or input that is closed, full or cannot be written: published exit codes, and the message
says what stands.

| stream | what is promised |
|---|---|
| output closed, full, or open for reading only | 3, why, and which files were written all the same |
| a reader that has seen enough (`| head`) | no failure |
| errors closed or full | the exit code is the same, and so is the answer |
| input closed | the same |
| all of them closed | no file of anybody's gets their numbers: a message never ends in a card |
| whatever fails, or is stopped, after something was written | what stands is said, so that nobody does it twice |
"""

import os
import sys
from pathlib import Path

import click
import pytest

from circuitmap.cli import ending
from circuitmap.failures import LimitReached
from circuitmap.flows import job as job_bench
from circuitmap.saving import save
from tests.cli.conftest import Run
from tests.robust.running import clear, run

pytestmark = pytest.mark.skipif(
    sys.platform == "win32" or not os.path.exists("/dev/full"),
    reason="streams are closed by a shell; /dev/full is Linux",
)

CARD = "job: '1'\nplatform: van\ncomplaint: flat\nentries:\n  - at: 2026-02-03 10:02\n    state: locked\n"
AT = ("--at", "2026-02-03 11:00")


@pytest.fixture
def shop(van: Path) -> Path:
    (van.parent / "job.yaml").write_text(CARD)
    (van / "more.circuit").write_text("lamp   MORE\n")
    (van.parent / "base.circuit").write_text("fuse CAB.F1 10A mini\n")
    for name, rating in (("ours", "20A"), ("theirs", "30A")):
        (van.parent / f"{name}.circuit").write_text(f"fuse CAB.F1 {rating} mini\n")
    return van.parent


def through(redirection: str) -> tuple[str, ...]:
    return ("sh", "-c", f'exec "$@" {redirection}', "sh")


NO_OUTPUT = {"closed": ">&-", "full": ">/dev/full", "for reading": "1</dev/null"}

ANSWERS = (
    ("--help",), ("--version",), ("check", "van"), ("check", "van", "--json"), ("list", "van"), ("trace", "van", "HEATER"),
    ("common", "van", "F2", "F3"), ("live", "van"), ("live", "van", "--json"), ("suspects", "van", "F2=0.4A"),
    ("explain", "unknown-name"), ("card", "show", "job.yaml"), ("library", "."), ("diff", "van", "van"),
    ("tidy", "van", "--check"),
)  # fmt: skip
WRITERS = {
    "job.yaml": ("card", "add", "job.yaml", "F2=0.4A", *AT),
    "job.yaml, as JSON": ("card", "add", "job.yaml", "F2=0.4A", *AT, "--json"),
    "job.yaml, struck": ("card", "strike", "job.yaml", "1", "wrong van"),
    "new.yaml": ("card", "new", "van", "new.yaml"),
    "van/more.circuit": ("tidy", "van"),
    "out.svg": ("diagram", "van", "HEATER", "-o", "out.svg"),
    "out.txt": ("worksheet", "van", "-o", "out.txt"),
    "out.html": ("report", "job.yaml", "-o", "out.html"),
    "page.html": ("share", "van", "-o", "page.html"),
}


@pytest.mark.parametrize("how", ["closed", "full"])
@pytest.mark.parametrize("words", ANSWERS, ids=" ".join)
def test_an_answer_that_cannot_be_shown(words: tuple[str, ...], how: str, shop: Path) -> None:
    ran = run(*words, within=shop, before=through(NO_OUTPUT[how]))
    clear(ran, 3, "circuitmap: The answer could not be shown: ")
    assert "Written" not in ran.err
    assert ("No space left on device" in ran.err) == (how == "full")


@pytest.mark.parametrize("how", NO_OUTPUT)
@pytest.mark.parametrize("name", WRITERS)
def test_what_was_written_is_said(name: str, how: str, shop: Path) -> None:
    file = shop / name.partition(",")[0]
    before = file.read_bytes() if file.exists() else b""
    ran = run(*WRITERS[name], within=shop, before=through(NO_OUTPUT[how]))
    clear(
        ran,
        3,
        "circuitmap: The answer could not be shown: ",
        f"Written all the same, and complete: {name.split(',')[0]}.",
    )
    assert file.read_bytes() != before
    assert ran.err.count("\n") == 2 and "No space left on device: " not in ran.err


@pytest.mark.parametrize("how", ["closed", "full"])
def test_what_the_shell_asks_for_that_cannot_be_shown(how: str, shop: Path) -> None:
    asked = {"_CIRCUITMAP_COMPLETE": "bash_source"}
    assert run(within=shop, env=asked).out.startswith("_circuitmap_completion")
    clear(run(within=shop, env=asked, before=through(NO_OUTPUT[how])), 3, "could not be shown")


def test_a_failure_is_told_by_its_own_code_though_nobody_reads_the_answer(shop: Path) -> None:
    for redirection in NO_OUTPUT.values():
        clear(run("trace", "van", "NOPE", within=shop, before=through(redirection)), 2, "NOPE")
        clear(run("trace", "nowhere", "X", "--json", within=shop, before=through(redirection)), 3, "nowhere")


@pytest.mark.parametrize("how", ["2>&-", "2>/dev/full", "2</dev/null", "<&-", "2>&- <&-"])
def test_errors_or_input_that_go_nowhere_change_nothing_else(how: str, shop: Path) -> None:
    with open(shop / "van/van.circuit", "a") as file:
        file.write("fuse CAB.F9 1OA\n")
    for words, code in ((("list", "van"), 1), (("trace", "van", "NOPE"), 2), (("trace", "nowhere", "X"), 3)):
        as_usual = run(*words, within=shop)
        ran = run(*words, within=shop, before=through(how))
        assert (ran.code, ran.out) == (code, as_usual.out) == (as_usual.code, as_usual.out)
        assert ran.err in ("", as_usual.err)
    ran = run("merge", "base.circuit", "ours.circuit", "theirs.circuit", within=shop, before=through(how))
    assert ran.code == 1 and "<<<<<<<" in (shop / "ours.circuit").read_text()


def test_no_message_ends_in_a_file_when_all_streams_are_closed(shop: Path) -> None:
    ran = run("card", "add", "job.yaml", "F2=0.4A", *AT, within=shop, before=through(">&- 2>&- <&-"))
    assert (ran.code, ran.out, ran.err) == (3, "", "")
    text = (shop / "job.yaml").read_text()
    assert text.startswith(CARD) and "F2" in text.removeprefix(CARD) and "Entry" not in text
    assert run("card", "show", "job.yaml", within=shop).code == 0
    for words in (("diagram", "van", "HEATER", "-o", "out.svg"), ("trace", "van", "NOPE")):
        assert run(*words, within=shop, before=through(">&- 2>&- <&-")).code in (2, 3)
    assert (shop / "out.svg").read_text().endswith("</svg>\n")


def test_an_output_to_a_closed_standard_output_is_not_lost_in_silence(shop: Path) -> None:
    ran = run("merge", "base.circuit", "ours.circuit", "theirs.circuit", "-o", "/dev/stdout", within=shop)
    assert ran.code == 1 and "<<<<<<<" in ran.out
    ran = run(
        "merge", "base.circuit", "ours.circuit", "theirs.circuit", "-o", "/dev/stdout", within=shop,
        before=through(">&-"),
    )  # fmt: skip
    clear(ran, 3, "/dev/stdout")


def test_a_reader_that_has_seen_enough_is_no_failure_of_an_entry(shop: Path) -> None:
    inner = '"$@" | head -c 1 >/dev/null; exit "${PIPESTATUS[0]}"'
    ran = run("card", "add", "job.yaml", "F2=0.4A", *AT, within=shop, before=("bash", "-c", inner, "bash"))
    assert (ran.code, ran.err) == (0, "")
    assert "F2" in (shop / "job.yaml").read_text()


# ---- whatever fails after something was written ----


@pytest.mark.parametrize(
    ("raised", "code"),
    [
        (LimitReached("Too much."), 4), (KeyboardInterrupt(), 130), (MemoryError(), 4), (ValueError("odd"), 70),
        (OSError(5, "Input/output error"), 3),
    ],
)  # fmt: skip
def test_what_stands_is_said_whatever_goes_wrong(
    raised: BaseException, code: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    @click.command()
    @click.option("--json", is_flag=True)
    def command(json: bool) -> None:
        save(tmp_path / "card.yaml", b"x\n", None)
        raise raised

    stands = f"Written all the same, and complete: {tmp_path / 'card.yaml'}."
    assert ending.end_of(command, []) == code
    assert stands in capsys.readouterr().err
    (tmp_path / "card.yaml").unlink()
    assert ending.end_of(command, ["--json"]) == code
    assert (stands in capsys.readouterr().out) == (code != 130)

    @click.command()
    def nothing() -> None:
        raise raised

    assert ending.end_of(nothing, []) == code
    assert "Written" not in capsys.readouterr().err, "of this run, not of the one before"


def test_an_entry_is_kept_though_what_follows_cannot_be_worked_out(
    shop: Path, circuitmap: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    def too_much(*_: object) -> None:
        raise LimitReached("Too much.")

    monkeypatch.setattr(job_bench, "next_steps", too_much)
    ran = circuitmap("card", "add", shop / "job.yaml", "F2=0.4A", *AT)
    clear(ran, 4, "Too much.", f"Written all the same, and complete: {shop / 'job.yaml'}.")


def test_a_run_that_stops_half_way_says_which_files_it_did(shop: Path, circuitmap: Run) -> None:
    for name in ("a", "b"):
        (shop / f"van/{name}.circuit").write_text(f"lamp   {name.upper()}\n")
    (shop / "van/b.circuit").chmod(0o444)
    ran = circuitmap("tidy", shop / "van")
    clear(ran, 3, "b.circuit is read-only", f"Written all the same, and complete: {shop / 'van/a.circuit'}.")


@pytest.mark.parametrize("photo", ["x" * 300 + ".jpg", "a/../../../nowhere.jpg", "loop.jpg", "\udcff.jpg"])
def test_a_photo_that_cannot_be_looked_for_is_one_that_is_not_there(photo: str, shop: Path, circuitmap: Run) -> None:
    (shop / "loop.jpg").symlink_to("loop.jpg")
    ran = circuitmap("card", "add", shop / "job.yaml", f"photo {photo}", *AT)
    clear(ran, 0)
    assert "the entry is kept" in ran.out
