"""Running the program as a user does: in this process where that is enough, in one of its own where it is not."""

import json
import os
import subprocess
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from circuitmap.cli.ending import end_of
from circuitmap.cli.main import program

ROOT = Path(__file__).parent.parent.parent

SMALL_VAN = """\
platform "Bramble 2 van" years 2019 supply 12V return body
    sleep 20min limit 50mA
option TOW "towing socket"
naming SP* splice, X* connector, G* ground
battery BAT 70Ah at "under the driver's seat"
box CAB "Cab fuse box" at "left of the steering column" reach 3min
key IGN "Ignition switch" positions off, acc, run, start
    closes 30 to 15 in run, start
fuse CAB.F1 60A maxi "main", CAB.F2 20A mini "heating", CAB.F3 10A mini "locking", CAB.F4 5A mini "radio"
bar CAB.B1 feeds CAB.F2, CAB.F3, IGN.30
CAB.F4 feeds RADIO
module HEATER "Auxiliary heater" supply A1 ground A12 asleep 2mA awake 300mA..400mA reach 15min
    at "under the passenger seat"
module DOORS "Door control" supply 7 ground 3 asleep 1mA
lamp RADIO "radio"
network BODY can "body network" members HEATER, DOORS

sheet "1" "Power" whole
BAT.+ -> CAB.F1 -> CAB.B1 in RD 16mm2
BAT.- -> G1 in BK 16mm2
IGN.15 -> CAB.F4 in BK/YE 1mm2

sheet "2" "Heating"
CAB.F2 -> X14.14 -> SP5 -> HEATER.A1 in OG/BK 0.75mm2
SP5 -> ? "goes on to sheet 3"
HEATER.A12 -> G7 in BK
CAB.F3 -> DOORS.7 in RD/WH
DOORS.3 -> G7 in BK
"""


@dataclass(frozen=True)
class Ran:
    """How a run ended and what it said."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out)


Run = Callable[..., Ran]


@pytest.fixture
def circuitmap(capsys: pytest.CaptureFixture[str]) -> Run:
    """Run the program in this process."""

    def run(*words: str | Path) -> Ran:
        capsys.readouterr()
        code = end_of(program, [str(word) for word in words])
        out, err = capsys.readouterr()
        return Ran(code, out, err)

    return run


@pytest.fixture
def fresh_circuitmap() -> Run:
    """Run the program in a process of its own, as the shell does."""

    def run(*words: str | Path, env: Mapping[str, str] | None = None, cwd: Path | None = None) -> Ran:
        done = subprocess.run(
            [sys.executable, "-m", "circuitmap", *map(str, words)],
            capture_output=True,
            env={**os.environ, "PYTHONPATH": str(ROOT), **(env or {})},
            cwd=cwd,
            timeout=60,
            check=False,
        )
        return Ran(done.returncode, done.stdout.decode("utf-8", "replace"), done.stderr.decode("utf-8", "replace"))

    return run


@pytest.fixture
def van(tmp_path: Path) -> Path:
    """The folder of a small platform that every command can answer about."""
    folder = tmp_path / "van"
    folder.mkdir()
    (folder / "van.circuit").write_text(SMALL_VAN, "utf-8")
    return folder


QUERIES: tuple[tuple[str, ...], ...] = (
    ("check", "PLATFORM"),
    ("tidy", "PLATFORM", "--check"),
    ("list", "PLATFORM"),
    ("list", "PLATFORM", "--sheet", "2"),
    ("trace", "PLATFORM", "HEATER"),
    ("common", "PLATFORM", "F2", "F3", "--quiet", "F4"),
    ("live", "PLATFORM"),
    ("live", "PLATFORM", "--key", "run", "--awake", "BODY"),
    ("worksheet", "PLATFORM", "-o", "OUT.txt"),
    ("diagram", "PLATFORM", "HEATER", "-o", "OUT.svg"),
    ("suspects", "PLATFORM", "F2=0.4A", "F3=0.1A"),
    ("volts", "PLATFORM", "HEATER.A1", "--saw", "HEATER.A1=11.2V"),
    ("dead", "PLATFORM", "HEATER", "--works", "DOORS"),
)
"""A sensible use of every command that reads a platform."""
