"""Every command on every platform at its published limits: it ends, in bounded memory, with an answer or a limit named.

What it costs in seconds is not asserted here, a busy machine would fail it: `python -m tests.benchmarks.limits` writes
that down. The patience below only ends what would never end.
"""

from pathlib import Path

import pytest

from tests.limits.commands import commands_for
from tests.limits.every_platform import EVERY, write
from tests.limits.hostile import Hostile
from tests.limits.measuring import measured

MEGABYTES = 500
PATIENCE = 60.0
ANSWERED = (0, 1)
A_LIMIT = 4


@pytest.mark.slow
@pytest.mark.parametrize("hostile", EVERY, ids=lambda hostile: hostile.name)
def test_every_command_ends_in_bounded_memory(hostile: Hostile, tmp_path: Path) -> None:
    folder = write(hostile, hostile.limit, tmp_path / "platform")
    work = tmp_path / "work"
    work.mkdir()
    for asked in commands_for(hostile, hostile.limit, folder, work):
        found = measured(asked.words, work, PATIENCE)
        said = f"{asked.label}: code {found.code}, {found.megabytes:.0f} MB\n{found.complaint.decode(errors='replace')}"
        assert found.code in (*ANSWERED, A_LIMIT), said
        assert found.megabytes < MEGABYTES, said
        if found.code == A_LIMIT:
            assert b"more than" in found.complaint or b"longer than" in found.complaint, said
