"""The desk: cards kept open for several people at once, with no network in it.

What is sent is written with one save, each entry where its time belongs. Ids on the card itself tell what came twice,
so a delivery may be repeated after any failure. An answer is worked out once for each state of card and platform.
"""

import gc
import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import cached_property
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING, Any

from circuitmap.evidence.job_card import ReadCard, read_card
from circuitmap.failures import CannotRead, Failure, WrongUse
from circuitmap.flows.case_picture import volts_picture
from circuitmap.flows.counts_otherwise import moved_by
from circuitmap.flows.dead import dead_on
from circuitmap.flows.delivering import delivered, reader_of, typed_at
from circuitmap.flows.job import card_bytes, diagnosis_of
from circuitmap.flows.logs_beside import keep_log
from circuitmap.flows.photos import is_photo_there, keep_photo, photo_of_entry, photos_of
from circuitmap.flows.platforms_there import part_there
from circuitmap.flows.questions import Bench, open_platform, worksheet_values
from circuitmap.flows.sent import Batch, Delivered, OnShelf, Sent
from circuitmap.flows.stamps import stamps_of
from circuitmap.flows.taps_ahead import if_so, taps_of
from circuitmap.flows.volts_there import bench_of, volts_on
from circuitmap.flows.without_its_customer import without_its_customer
from circuitmap.jobs.card_in_time import with_strike_of
from circuitmap.jobs.card_writing import with_strike
from circuitmap.jobs.job import Job, card_source, job_on, platform_folder, source_of
from circuitmap.jobs.since_mending import SINCE
from circuitmap.saving import read_content, update
from circuitmap.shelf.shelved import CARD_ENDINGS, shelf_of

if TYPE_CHECKING:
    from circuitmap.dead.known import KnownInterruptions
    from circuitmap.reports.bay.answer import FuseBoxes
    from circuitmap.reports.pages.report import ReportNight

MOST_IN_A_BATCH = 50
"""Entries that are sent at once."""
LONGEST_NAME = 40
"""Characters of the name of whoever writes."""
AS_IF_AT_ONCE_MS = 60_000
"""Of entries that a phone typed within this time, the order is kept even where its line was slow (judgement)."""
MOST_JOBS = 300
"""Cards that the shelf lists."""


@dataclass(frozen=True)
class _Opened:
    """A card and its platform as they were at one revision."""

    revision: str
    read: ReadCard
    bench: Bench
    boxes: "dict[str, FuseBoxes]"
    """By equipment; they belong to the platform and go on to its next revision."""
    written: Job | None = None
    """The job as it was when the desk wrote this text: what was worked out then need not be again."""

    @cached_property
    def job(self) -> Job:
        if self.written is not None and self.written.circuit is self.bench.circuit:
            return self.written
        return job_on(self.bench.platform, *self.read, self.bench.circuit)

    @cached_property
    def shown(self) -> Job:
        """The job without its customer: nothing else leaves the desk."""
        return without_its_customer(self.job)


@dataclass
class Desk:
    """A card, or a folder with cards. Several threads may ask; one writes at a time, because `saving` sees to that."""

    root: Path
    _opened: dict[str, _Opened] = field(default_factory=dict)
    _benches: "dict[Path, tuple[str, Bench, dict[str, FuseBoxes]]]" = field(default_factory=dict)
    _answers: dict[str, tuple[str, dict[str, Any]]] = field(default_factory=dict)
    _ahead: dict[str, tuple[str, dict[str, Any]]] = field(default_factory=dict)
    _interrupted: "dict[str, KnownInterruptions]" = field(default_factory=dict)
    _paths: dict[str, Path] = field(default_factory=dict)
    _latest: dict[tuple[str, str], tuple[int, datetime]] = field(default_factory=dict)
    _written: dict[str, tuple[bytes, ReadCard, Job]] = field(default_factory=dict)
    _lock: Lock = field(default_factory=Lock)
    counted: int = 0
    """How many answers were worked out."""
    left_out: int = 0
    """How many cards are there beyond those that the shelf lists."""

    # ---- what there is ----

    def cards(self) -> dict[str, Path]:
        """All cards, by the key under which each is asked for: nobody sends the name of a file."""
        if self.root.is_file() or self.root.suffix in CARD_ENDINGS:
            paths = [self.root]
        else:
            items = [item.path for item in shelf_of(self.root).items if item.kind == "job"]
            paths = [self.root / path for path in items[:MOST_JOBS]]
            self.left_out = max(0, len(items) - MOST_JOBS)
        with self._lock:
            self._paths = {_key_of(self.root, path): path for path in paths}
            return dict(self._paths)

    def shelf(self) -> list[OnShelf]:
        """The jobs, open ones first; files that are not job cards are nobody's concern."""
        found = [entry for key, path in self.cards().items() if (entry := self._on_shelf(key, path)) is not None]
        return sorted(found, key=lambda entry: (entry.closed, entry.title))

    def _on_shelf(self, key: str, path: Path) -> OnShelf | None:
        from circuitmap.reports.job.dead_told_text import is_put_right, verdict_of

        try:
            job = self._open(key).shown
        except Failure as failure:
            try:
                card, _ = read_card(card_source(path))
            except Failure:
                return None
            return OnShelf(key, path.stem, "", "", False, failure.message) if card.intake or card.entries else None
        said = job.card.intake
        title = f"job {said['job'].value}" if "job" in said else "job"
        words = [said[name].value for name in ("vehicle", "complaint") if name in said]
        closed = job.standing.stage in ("repaired", "renewed", "no-draw-mended") or is_put_right(job)
        return OnShelf(key, title, ", ".join(words), verdict_of(job), closed)

    # ---- one job ----

    def revision(self, key: str) -> str:
        """What state card and platform are in: a hash of both, so that nothing has to be remembered over a restart."""
        return self._open(key).revision

    def answer(self, key: str) -> dict[str, Any]:
        """The newest answer, worked out once for each revision."""
        from circuitmap.reports.bay.answer import bay_answer

        opened = self._open(key)
        known = self._answers.get(key)
        if known is not None and known[0] == opened.revision:
            return known[1]
        job, boxes = opened.shown, self._boxes_of(opened)
        answer = {
            "revision": opened.revision,
            **bay_answer(job, self._diagnosis(job), self._dead(key, job), boxes, reader_of(job)),
        }
        self.counted += 1
        self._answers[key] = (opened.revision, answer)
        return answer

    def _boxes_of(self, opened: _Opened) -> "FuseBoxes":
        """The fuse boxes of a car with this equipment: no entry changes them but one that speaks of the equipment."""
        options = opened.shown.evidence.options
        name = repr(sorted(options.items()))
        boxes = opened.boxes.get(name)
        if boxes is None:
            boxes = opened.boxes[name] = _boxes_on(replace(opened.bench, fitting=options))
            # The states that were tried for it refer to each other, and the program looks for such seldom: they would
            # stay, half as much as all that is kept, and the diagnosis come on top of them.
            gc.collect()
        return boxes

    def ahead(self, key: str) -> dict[str, Any]:
        """What follows from each outcome of each step on offer, by the outcome's key; with the revision it belongs
        to. It takes as long as several answers: it is given up, with what there is so far, once card or platform have
        changed."""
        from circuitmap.reports.bay.answer import short_answer

        opened = self._open(key)
        known = self._ahead.get(key)
        if known is not None and known[0] == opened.revision:
            return known[1]
        follows: dict[str, Any] = {}
        for name, lines in taps_of(self.answer(key)):
            if self._open(key) is not opened:
                return {"revision": opened.revision, "follows": follows}
            then = if_so(opened.job, opened.read, lines)
            if then is not None:
                follows[name] = short_answer(then, self._diagnosis(then), self._dead(key, then), reader_of(then))
        ahead = {"revision": opened.revision, "follows": follows}
        self._ahead[key] = (opened.revision, ahead)
        return ahead

    def _dead(self, key: str, job: Job) -> Any:
        """Why what is dead does not work; what does not depend on the probe is kept by job."""
        if job.dead.stage != "open":
            return None
        from circuitmap.dead.known import KnownInterruptions

        return dead_on(job, self._interrupted.setdefault(key, KnownInterruptions()))

    def _diagnosis(self, job: Job) -> Any:
        if job.standing.stage in (*SINCE, "proven", "no-draw"):
            return None
        return diagnosis_of(job) if job.evidence.readings else None

    def report(self, key: str) -> bytes:
        """The report as a page, without the customer; none of a card with problems: what could not be read may be the
        customer."""
        from circuitmap.flows.page import job_report

        opened = self._open(key)
        if opened.shown.problems:
            raise CannotRead("The card cannot be read everywhere: mend it first (circuitmap card show).")
        return job_report(
            opened.shown, "html", tuple(photos_of(self._path(key), opened.read[0])), self._nights(key, opened)
        )

    def _nights(self, key: str, opened: _Opened) -> "tuple[ReportNight, ...]":
        """The nights' logs, drawn; nothing of that is loaded where there are none."""
        if not any(entry.logged for entry in opened.read[0].entries):
            return ()
        from circuitmap.flows.logged_pictures import nights_of

        return tuple(nights_of(self._path(key), opened.job, opened.shown.card))

    def picture(self, key: str) -> bytes:
        """The drawing of this case as SVG; empty while nothing was found to draw."""
        from circuitmap.flows.case_picture import case_picture

        return case_picture(self._open(key).shown)

    def part(self, key: str, part: str) -> dict[str, Any]:
        """One part of the job's platform in its circuit, asked for by its key, for a car with this equipment; and its
        points, at which volts can be asked for."""
        from circuitmap.reports.bay.volts_there import point_values

        bench = bench_of(self._open(key).shown)
        found = part_there(bench, part)
        return {**found, **point_values(bench.circuit, found["name"])}

    def volts(self, key: str, point: str, position: str) -> dict[str, Any]:
        """What to read at a point, with the key in this position (empty: as the card has it)."""
        from circuitmap.reports.bay.volts_there import volts_values

        job = self._open(key).shown
        return volts_values(job.platform, volts_on(job, point, position))

    def volts_drawn(self, key: str, point: str, position: str) -> bytes:
        """The same on the wiring diagram, as SVG."""
        return volts_picture(self._open(key).shown, point, position)

    def places(self, key: str) -> dict[str, Any]:
        """The names at which something can be seen on this car: what is hands-off is not among them."""
        from circuitmap.reports.bay.seen_there import place_values

        opened = self._open(key)
        return place_values(opened.bench.circuit, opened.shown.hands_off, opened.shown.evidence.options)

    def photo(self, key: str, its_id: str) -> bytes:
        """The photo of an entry."""
        return photo_of_entry(self._path(key), self._open(key).read[0], its_id)

    # ---- writing ----

    def keep_photo(self, key: str, its_id: str, content: bytes) -> None:
        """Write a photo beside the card; the entry with this id is sent after it."""
        keep_photo(self._path(key), its_id, content)

    def keep_log(self, key: str, its_id: str, content: bytes) -> str:
        """Write a recorder's file beside the card; the line that names it is sent after it."""
        return keep_log(self._path(key), its_id, content)

    def add(self, key: str, by: str, batch: Sequence[Sent], sent_ms: int, now: datetime | None = None) -> Batch:
        """Write what was sent, with one save for all. `sent_ms` is the device's clock when it sent the batch: times are
        moved by what it differs from `now`, so a wrong clock does no harm."""
        if len(batch) > MOST_IN_A_BATCH:
            raise WrongUse(f"{len(batch)} entries at once; {MOST_IN_A_BATCH} are the most.")
        now = now if now is not None else datetime.now()
        opened, path = self._open(key), self._path(key)
        name = " ".join(by.split())[:LONGEST_NAME]
        taken: list[Delivered] = []
        read = opened.read
        before = after = opened.job

        def change(content: bytes | None) -> bytes:
            nonlocal before, after, read
            if content is None:
                raise CannotRead("The card is not there any more.")
            source = source_of(path, content)
            if source != opened.read[0].source:
                read = read_card(source)
                before = job_on(opened.bench.platform, *read, opened.bench.circuit)
            after = before
            for sent in batch:
                if sent.photo and not is_photo_there(path, sent.id):
                    taken.append(Delivered(sent.id, "refused", "Its photo is not there: take it again."))
                    continue
                at = self._in_its_order(key, name, sent.at_ms, typed_at(sent.at_ms, sent_ms, now))
                result, after, read = delivered(after, read, name, sent, at, now, path.parent)
                taken.append(result)
                if result.outcome == "kept":
                    self._latest[key, name] = (sent.at_ms, at)
            found = card_bytes(after.card.source.text, content)
            self._written[key] = found, read, after
            return found

        update(path, change)
        return Batch(tuple(taken), tuple(moved_by(before, after)))

    def _in_its_order(self, key: str, name: str, at_ms: int, at: datetime) -> datetime:
        """When something was typed, but not before what the same phone typed before it: how long the line takes is
        different each time, and `out` and what came of it may be a second apart."""
        before_ms, before = self._latest.get((key, name), (at_ms + 1, at))
        return max(at, before) if 0 <= at_ms - before_ms < AS_IF_AT_ONCE_MS else at

    def strike(self, key: str, reason: str, *, its_id: str = "", number: int = 0, says: str = "") -> None:
        """Strike an entry by its id; one that has none by its number, if it still says what it said there: numbers
        shift when late entries arrive."""
        from circuitmap.reports.job.card_text import entry_words

        path = self._path(key)

        def change(content: bytes | None) -> bytes:
            read = read_card(source_of(path, content or b""))
            if its_id:
                after = with_strike_of(read, its_id, reason)
            else:
                entries = read[0].entries
                if not 1 <= number <= len(entries) or entry_words(entries[number - 1]) != says:
                    raise WrongUse("The card has changed: look at the entry again before it is struck.")
                after = with_strike(read, number, reason)
            return card_bytes(after[0].source.text, content)

        update(path, change)

    # ---- opening ----

    def _path(self, key: str) -> Path:
        path = self._paths.get(key) or self.cards().get(key)
        if path is None:
            raise CannotRead("There is no such job.")
        return path

    def _open(self, key: str) -> _Opened:
        """The card and its platform as they are now; what did not change since is not read again."""
        path = self._path(key)
        content = read_content(path)
        if content is None:
            raise CannotRead("The card is not there any more.")
        known = self._opened.get(key)
        written = self._written.get(key)
        if written is not None and written[0] == content:
            read = written[1]
        else:
            written, source = None, source_of(path, content)
            read = known.read if known is not None and known.read[0].source == source else read_card(source)
        folder = platform_folder(path, *read)
        stamps = stamps_of(folder)
        revision = hashlib.sha256(content + stamps.encode()).hexdigest()[:20]
        if known is not None and known.revision == revision:
            return known
        with self._lock:
            kept = self._benches.get(folder)
            if kept is None or kept[0] != stamps:
                kept = self._benches[folder] = (stamps, Bench(open_platform(folder), {}), {})
            opened = _Opened(revision, read, *kept[1:], written[2] if written is not None else None)
            self._opened[key] = opened
        return opened


def _boxes_on(bench: Bench) -> "FuseBoxes":
    from circuitmap.power.expected import expected_draw
    from circuitmap.reports.bay.answer import FuseBoxes
    from circuitmap.reports.bay.asleep_there import asleep_at_fuses

    asleep = asleep_at_fuses(bench.feeding, expected_draw(bench.circuit, bench.fitting))
    return FuseBoxes(worksheet_values(bench), asleep)


def _key_of(root: Path, path: Path) -> str:
    where = path.name if path == root else path.relative_to(root).as_posix()
    return hashlib.sha256(where.encode()).hexdigest()[:16]
