"""Where the job stands: what is proven, what is left, and whether the vehicle can go home."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Literal

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.circuit.switched import Switching, switching_of
from circuitmap.diagnosis.nothing_seen import NothingSeen, nothing_seen
from circuitmap.evidence.changed_itself import ChangedItself, changed_and_not_mended
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import JobCard
from circuitmap.evidence.log_states import events_apart
from circuitmap.evidence.logs import Log
from circuitmap.evidence.no_difference import with_all_in
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.rhythm_in_words import happens_when_on
from circuitmap.evidence.written_names import batteries_of
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.jobs.after_mending import NOTHING_YET, AfterMending, seen_after_mending
from circuitmap.jobs.against_limit import against_limit
from circuitmap.jobs.as_it_happens import as_it_happens
from circuitmap.jobs.battery_fine import NOTHING_CHECKED, BatterySoFar, battery_so_far
from circuitmap.jobs.battery_renewed import BatteryJob, Renewed, battery_job, renewed_on
from circuitmap.jobs.before_mending import BeforeIt, before_mending
from circuitmap.jobs.behind_it_all import BehindItAll
from circuitmap.jobs.causes import causes_on
from circuitmap.jobs.code_stories import CodeStory, codes_on
from circuitmap.jobs.found_cause import FoundCause
from circuitmap.jobs.found_in_it import not_searched
from circuitmap.jobs.intake import chemistry_on
from circuitmap.jobs.left_to_read import batteries_unread, may_be_read, read_again, read_without
from circuitmap.jobs.limits import Limits, limits_of
from circuitmap.jobs.mendings import Mending, last_found, mendings_on
from circuitmap.jobs.no_draw_cause import NoDrawCause, no_draw_cause
from circuitmap.jobs.old_tries import OldTries
from circuitmap.jobs.opening_contacts import OpeningContacts
from circuitmap.jobs.own_clock import OwnClock, own_clocks, shown_by_logs, told_by_the_clock
from circuitmap.jobs.part_tests import PartTest, tests_on
from circuitmap.jobs.rests_on import RestsOn, rests_on
from circuitmap.jobs.staying import as_found, as_mended
from circuitmap.jobs.still_out import still_out as still_out_on
from circuitmap.jobs.switched_off import as_it_stood, is_switched_off, own_shares
from circuitmap.jobs.tests_seen import tests_seen
from circuitmap.jobs.totals import had_gone, latest_at_each, total_of
from circuitmap.jobs.trying import TryVerdict, verdicts_on
from circuitmap.jobs.under_load import only_what_is_on_under_load
from circuitmap.jobs.what_leads import goes_on, leading_of
from circuitmap.problems import Problem
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.platform import Platform

Stage = Literal[
    "not-read",
    "nothing-seen",
    "watch",
    "no-draw",
    "cannot-tell",
    "draws",
    "involved",
    "proven",
    "mended",
    "not-repaired",
    "repaired",
    "renewed",
    "no-draw-mended",
]
"""`nothing-seen`: nobody read what the batteries give, and nothing draws at the fuses, of which all that are live were
read, or what feeds them. `cannot-tell`: the draw is above the limit by no more than the meter can be off, or above
what is known to flow with what was switched on, which may take that. `mended`: not yet shown to be repaired.
`renewed`: nothing drew too much, the battery was renewed, and the new one is fine. `no-draw-mended`: the same of
another cause that is no draw, and what was read since shows it right."""
DRAWING: tuple[Stage, ...] = ("draws", "involved", "proven")
"""The stages in which too much is drawn."""

WATCHED_MINUTES = 60.0
"""A draw is held against the mean of at least an hour (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobStanding:
    """`total` is the latest reading of the whole current (of two batteries in series the minus post's, if both posts
    were read together), asleep, nothing out, before mending. `limits` are what the draw is held to at each battery,
    `switching` is what each part turns on and off, `fed_from` what is on no sheet, with the part that feeds it.
    `locked`: the card says when the vehicle was locked, `door_open` that a door is not known to be shut. `after` is
    what was seen after mending, `watched` how many minutes each battery was logged before it. `drew_at` is the battery
    post whose night's log can show a repair, `mended_entry` the number of the entry that says what was done, counted
    from 1. `still_out` is what is out at the end of the card, `taken_in` what is taken to be in again because the card
    says that it was renewed or put right, `taken_away` what is on no sheet and stays out for good, `put_back` all else
    that was out, `read_without` what was read last at each battery since mending while something still out was out;
    `tries` were made before mending, `tries_since` after it; `unread` are batteries that were not read while others
    were, `unlogged` those that were read and not logged long enough, while those in `logged` were, each with its
    minutes. `totals` are the latest readings at each battery before mending. `found` is what was found to be the cause,
    by the card, `renewed` are the batteries that were renewed, `battery_job` and `no_draw_cause` are the job as one of
    a battery, or of another cause without a draw, where it is one; `happens_when` is what the driver says of that,
    `as_it_happens` whether it was so in the log that shows no draw; None where he says nothing, or there is no such
    log. `own_clock` is what comes and goes in the logs that count and is a part's own, `rests_on` what must run for the
    latest readings to be normal, and nobody saw. `early` are readings that say nothing of the parked car, `read_again`
    those of them, since it was mended, at a place where no later reading does. `changed`: what changed with nothing
    done by the card. `gone`: what was read last, where the draw has gone although nothing was mended. `battery`:
    what the checks of the batteries came to, before one was renewed. `seen`: what
    was read at other places, while nobody read a battery and nothing draws.
    """

    stage: Stage
    tries: tuple[TryVerdict, ...]
    tests: tuple[PartTest, ...]
    total: Reading | None
    limits: Limits
    switching: Switching
    fed_from: Mapping[str, str] = field(default_factory=dict)
    tries_since: tuple[TryVerdict, ...] = ()
    cause: str = ""
    mended: str = ""
    after: AfterMending = NOTHING_YET
    watched: float = 0.0
    drew_at: str = ""
    mended_entry: int = 0
    still_out: tuple[str, ...] = ()
    taken_in: tuple[str, ...] = ()
    taken_away: tuple[str, ...] = ()
    put_back: tuple[str, ...] = ()
    own_clock: tuple[OwnClock, ...] = ()
    rests_on: tuple[RestsOn, ...] = ()
    read_without: tuple[Reading, ...] = ()
    unread: tuple[str, ...] = ()
    unlogged: tuple[str, ...] = ()
    logged: tuple[tuple[str, float], ...] = ()
    locked: bool = True
    door_open: bool = False
    early: tuple[Reading, ...] = ()
    read_again: tuple[Reading, ...] = ()
    totals: Mapping[str, Reading] = field(default_factory=dict)
    found: FoundCause | None = None
    mendings: tuple[Mending, ...] = ()
    renewed: tuple[Renewed, ...] = ()
    battery_job: BatteryJob | None = None
    no_draw_cause: NoDrawCause | None = None
    happens_when: str = ""
    as_it_happens: Answer | None = None
    gone: Reading | None = None
    battery: BatterySoFar = NOTHING_CHECKED
    seen: NothingSeen | None = None
    codes: tuple[CodeStory, ...] = ()
    changed: tuple[ChangedItself, ...] = ()
    problems: tuple[Problem, ...] = ()

    @property
    def limit(self) -> float:
        """The platform's limit in A, or a usual one."""
        return self.limits.own

    @property
    def mended_well(self) -> tuple[Mending, ...]:
        """What was mended before the last thing, and that too where the vehicle still draws, but less by its share."""
        return self.mendings if self.is_mended_in_part else self.mendings[:-1]

    @property
    def came_with(self) -> Reading | None:
        """The whole draw as the vehicle came in: of several things that were mended one after the other, before the
        first of them; that is what the complaint is held against."""
        first = self.mendings[0].before if len(self.mendings) > 1 else None
        if first is None or first.amps is None or (self.total is not None and first.place != self.total.place):
            return self.total
        return first if self.total is None or first.amps > (self.total.amps or 0.0) else self.total

    @property
    def is_mended_in_part(self) -> bool:
        """Whether it still draws, but less by what had gone with the last thing mended: something else draws too."""
        return self.stage == "not-repaired" and any(one.its_share_is_gone for one in self.mendings[-1:])

    @property
    def asleep_soon(self) -> bool:
        """Whether all there is of the battery was read before the vehicle could be asleep: then it is left alone."""
        posts = (battery_read_at(self.limits.platform, reading.place) for reading in self.read_again)
        return self.stage == "not-read" and any(posts)

    @property
    def night(self) -> Reading | None:
        """The night's log that shows the vehicle repaired."""
        return self.after.reading if self.stage == "repaired" else None

    @property
    def leading(self) -> TryVerdict | None:
        """The try that says most: a proven one that ends the draw, or else the last with an involved part, or one that
        is proven and leaves something to be hunted."""
        return leading_of(self.tries, self.limits)

    @property
    def in_hand(self) -> TryVerdict | None:
        """The try that is still to be proven, or was: of a vehicle on which something was mended only one made since,
        while that still draws."""
        if self.stage == "not-repaired":
            return leading_of(self.tries_since, self.limits)
        return None if self.mended else self.leading

    @property
    def is_proven_now(self) -> bool:
        """Whether what is in hand is proven, and nothing besides is left to be hunted."""
        return self.in_hand is not None and self.in_hand.verdict == "proven" and not goes_on(self.in_hand, self.limits)


def standing_of(
    platform: Platform, card: JobCard, evidence: Evidence, circuit: Circuit | None = None, unread: bool = False
) -> JobStanding:
    """Judge a card as far as it has come; the platform's circuit is worked out here if not given. `unread`: parts of
    the card could not be read; these might refute a repair."""
    circuit = circuit if circuit is not None else circuit_of(platform)
    hands_off = circuit.hands_off
    added = {part.name: part.fed_from for part in evidence.added}
    tests, problems = tests_on(platform, card, added)
    as_told = limits = limits_of(circuit, evidence)
    live = [entry for entry in card.entries if entry.struck is None]
    causes = causes_on(platform, live)
    cause = causes[-1].words
    mending = next((e for e in reversed(live) if e.mended is not None), None)
    mended = mending.mended.value if mending is not None and mending.mended is not None else ""
    after_mending = mending.span.start if mending is not None else None
    came_in = evidence if after_mending is None else evidence.told_between(0, after_mending)
    before = list(came_in.readings)
    tries_before = [t for t in evidence.tries if not _after(t.after, after_mending)]
    behind = BehindItAll(circuit, evidence)
    period = events_apart(before)
    contacts, old = OpeningContacts(circuit, evidence), OldTries(circuit, evidence)
    verdicts = partial(
        verdicts_on, added=added, feeds_all=behind.goes_with, stops_at_once=behind.stops_at_once,
        keeps_nobody_awake=behind.keeps_nobody_awake,
    )  # fmt: skip
    tests_told = (*tests_seen(circuit, came_in, tries_before), *tests)
    tries = old.judged(contacts.judged(verdicts(platform, tries_before, hands_off, tests_told, period, before)))
    tries = own_shares(circuit, came_in, tries, as_told)
    clocks = shown_by_logs(circuit, evidence, own_clocks(platform, before, evidence.options, evidence.absent), before)
    told = told_by_the_clock(not_searched(platform, tries, evidence.found), clocks)
    tries = only_what_is_on_under_load(told, behind.is_off_at_rest)
    if any(one.verdict == "own-share" and is_switched_off(came_in, one) for one in tries):
        came_in, limits = as_it_stood(circuit, came_in, as_told)
        before = list(came_in.readings)
    as_if_in = with_all_in(platform, before, tries_before, lambda _place, _out: False)  # posts hang on nothing
    asleep = [r for r in as_if_in if battery_read_at(platform, r.place) and not r.without and r.speaks == "parked"]
    drawing = [r for r in asleep if not any(its.covers(r.span) for its in evidence.gone)] or asleep
    total = total_of(platform, card, drawing, limits)
    logged = _watched(platform, asleep)
    watched = min(logged.values(), default=0.0)
    enough = any(minutes >= WATCHED_MINUTES for minutes in logged.values())
    drew_at = _where_it_drew(platform, tries, total)
    still_out, taken_in, put_back, taken_away = still_out_on(platform, live, tuple(added))
    mended_now, held_to = evidence, limits
    if after_mending is not None:
        mended_now, held_to = as_mended(circuit, evidence, after_mending, as_told, taken_away, (cause, mended), tries)
    else:
        held_to = as_found(circuit, evidence, limits, tries)
    since = list(mended_now.readings) if after_mending is not None else []
    locked = any(entry.state is not None and entry.state.value == "locked" for entry in live)
    totals = latest_at_each(platform, card, drawing)
    above = BeforeIt(before, tries_before, tries, totals, live)
    was = before_mending(platform, above, limits, locked, behind.fed_from)
    after = seen_after_mending(platform, since, held_to, was, evidence.options, evidence.absent)
    if after.outcome == "repaired" and (unread or problems):
        after = replace(after, outcome="cannot-tell", why="unread")
    so = as_it_happens(card, (r for r in (asleep if mending is None else since) if r.log is not None))
    if after.outcome == "repaired" and so == Answer.NO:
        after = replace(after, outcome="not-shown", why="not-as-it-happens", shown=())
    renewed = renewed_on(platform, live)
    its_battery = battery_job(renewed, evidence.batteries, tries, totals, limits, after, chemistry_on(card))
    if its_battery is not None and (unread or problems):
        its_battery = its_battery._replace(shown="unread")
    no_draw, kind = None, chemistry_on(card)
    if after_mending is not None and its_battery is None:
        no_draw = no_draw_cause(cause, after_mending, evidence.batteries, tries, totals, limits, after, kind)
    if no_draw is not None and (unread or problems):
        no_draw = no_draw._replace(shown="unread")
    unread_batteries = batteries_unread(platform, evidence, asleep)
    seen = nothing_seen(circuit, came_in) if total is None else None
    stage = _stage(tries, total, limits if mended else held_to, 0.0 if unread_batteries else watched, seen)
    quiet = (*after.quiet, *after.shown) if mended else () if stage in DRAWING else tuple(totals.values())
    tries_since: tuple[TryVerdict, ...] = ()
    as_it_was = replace(evidence, readings=(*before, *since))
    if mending is not None:
        tests_since, _ = tests_on(platform, replace(card, entries=card.entries[card.entries.index(mending) :]), added)
        its = [t for t in evidence.tries if _after(t.after, after_mending)]
        tests_since = (*tests_seen(circuit, mended_now, its), *tests_since)
        tries_since = old.judged(contacts.judged(verdicts(platform, its, hands_off, tests_since, None, since)))
    mendings = mendings_on(circuit, card, as_it_was, tries, tests)
    return JobStanding(
        stage=_after_stage(after, still_out, its_battery, no_draw) if mended else stage,
        tries=tries, tries_since=tries_since, tests=tests, total=total, limits=held_to,
        switching=switching_of(circuit, evidence.options, evidence.absent),
        fed_from=added,
        cause=cause, mended=mended, after=after, watched=watched, still_out=still_out, drew_at=drew_at,
        rests_on=rests_on(limits, evidence, quiet),
        own_clock=own_clocks(platform, since, evidence.options, evidence.absent) if mended else clocks,
        taken_in=taken_in, taken_away=taken_away, put_back=put_back,
        read_without=read_without(platform, since, still_out),
        mended_entry=card.entries.index(mending) + 1 if mending is not None else 0,
        unread=unread_batteries,
        unlogged=tuple(its for its, minutes in logged.items() if enough and minutes < WATCHED_MINUTES),
        logged=tuple((its, minutes) for its, minutes in logged.items() if minutes >= WATCHED_MINUTES),
        locked=locked, door_open=evidence.door_open, totals=totals,
        found=last_found(circuit, (cause, mended), evidence, tries, tests, after, mendings) if mended else None,
        mendings=mendings, renewed=renewed, battery_job=its_battery,
        no_draw_cause=no_draw,
        as_it_happens=so,
        happens_when=happens_when_on(card),
        early=tuple(r for r in evidence.readings if r.speaks != "parked" and not r.without),
        read_again=tuple(
            r for r in read_again(mended_now if mended else evidence) if may_be_read(platform, hands_off, r.place)
        ),
        gone=had_gone(evidence, asleep, total), codes=codes_on(evidence),
        battery=NOTHING_CHECKED if renewed else battery_so_far(evidence.batteries, totals, kind, live),
        seen=seen,
        changed=changed_and_not_mended(platform, card, evidence.readings), problems=problems,
    )  # fmt: skip


def _after(reading: Reading | None, mended: int | None) -> bool:
    """Whether a reading stands on the card below the entry that says what was mended."""
    return mended is not None and reading is not None and reading.span is not None and reading.span.start > mended


def _stage(
    tries: tuple[TryVerdict, ...], total: Reading | None, limits: Limits, watched: float, seen: NothingSeen | None
) -> Stage:
    """How far it has come before anything was mended."""
    kinds = {one.verdict for one in tries}
    if any(one.verdict == "proven" and not goes_on(one, limits) for one in tries):
        return "proven"
    if kinds & {"proven", "involved"}:
        return "involved"
    if total is None:
        return "nothing-seen" if seen is not None and seen.is_whole else "not-read"
    shown = against_limit(total, limits.at(total.place))
    if shown == "above" or kinds - {"cleared", "cannot-tell", "own-clock"} or (tries and shown != "within"):
        return "draws"
    if shown != "within" or limits.beyond_known(total):
        return "cannot-tell"
    return "no-draw" if watched >= WATCHED_MINUTES else "watch"


def _after_stage(
    after: AfterMending, still_out: tuple[str, ...], battery: BatteryJob | None, no_draw: NoDrawCause | None
) -> Stage:
    """Standing after mending: repaired only with everything in."""
    if after.outcome == "not-repaired":
        return "not-repaired"
    if battery is not None and battery.is_shown and not still_out:
        return "renewed"
    if no_draw is not None and no_draw.shown == "shown" and not still_out:
        return "no-draw-mended"
    return "repaired" if after.outcome == "repaired" and not still_out else "mended"


def _where_it_drew(platform: Platform, tries: tuple[TryVerdict, ...], total: Reading | None) -> str:
    """The battery post at which the draw was read; empty if it was read at none and there are several."""
    places = [one.place for one in tries if one.verdict in ("proven", "involved")]
    places = [place for place in places if battery_read_at(platform, place)]
    batteries = batteries_of(platform)
    if places:
        return places[-1]
    if total is not None:
        return total.place
    return batteries[0] if len(batteries) == 1 else ""


def _watched(platform: Platform, asleep: list[Reading]) -> dict[str, float]:
    """Minutes of log at each battery that was read."""
    minutes: dict[str, float] = {}
    for reading in asleep:
        battery = battery_read_at(platform, reading.place)
        duration = _logged(reading.log) if reading.log is not None else 0.0
        minutes[battery] = minutes.get(battery, 0.0) + duration
    return minutes


def _logged(log: Log) -> float:
    """Minutes of a log in which the vehicle can have been asleep, by the card."""
    duration = log.duration or 0.0
    return duration if log.room is None else max(0.0, min(duration, log.room))
