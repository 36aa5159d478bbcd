"""A job as a whole: its card, the platform it belongs to, what the card says of it, and where it stands."""

import contextlib
from dataclasses import dataclass, replace
from pathlib import Path

from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.evidence.card_text import LONGEST
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import JobCard, ReadCard, read_card
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.timeline import evidence_on
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.evidence.written_time import written_time
from circuitmap.failures import CannotRead, LimitReached
from circuitmap.jobs.against_limit import against_limit
from circuitmap.jobs.back_at_once import with_what_came_back_at_once
from circuitmap.jobs.battery_renewed import is_of_the_old_one
from circuitmap.jobs.blown_told import BlownStanding, blown_on_card
from circuitmap.jobs.dead_told import DeadStanding, dead_on_card
from circuitmap.jobs.intake import Intake, intake_of
from circuitmap.jobs.known_limits import with_known_limits
from circuitmap.jobs.named_in_words import names_in
from circuitmap.jobs.renewed_before import with_what_was_renewed
from circuitmap.jobs.standing import JobStanding, standing_of
from circuitmap.plain_files import real_path
from circuitmap.problems import Problem, in_order
from circuitmap.saving import read_content
from circuitmap.source import SourceFile
from circuitmap.wiring.platform import Platform

MOST_BYTES = 4 * LONGEST + 3
"""A character takes four bytes at most, a byte order mark three."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """Everything that is known of one job. `circuit` is that of its platform, `hands_off` what nobody may touch there;
    `problems` are those of the card."""

    platform: Platform
    circuit: Circuit
    card: JobCard
    evidence: Evidence
    intake: Intake
    standing: JobStanding
    dead: DeadStanding
    blown: BlownStanding
    hands_off: HandsOffMap
    problems: tuple[Problem, ...]

    @property
    def drained(self) -> tuple[Intake, Reading | None]:
        """The battery whose time to flat is told, and what it gave when it was last read before anything was mended:
        that which was taken in by name, or else the one that the complaint names, or else the one that gives most."""
        total = self.standing.totals.get(self.intake.of or self._complained_of, self.standing.total)
        first = self.standing.came_with
        total = first if first is not None and (total is None or total.place == first.place) else total
        new = next((one.battery for one in self.standing.renewed), "")
        battery = battery_read_at(self.platform, total.place) if total is not None else self.intake.of or new
        return self.intake.at(battery), total

    @property
    def _complained_of(self) -> str:
        """The one battery of several that were read which the complaint names; empty if it names none, or more."""
        written = self.card.intake.get("complaint")
        if written is None or len(self.standing.totals) < 2:
            return ""
        its = [name for name in names_in(self.platform, written.value, ()) if name in self.standing.totals]
        return its[0] if len(its) == 1 else ""

    @property
    def others_drained(self) -> tuple[tuple[str, Intake, Reading], ...]:
        """The other batteries that gave more than they may when last read before mending: what was written down of a
        battery was written of the first, so each is as its sheet has it."""
        _, total = self.drained
        first = battery_read_at(self.platform, total.place) if total is not None else ""
        limits = self.standing.limits
        return tuple(
            (name, replace(self.intake, of=first).at(name), reading)
            for name, reading in self.standing.totals.items()
            if name != first and against_limit(reading, limits.at(reading.place)) == "above"
        )


def job_of(platform: Platform, source: SourceFile) -> Job:
    """Read a card against its platform."""
    return job_on(platform, *read_card(source))


def job_on(
    platform: Platform, card: JobCard, problems: tuple[Problem, ...] = (), circuit: Circuit | None = None
) -> Job:
    """What a card amounts to; `problems` are those found while reading it. `circuit` is the platform's, if it exists
    already."""
    circuit = circuit if circuit is not None else circuit_of(platform)
    evidence, more = evidence_on(platform, card)
    evidence = with_what_came_back_at_once(platform, with_what_was_renewed(platform, card, evidence), circuit)
    evidence = with_known_limits(lambda: circuit, evidence)
    intake = intake_of(platform, card)
    hands_off = circuit.hands_off
    unread = bool(problems or more or intake.problems)
    standing = standing_of(platform, card, evidence, circuit, unread=unread)
    renewed = standing.renewed
    if any(intake.of in ("", one.battery) for one in renewed):
        intake = intake.renewed()
    intake = intake.with_rest(check for check in evidence.batteries if not is_of_the_old_one(check, renewed))
    dead, blown = dead_on_card(circuit, card), blown_on_card(circuit, card)
    found = in_order([*problems, *more, *intake.problems, *standing.problems, *dead.problems, *blown.problems])
    return Job(
        platform=platform, circuit=circuit, card=card, evidence=evidence, intake=intake, standing=standing, dead=dead,
        blown=blown,
        hands_off=hands_off, problems=found,
    )  # fmt: skip


def card_source(path: Path) -> SourceFile:
    """A card's text. Raises CannotRead for a file that is missing or is not UTF-8, LimitReached for one that is too
    long; that is noticed before it is read."""
    with contextlib.suppress(OSError):
        if path.stat().st_size > MOST_BYTES:
            raise _too_long(path)
    content = read_content(path)
    if content is None:
        raise CannotRead(f"There is no card {path}.")
    return source_of(path, content)


def source_of(path: Path, content: bytes) -> SourceFile:
    """The text in a card's bytes."""
    if len(content) > MOST_BYTES:
        raise _too_long(path)
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise CannotRead(f"{path}, line {line}: not written in UTF-8.", "Save the card as UTF-8.") from None
    if len(text) > LONGEST:
        raise _too_long(path)
    return SourceFile(path.name, text)


def _too_long(path: Path) -> LimitReached:
    return LimitReached(f"{path} is longer than {LONGEST:,} characters.", "A job card is one job; begin another card.")


def read_within_limits(source: SourceFile) -> ReadCard:
    """Like `read_card`, but raises LimitReached where a limit was hit, because nothing of such a card was read."""
    card, problems = read_card(source)
    _within_limits(problems)
    return card, problems


def _within_limits(problems: tuple[Problem, ...]) -> None:
    beyond = next((problem for problem in problems if problem.code == "card-too-long"), None)
    if beyond is not None:
        raise LimitReached(f"{beyond.span.place()}: {beyond.headline}", beyond.advice)


def platform_folder(path: Path, card: JobCard, problems: tuple[Problem, ...] = ()) -> Path:
    """The folder of the platform that a card names, relative to the card. Raises CannotRead if it names none,
    LimitReached where the card is too long to be read."""
    _within_limits(problems)
    named = card.intake.get("platform")
    if named is None:
        where = f" ({problems[0].span.place()}: {problems[0].headline})" if problems else ""
        raise CannotRead(
            f"{path} does not say which platform it belongs to{where}.",
            "Add a line such as platform: ../truck, the folder as seen from the card.",
        )
    return real_path(path.parent / named.value)


def times_of(card: JobCard) -> dict[int, float]:
    """The minutes of the day of each entry, keyed by its place and that of every reading in it."""
    times: dict[int, float] = {}
    last: float | None = None
    for entry in card.entries:
        written = written_time(entry.at.value) if entry.at is not None else None
        last = float(int(written.minutes)) if written is not None else last
        if last is None:
            continue
        times[entry.span.start] = last
        texts = [pair.value for pair in (*entry.read, *entry.log)]
        for text in (*texts, *(its for its in (entry.total, entry.change) if its is not None)):
            times[text.span.start] = last
    return times
