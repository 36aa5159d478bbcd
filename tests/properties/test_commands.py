"""Whatever somebody typed in and asks, every command answers, or says in one message why not; it never fails by a bug
of ours."""

import contextlib
import io
import json
import tempfile
from pathlib import Path
from random import Random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from circuitmap.cli.ending import OUR_OWN_BUG, end_of
from circuitmap.cli.main import program
from circuitmap.wiring.parts import Fuse, Relay, Switch
from circuitmap.wiring.platform import Platform
from tests.platforms_strategy import Writing, read, writings

SCRAPS = (
    "->",
    "?",
    "if not",
    "fuse",
    ",",
    '"',
    "1OA",
    "BAT.+",
    "case",
    "in run",
    "\x1b[2J",
    "\u202e",
    "copied",
    "..",
    ":",
)


def questions(platform: Platform, random: Random, room: Path) -> list[list[str]]:
    """A question of each kind with names that exist."""
    parts = list(platform.parts)
    fuses = [name for name, part in platform.parts.items() if isinstance(part, Fuse)]
    switches = [part for part in platform.parts.values() if isinstance(part, Switch)]
    relays = [name for name, part in platform.parts.items() if isinstance(part, Relay)]
    some = random.sample(fuses, min(len(fuses), 3))
    asked = [["check"], ["tidy", "--check"], ["list"], ["live"], ["worksheet", "-o", str(room / "w.txt")]]
    if parts:
        asked.append(["trace", random.choice(parts)])
        asked.append(["live", "--unplug", random.choice(parts)])
        asked.append(["diagram", random.choice(parts), "-o", str(room / "d.dot")])
    if some:
        asked.append(["common", *some])
        asked.append(["common", some[0], *(word for fuse in some[1:] for word in ("--quiet", fuse))])
        asked.append(["live", "--pull", some[0]])
    if platform.networks:
        asked.append(["live", "--awake", random.choice(list(platform.networks))])
    if relays:
        asked.append(["live", "--stuck", random.choice(relays)])
    for switch in switches:
        if switch.positions:
            words = (
                ["--key", switch.positions[-1]] if switch.is_key else ["--set", f"{switch.name}={switch.positions[-1]}"]
            )
            asked.append(["live", *words])
    if platform.sheets:
        asked.append(["list", "--sheet", random.choice(list(platform.sheets))])
        asked.append(["diagram", "--sheet", random.choice(list(platform.sheets)), "-o", str(room / "s.dot")])
    return asked


def ask(words: list[str], folder: Path, *more: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = end_of(program, [words[0], str(folder), *words[1:], *more])
    return code, out.getvalue(), err.getvalue()


def answers_all(folder: Path, platform: Platform, random: Random, room: Path) -> None:
    for words in questions(platform, random, room):
        code, out, err = ask(words, folder)
        assert code != OUR_OWN_BUG and code in (0, 1, 2, 4), (words, err)
        assert not set(out + err) & set("\x1b\u202e"), words
        code, out, err = ask(words, folder, "--json")
        assert code in (0, 1, 2, 4), (words, err)
        assert json.loads(out)["format_version"] == 3


USUAL = settings(max_examples=16, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@USUAL
@given(writing=writings(), seed=st.integers(0, 2**32 - 1))
def test_of_any_vehicle(writing: Writing, seed: int) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name, "vehicle")
        folder.mkdir()
        for file in writing:
            (folder / file.name).write_text(file.text, "utf-8")
        answers_all(folder, read(writing), Random(seed), Path(name))


@USUAL
@given(writing=writings(), seed=st.integers(0, 2**32 - 1))
def test_of_any_vehicle_with_slips(writing: Writing, seed: int) -> None:
    """The same with words replaced by scraps, lines doubled, and lines gone."""
    random = Random(seed)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name, "vehicle")
        folder.mkdir()
        for file in writing:
            lines = file.text.splitlines()
            for _ in range(random.randint(1, 4)):
                at = random.randrange(len(lines)) if lines else 0
                words = lines[at].split(" ") if lines else [""]
                words[random.randrange(len(words))] = random.choice(SCRAPS)
                lines[at : at + random.randint(0, 1)] = [" ".join(words)]
            (folder / file.name).write_text("\n".join(lines) + "\n", "utf-8")
        answers_all(folder, read(writing), random, Path(name))
