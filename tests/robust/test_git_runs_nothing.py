"""A repository that somebody else set up runs nothing when it is asked for an earlier state, or told to merge.

Each row is a key (or a file) by which git runs a command. The command only leaves a mark. That the trap is a trap is
shown first: a command of git itself, in the same repository, springs it.
"""

import ast
import os
import pty
import shutil
import subprocess
from pathlib import Path

import pytest

from circuitmap.changes import asking_git
from circuitmap.changes.revisions import sources_at
from circuitmap.failures import CannotRead, LimitReached
from tests.cli.conftest import ROOT, Run
from tests.robust.git_traps import CHOSEN_NAMES, PARTIAL, WHOLE, Trap
from tests.robust.running import clear

pytestmark = pytest.mark.skipif(
    shutil.which("git") is None or os.name != "posix", reason="git, and a shell, are needed"
)

FUSES = "box CAB\nfuse CAB.F1 10A mini\n"


OURS = (
    ("diff", "van", "--git", "HEAD~1"),
    ("diff", "van", "--git", "HEAD~1", "--git", "HEAD"),
    ("diff", "van", "--git", "main:van"),
    ("merge", "--set-up"),
    ("library", "."),
    ("check", "van"),
)


@pytest.fixture
def room(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a command that leaves the mark `sprung`, under every name by which one may be called."""
    trap = tmp_path / "bin/trap"
    for name in ("bin/trap", "bin/git-remote-trap", "hooks/pre-commit", "hooks/post-index-change", "hooks/fsmonitor"):
        file = tmp_path / name
        file.parent.mkdir(exist_ok=True)
        file.write_text(f"#!/bin/sh\necho sprung >>'{tmp_path}/sprung'\nexit 1\n")
        file.chmod(0o755)
    (tmp_path / "more").write_text(f"[core]\n fsmonitor = {trap}\n")
    (tmp_path / "remote").write_text(f'[remote "origin"]\n uploadpack = {trap}\n')
    (tmp_path / "attributes").write_text("*.circuit filter=x\n")
    (tmp_path / "key").write_text("a key\n")
    for name in [name for name in os.environ if name.startswith("GIT_")]:
        monkeypatch.delenv(name)
    for name, value in {
        "HOME": str(tmp_path), "XDG_CONFIG_HOME": str(tmp_path), "GIT_CONFIG_NOSYSTEM": "1",
        "GIT_CONFIG_GLOBAL": os.devnull, "PATH": f"{tmp_path}/bin:{os.environ['PATH']}", "TERM": "dumb",
    }.items():  # fmt: skip
        monkeypatch.setenv(name, value)
    return tmp_path


def git(folder: Path, words: str, *, given: str = "", terminal: bool = False) -> None:
    """git itself; how it ends does not matter."""
    ours, theirs = pty.openpty() if terminal else (-1, subprocess.DEVNULL)
    try:
        subprocess.run(
            ["git", *words.split()], cwd=folder, check=False, timeout=20, input=given.encode(),
            stdout=theirs, stderr=subprocess.DEVNULL,
        )  # fmt: skip
    finally:
        if terminal:
            os.close(ours)
            os.close(theirs)


def laid_out(room: Path, name: str, trap: Trap) -> Path:
    """A repository with two states of a platform, a branch beside them, something changed since, and the trap."""
    shop = room / name
    (shop / "van").mkdir(parents=True)
    git(shop, "init -q -b main")
    for key in ("user.name technician", "user.email a@shop.invalid"):
        git(shop, f"config {key}")
    states = [FUSES, FUSES + "fuse CAB.F2 10A mini\n"]
    for number, text in enumerate(states):
        (shop / "van/a.circuit").write_text(text)
        (shop / ".gitattributes").write_text(trap.attributes + "\n")
        git(shop, "add -A")
        git(shop, f"commit -q -m {number}")
    git(shop, "checkout -q -b side HEAD~1")
    (shop / "van/a.circuit").write_text(states[0] + "fuse CAB.F4 10A mini\n")
    git(shop, "commit -q -a -m side")
    git(shop, "checkout -q main")
    if not (room / "origin").exists():
        git(room, f"clone -q --bare {shop} {room}/origin")
    if "partialClone" in trap.config or "promisor" in trap.config:
        lose(shop, "HEAD~1:van/a.circuit")
    else:
        (shop / ".git/objects/info/alternates").write_text(f"{room}/origin/objects\n")
    if trap.git not in ("merge --no-edit side", "rebase -i HEAD~1"):
        (shop / "van/a.circuit").write_text(states[1] + "fuse CAB.F3 10A mini\n")
    with open(shop / ".git/config", "a") as config:
        config.write(trap.config.format(trap=room / "bin/trap", room=room))
    (shop / ".git/config.worktree").write_text(f"[core]\n fsmonitor = {room}/bin/trap\n")
    (room / "sprung").unlink(missing_ok=True)
    return shop


def lose(shop: Path, what: str) -> None:
    """Take an object out of a repository."""
    told = subprocess.run(["git", "-C", shop, "rev-parse", what], check=True, capture_output=True, text=True)
    name = told.stdout.strip()
    (shop / ".git/objects" / name[:2] / name[2:]).unlink()


def sprung(room: Path) -> bool:
    return (room / "sprung").exists()


@pytest.mark.parametrize("key", WHOLE)
def test_a_command_in_the_repository_is_not_run(
    key: str, room: Path, monkeypatch: pytest.MonkeyPatch, circuitmap: Run
) -> None:
    trap = WHOLE[key]
    git(laid_out(room, "control", trap), trap.git, given=trap.given, terminal=trap.at_terminal)
    assert sprung(room), "this is no trap"
    monkeypatch.chdir(laid_out(room, "shop", trap))
    for words in OURS:
        ran = circuitmap(*words)
        wanted = 2 if "main:van" in words else 0
        assert ran.code == wanted, (words, ran)
        assert not sprung(room), words
        assert ("CAB.F2" in ran.out) == (words[0] == "diff" and wanted == 0), ran
    assert git_says(".", "config merge.circuitmap.driver").startswith("mv "), "it was set up"


@pytest.mark.parametrize("key", [key for key in WHOLE if key not in CHOSEN_NAMES])
def test_even_what_springs_the_trap_does_not_when_it_is_asked_our_way(key: str, room: Path) -> None:
    trap = WHOLE[key]
    asking_git.Git(laid_out(room, "shop", trap)).asked(*trap.git.split(), given=trap.given.encode())
    assert not sprung(room)


def git_says(folder: str, words: str) -> str:
    done = subprocess.run(["git", "-C", folder, *words.split()], check=True, capture_output=True, text=True)
    return done.stdout


@pytest.mark.parametrize("key", PARTIAL)
def test_what_is_missing_is_not_fetched(key: str, room: Path, monkeypatch: pytest.MonkeyPatch, circuitmap: Run) -> None:
    trap = PARTIAL[key]
    git(laid_out(room, "control", trap), trap.git)
    assert sprung(room), "this is no trap"
    monkeypatch.chdir(laid_out(room, "shop", trap))
    clear(circuitmap("diff", "van", "--git", "HEAD~1"), 3, "HEAD~1", "not fetched")
    assert circuitmap("diff", "van", "--git", "HEAD").code == 0
    for words in OURS[2:]:
        circuitmap(*words)
    assert not sprung(room)


def test_the_settings_of_git_hold_for_whoever_it_starts(room: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A newer git is told not to fetch by an option that an older one does not know, and the other way round."""
    real = shutil.which("git")
    shop = laid_out(room, "shop", Trap(config="", git=""))
    (room / "bin/git").write_text(
        f'#!/bin/sh\nenv >"{room}/env"\nprintf "%s\\n" "$@" >"{room}/words"\nexec {real} "$@"\n'
    )
    (room / "bin/git").chmod(0o755)
    for name in ("GIT_DIR", "GIT_EXTERNAL_DIFF", "GIT_TRACE", "GIT_INDEX_FILE", "GIT_CONFIG_COUNT"):
        monkeypatch.setenv(name, str(room / "trace"))
    monkeypatch.setenv("PATH", f".:{os.environ['PATH']}:")
    (shop / "git").symlink_to(room / "bin/trap")
    monkeypatch.chdir(shop)
    assert sources_at(Path("van"), "HEAD~1")[0].text == FUSES
    surroundings = dict(line.partition("=")[::2] for line in (room / "env").read_text().splitlines())
    assert surroundings["GIT_ALLOW_PROTOCOL"] == "none"
    assert surroundings["GIT_NO_LAZY_FETCH"] == "1"
    assert surroundings["GIT_TERMINAL_PROMPT"] == "0"
    assert not surroundings.keys() & {"GIT_DIR", "GIT_EXTERNAL_DIFF", "GIT_TRACE", "GIT_INDEX_FILE", "GIT_CONFIG_COUNT"}
    assert all(os.path.isabs(folder) for folder in surroundings["PATH"].split(":"))
    words = (room / "words").read_text().splitlines()
    assert {"core.fsmonitor=false", f"core.hooksPath={os.devnull}", "protocol.allow=never"} <= set(words)
    assert not sprung(room) and not (room / "trace").exists()


# ---- a folder that says its repository is elsewhere ----


def test_a_file_in_place_of_the_repository_runs_nothing(
    room: Path, monkeypatch: pytest.MonkeyPatch, circuitmap: Run
) -> None:
    trap = WHOLE["core.fsmonitor"]
    elsewhere = laid_out(room, "elsewhere", trap)
    shop = room / "shop"
    shutil.copytree(elsewhere / "van", shop / "van")
    (shop / ".git").write_text(f"gitdir: {elsewhere}/.git\n")
    git(shop, "status")
    assert sprung(room), "this is no trap"
    (room / "sprung").unlink()
    monkeypatch.chdir(shop)
    assert circuitmap("diff", "van", "--git", "HEAD~1").code == 0
    assert not sprung(room)


def test_a_folder_that_is_a_bare_repository_is_none(room: Path, circuitmap: Run) -> None:
    """Files called HEAD, config, objects and refs can come with any folder."""
    shop = laid_out(room, "shop", WHOLE["core.fsmonitor"])
    hostile = room / "hostile"
    shutil.copytree(shop / ".git", hostile)
    (hostile / "index").unlink()
    (hostile / "a.circuit").write_text(FUSES)
    with open(hostile / "config", "a") as config:
        config.write("[core]\n bare = false\n worktree = .\n")
    git(hostile, "status")
    assert sprung(room), "this is no trap"
    (room / "sprung").unlink()
    assert circuitmap("diff", hostile, "--git", "HEAD").code == 3
    assert not sprung(room)


def test_set_up_writes_nowhere_else_on_a_repositorys_word(
    room: Path, monkeypatch: pytest.MonkeyPatch, circuitmap: Run
) -> None:
    for name, config in (("above", f"[core]\n worktree = {room}\n"), ("aside", f"[core]\n worktree = {room}/hooks\n")):
        shop = laid_out(room, name, Trap(config=config, git=""))
        monkeypatch.chdir(shop)
        before = (shop / ".git/config").read_bytes()
        clear(circuitmap("merge", "--set-up"), 3)
        assert (shop / ".git/config").read_bytes() == before
    assert not (room / ".gitattributes").exists() and not (room / "hooks/.gitattributes").exists()
    shop = laid_out(room, "linked", Trap(config="", git=""))
    (shop / ".git/config").rename(room / "settings")
    (shop / ".git/config").symlink_to(room / "settings")
    before = (room / "settings").read_bytes()
    monkeypatch.chdir(shop)
    clear(circuitmap("merge", "--set-up"), 3, "link")
    assert (room / "settings").read_bytes() == before


def test_a_worktree_of_ones_own_is_set_up(room: Path, monkeypatch: pytest.MonkeyPatch, circuitmap: Run) -> None:
    shop = laid_out(room, "shop", Trap(config="", git=""))
    git(shop, f"worktree add -q {room}/second side")
    monkeypatch.chdir(room / "second/van")
    assert circuitmap("merge", "--set-up").code == 0
    assert "merge=circuitmap" in (room / "second/.gitattributes").read_text()
    assert circuitmap("diff", ".", "--git", "main").code == 0


# ---- git that does not answer, and what is too much ----


@pytest.mark.parametrize("name", [".git/HEAD", ".git/config", ".git/packed-refs", ".git/objects/info/alternates"])
def test_a_pipe_in_a_repository_is_not_waited_for(
    name: str, room: Path, monkeypatch: pytest.MonkeyPatch, circuitmap: Run
) -> None:
    shop = laid_out(room, "shop", Trap(config="", git=""))
    monkeypatch.setattr(asking_git, "GIT_SECONDS", 1.0)
    (shop / name).unlink(missing_ok=True)
    os.mkfifo(shop / name)
    ran = circuitmap("diff", shop / "van", "--git", "HEAD~1")
    assert ran.code in (0, 3) and "bug" not in ran.err


def test_git_that_sleeps_is_ended_with_all_it_started(
    room: Path, circuitmap: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop = laid_out(room, "shop", Trap(config="", git=""))
    monkeypatch.setattr(asking_git, "GIT_SECONDS", 1.0)
    (room / "bin/git").write_text(f"#!/bin/sh\nsleep 300 &\necho $! >{room}/child\nwait\n")
    (room / "bin/git").chmod(0o755)
    clear(circuitmap("diff", shop / "van", "--git", "HEAD~1"), 3, "did not answer within")
    child = int((room / "child").read_text())
    try:
        state = Path(f"/proc/{child}/stat").read_text().rpartition(")")[2].split()[0]
    except OSError:
        state = "gone"
    assert state in ("Z", "X", "gone")


def test_what_is_too_large_is_known_before_it_is_read(room: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shop = laid_out(room, "shop", Trap(config="", git=""))
    asked: list[str] = []
    as_usual = asking_git.Git.asked

    def asks(self: asking_git.Git, *words: str, **more: object) -> asking_git.GitAnswer:
        asked.append(words[0])
        return as_usual(self, *words, **more)

    monkeypatch.setattr(asking_git.Git, "asked", asks)
    (shop / "van/b.circuit").write_text("#" * 2_000_001)
    git(shop, "add -A")
    git(shop, "commit -q -m large")
    with pytest.raises(LimitReached, match=r"b\.circuit at HEAD is larger than 2,000,000 bytes"):
        sources_at(shop / "van", "HEAD")
    assert asked == ["rev-parse", "ls-tree"]


def test_a_link_in_an_earlier_state_is_no_notation(room: Path) -> None:
    shop = laid_out(room, "shop", Trap(config="", git=""))
    (shop / "van/b.circuit").symlink_to("/etc/hostname")
    git(shop, "add -A")
    git(shop, "commit -q -m link")
    with pytest.raises(CannotRead, match=r"b\.circuit.*is not a file"):
        sources_at(shop / "van", "HEAD")


def test_an_endless_answer_is_cut_off(room: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (room / "bin/git").write_text("#!/bin/sh\nexec yes\n")
    (room / "bin/git").chmod(0o755)
    answer = asking_git.Git(room).asked("ls-tree", most=1000)
    assert len(answer.told) == 1000 and not answer.whole
    (room / "bin/git").write_text("#!/bin/sh\nyes >&2\n")
    monkeypatch.setattr(asking_git, "GIT_SECONDS", 1.0)
    with pytest.raises(CannotRead, match="did not answer"):
        asking_git.Git(room).asked("ls-tree")


# ---- what starts programs at all ----

STARTS = {
    "subprocess", "multiprocessing", "pty", "os.system", "os.popen", "os.fork", "os.forkpty", "os.posix_spawn",
    "os.startfile",
}  # fmt: skip


def starts_programs(file: Path) -> set[str]:
    found = set()
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            found.add(node.module or "")
        elif isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id == "os":
            found.add("os.spawn" if node.attr.startswith(("spawn", "exec")) else f"os.{node.attr}")
    return found & {*STARTS, "os.spawn"}


def test_nobody_else_starts_a_program() -> None:
    package = ROOT / "circuitmap"
    found = {str(file.relative_to(package)) for file in package.rglob("*.py") if starts_programs(file)}
    assert found == {"changes/asking_git.py", "drawings/placing/graphviz_layout.py"}
