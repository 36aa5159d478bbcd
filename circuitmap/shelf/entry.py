"""One platform or job as the library knows it: enough to list it and to find it, and nothing about the customer."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal, NamedTuple

from circuitmap.evidence.job_card import Entry as CardEntry
from circuitmap.evidence.job_card import JobCard
from circuitmap.problems import Severity
from circuitmap.wiring.parts import OpenEnd
from circuitmap.wiring.platform import Platform


class Findable(NamedTuple):
    """A word that somebody may look for: what it is (`part`, `network`, `fault`, ...), its name, and what is said about
    it.

    A tuple, because an index of a thousand platforms holds a hundred thousand of them.
    """

    what: str
    name: str
    says: str = ""


@dataclass(frozen=True, slots=True)
class ShelfEntry:
    """`title` is the platform's or job's name, `line` one line about it; `trouble`: why it could not be read."""

    kind: Literal["platform", "job"]
    path: str
    title: str
    line: str
    findable: tuple[Findable, ...] = ()
    trouble: str = ""

    def as_json(self) -> dict[str, Any]:
        return {
            "kind": self.kind, "path": self.path, "title": self.title, "line": self.line, "trouble": self.trouble,
            "findable": self.findable,
        }  # fmt: skip

    @staticmethod
    def from_json(data: dict[str, Any]) -> "ShelfEntry":
        """Raises KeyError, TypeError or ValueError for data that is not an entry."""
        kind, path, title, line, trouble = (data[name] for name in ("kind", "path", "title", "line", "trouble"))
        found = tuple(map(Findable._make, data["findable"]))
        if kind not in ("platform", "job") or not all(type(text) is str for text in (path, title, line, trouble)):
            raise TypeError("not an entry")
        if not all(type(text) is str for item in found for text in item):
            raise TypeError("not something to be found")
        return ShelfEntry(kind, path, title, line, found, trouble)


def entry_of_platform(path: str, platform: Platform) -> ShelfEntry:
    """What there is to know of a platform on a list."""
    errors = sum(problem.severity is Severity.ERROR for problem in platform.problems)
    open_ends = sum(isinstance(part, OpenEnd) for part in platform.parts.values())
    counts = (
        (len(platform.fuses), "fuse"),
        (len(platform.loads), "load"),
        (len(platform.networks), "network"),
        (len(platform.sheets), "sheet"),
        (open_ends, "open end"),
        (errors, "error"),
    )
    years = f"{platform.years}, " if platform.years else ""
    counted = (f"{n} {what if n == 1 else f'{what}s'}" for n, what in counts if n)
    line = f"{years}{platform.supply_volts:g} V, {', '.join(counted)}"
    findable = [
        Findable("part", part.name, part.description)
        for part in platform.parts.values()
        if part.declared is not None and not isinstance(part, OpenEnd)
    ]
    findable += [Findable("number", p.part_number, p.name) for p in platform.parts.values() if p.part_number]
    findable += [Findable("network", n.name, n.description) for n in platform.networks.values()]
    findable += [Findable("sheet", s.name, s.title) for s in platform.sheets.values()]
    findable += [Findable("option", o.name, o.description) for o in platform.options.values()]
    return ShelfEntry("platform", path, platform.name or path, line, tuple(findable))


def _how_far(live: Sequence[CardEntry]) -> str:
    """How far a job has come, by its card alone; whether a log shows the repair is answered by the card itself."""
    mended = [n for n, entry in enumerate(live) if entry.mended is not None]
    if mended:
        return "logged after mending" if any(e.log for e in live[mended[-1] :]) else "open: no log after mending"
    return "open: not mended" if any(e.cause is not None for e in live) else "open"


_NEVER_LISTED = ("customer", "phone")


def entry_of_job(path: str, card: JobCard) -> ShelfEntry:
    """What there is to know of a job on a list; nothing about the customer."""
    said = {key: text.value for key, text in card.intake.items() if key not in _NEVER_LISTED}
    live = [entry for entry in card.entries if entry.struck is None]
    cause = next((e.cause.value for e in reversed(live) if e.cause is not None), "")
    mended = next((e.mended.value for e in reversed(live) if e.mended is not None), "")
    told = (f"cause: {cause}" if cause else "", f"mended: {mended}" if mended else "", _how_far(live))
    words = [said.get("vehicle", ""), said.get("complaint", ""), *told]
    findable = [Findable("fault", cause, mended)] if cause else []
    findable += [Findable("complaint", text) for key in ("complaint", "happens-when") if (text := said.get(key))]
    findable += [Findable("out", text.value) for entry in live for text in entry.out]
    findable += [Findable("code", text.value) for entry in live for text in entry.codes]
    findable += [Findable("claim", entry.claim.value) for entry in live if entry.claim is not None]
    line = ", ".join(word for word in words if word)
    return ShelfEntry("job", path, f"job {said.get('job', path)}", line, tuple(dict.fromkeys(findable)))
