"""Every command that is run on a hostile platform, as the words of its command line."""

import re
from pathlib import Path
from typing import NamedTuple

from tests.limits.hostile import Hostile


class Asked(NamedTuple):
    """`label` names the command in the table; `words` are those of the command line."""

    label: str
    words: tuple[str, ...]


def commands_for(hostile: Hostile, size: int, folder: Path, room: Path) -> list[Asked]:
    """All questions; the files that they write go to `room`."""
    place = str(folder)
    fuses, asked = hostile.fuses(size), hostile.asked(size)
    networks = {name for text in hostile.files(size).values() for name in re.findall(r"^network (\S+)", text, re.M)}
    drawn = tuple(name for name in asked if name not in networks)  # a network is traced, a drawing is of parts
    found = [
        Asked("check", ("check", place)),
        Asked("tidy", ("tidy", "--check", place)),
        Asked("list", ("list", place)),
    ]
    found += [
        Asked(f"trace {which}", ("trace", place, name)) for which, name in zip(("", "2", "3"), asked, strict=False)
    ]
    found += [
        Asked("trace json", ("trace", place, asked[0], "--json")),
        Asked("live", ("live", place)),
        Asked("live json", ("live", place, "--json")),
    ]
    if hostile.setting(size):
        found.append(Asked("live set", ("live", place, *hostile.setting(size))))
    found += [
        Asked("common", ("common", place, *fuses)),
        Asked("common json", ("common", place, *fuses, "--json")),
        Asked("worksheet", ("worksheet", place, "-o", str(room / "w.txt"))),
        Asked("worksheet pdf", ("worksheet", place, "-o", str(room / "w.pdf"))),
        Asked("share", ("share", place, "-o", str(room / "s.html"))),
        Asked("diagram", ("diagram", place, *drawn, "-o", str(room / "d.svg"))),
        Asked("diagram all", ("diagram", place, "--all", "-o", str(room / "a.svg"))),
        Asked(
            "diagram fuses",
            ("diagram", place, *(w for fuse in fuses for w in ("--drawing", fuse)), "-o", str(room / "f.svg")),
        ),
        Asked(
            "suspects", ("suspects", place, "BAT=0.9A", *(f"{fuse}={(k % 5) / 10}A" for k, fuse in enumerate(fuses)))
        ),
        Asked("suspects few", ("suspects", place, "BAT=0.9A", f"{fuses[0]}=0.5A", "--json")),
    ]
    if hostile.sheet:
        found.append(Asked("diagram sheet", ("diagram", place, "--sheet", hostile.sheet, "-o", str(room / "t.svg"))))
    return found
