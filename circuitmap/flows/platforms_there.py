"""The platforms on the shelf, for somebody at the car: which there are, what hangs on a fuse, and a job begun on one.

What was opened is kept until its files change. Nobody sends the name of a file: a platform and a part are asked for by
a key, and where a card goes is decided here.
"""

import hashlib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, NamedTuple

from circuitmap.failures import CannotRead, Failure, WrongUse
from circuitmap.flows.questions import Bench, open_platform, trace, worksheet_values
from circuitmap.flows.stamps import stamps_of
from circuitmap.plain_files import real_path
from circuitmap.saving import read_content, save
from circuitmap.shelf.shelved import shelf_of
from circuitmap.wiring.platform import Platform

MOST_PLATFORMS = 300
"""Platforms that the shelf lists."""
LONGEST_ANSWER = 500
"""Characters of one answer of the intake."""
INTAKE_ASKED = ("vehicle", "complaint", "since", "flat-after", "battery", "battery-age", "done-before", "happens-when")
"""What is asked on the page. Nothing of it names the customer: whoever is on the same Wi-Fi could read that."""

_NUMBER = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,39}\Z", re.ASCII)


class PlatformThere(NamedTuple):
    """A platform on the shelf: `key` is how it is asked for, `trouble` why it cannot be opened."""

    key: str
    title: str
    says: str
    trouble: str = ""


class Begun(NamedTuple):
    """What is known of a vehicle that came in; `said` by the keys of the intake."""

    number: str
    said: Mapping[str, str]
    fitted: Sequence[str] = ()
    absent: Sequence[str] = ()


@dataclass
class PlatformsThere:
    """The platforms below the shop's folder; none where only one card is served."""

    root: Path
    left_out: int = 0
    """How many platforms are there beyond those that are listed."""
    _folders: dict[str, Path] = field(default_factory=dict)
    _benches: dict[Path, tuple[str, Bench]] = field(default_factory=dict)

    def listed(self) -> list[PlatformThere]:
        """All platforms, by name."""
        found = [self._listed(key, folder) for key, folder in self._found().items()]
        return sorted(found, key=lambda one: one.title.casefold())

    def read(self, key: str) -> dict[str, Any]:
        """A platform to be read: its boxes, each fuse with what hangs on it, and what to ask when a job begins."""
        from circuitmap.reports.bay.platform_there import platform_values

        bench = self._bench(self.folder(key))
        return {"key": key, **platform_values(bench.platform, worksheet_values(bench))}

    def part(self, key: str, part: str) -> dict[str, Any]:
        """One part of a platform, asked for by its key."""
        return part_there(self._bench(self.folder(key)), part)

    def begin(self, key: str, begun: Begun) -> Path:
        """A new card for a vehicle of this platform. The same said twice is one card, so it may be sent again.

        It lies in the folder `jobs` of the platform if there is one, else in the shop's folder. Raises WrongUse.
        """
        from circuitmap.jobs.equipment import known_equipment

        folder = self.folder(key)
        platform = self._bench(folder).platform
        if not _NUMBER.match(begun.number):
            raise WrongUse("A job has a number: at most 40 letters, digits, - and _.")
        for name, text in begun.said.items():
            if name not in INTAKE_ASKED or len(text) > LONGEST_ANSWER:
                raise WrongUse(f"{name} is asked for with at most {LONGEST_ANSWER} characters.")
        both = set(begun.fitted) & set(begun.absent)
        if both:
            raise WrongUse(f"{min(both)} cannot be fitted and not fitted at once.")
        known_equipment(platform, begun.fitted, begun.absent)
        place = folder / "jobs" if (folder / "jobs").is_dir() else self.root
        card = place / f"{begun.number}.yaml"
        content = _card_text(card, folder, platform, begun).encode()
        if read_content(card) != content:
            if card.exists():
                raise WrongUse(f"There is a job {begun.number} already.", "Give it another number.")
            save(card, content, based_on=None)
        return card

    def _listed(self, key: str, folder: Path) -> PlatformThere:
        from circuitmap.shelf.entry import entry_of_platform

        name = folder.name
        try:
            entry = entry_of_platform(name, self._bench(folder).platform)
        except Failure as failure:
            return PlatformThere(key, name, "", failure.message)
        return PlatformThere(key, entry.title, entry.line)

    def _found(self) -> dict[str, Path]:
        if not self.root.is_dir():
            return {}
        paths = [item.path for item in shelf_of(self.root).items if item.kind == "platform"]
        self.left_out = max(0, len(paths) - MOST_PLATFORMS)
        self._folders = {platform_key(path): self.root / path for path in paths[:MOST_PLATFORMS]}
        return self._folders

    def folder(self, key: str) -> Path:
        """Where a platform lies. Raises CannotRead for a key that none has."""
        folder = self._folders.get(key) or self._found().get(key)
        if folder is None:
            raise CannotRead("There is no such platform.")
        return folder

    def _bench(self, folder: Path) -> Bench:
        stamps = stamps_of(folder)
        kept = self._benches.get(folder)
        if kept is None or kept[0] != stamps:
            kept = self._benches[folder] = (stamps, Bench(open_platform(folder), {}))
        return kept[1]


def part_there(bench: Bench, key: str) -> dict[str, Any]:
    """One part in its circuit. Raises CannotRead for a key that no part has: the platform may have changed."""
    from circuitmap.reports.bay.boxes import part_key
    from circuitmap.reports.bay.part_there import part_values

    name = next((name for name in bench.platform.parts if part_key(name) == key), None)
    if name is None:
        raise CannotRead("There is no such part on this platform any more.")
    traced = trace(bench, name)
    return {"key": key, **part_values(bench.platform, traced.trace, traced.fed, bench.circuit.hands_off)}


def _card_text(card: Path, folder: Path, platform: Platform, begun: Begun) -> str:
    """The text of the card, read once: what it says must make sense to the intake."""
    import os

    from circuitmap.flows.job import job_from
    from circuitmap.jobs.card_writing import new_card

    where = Path(os.path.relpath(real_path(folder), real_path(card.parent))).as_posix()
    said = [(name, " ".join(text.split())) for name in INTAKE_ASKED if (text := begun.said.get(name, "")).strip()]
    lists = [(name, list(names)) for name, names in (("fitted", begun.fitted), ("absent", begun.absent)) if names]
    text = new_card([("job", begun.number), ("platform", where), *said, *lists])
    problem = next(iter(job_from(platform, text, card.name).problems), None)
    if problem is not None:
        raise WrongUse(problem.headline, problem.advice)
    return text


def platform_key(path: str) -> str:
    return hashlib.sha256(path.encode()).hexdigest()[:16]
