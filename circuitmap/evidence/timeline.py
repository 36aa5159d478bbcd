"""From a job card to evidence: who was asleep at each reading, which meter it was, what was out."""

from dataclasses import dataclass, field, replace
from typing import cast

from circuitmap.evidence.asleep import Asleep
from circuitmap.evidence.card_text import Text
from circuitmap.evidence.changed_itself import held_to_the_first, something_is_done
from circuitmap.evidence.changes_seen import written_change
from circuitmap.evidence.entry_clock import first_day, minute_of
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import Entry, JobCard, Pair
from circuitmap.evidence.left_alone import LeftAlone
from circuitmap.evidence.log_states import in_the_same_state, is_back_in
from circuitmap.evidence.logs import Log, with_state
from circuitmap.evidence.meters import Meter, meter_named
from circuitmap.evidence.network_lines import NetworkLine
from circuitmap.evidence.of_several import of_several
from circuitmap.evidence.put_right import put_right
from circuitmap.evidence.readings import During, Given, Reading, Speaks
from circuitmap.evidence.rhythm_in_words import apart_told, happens_when_on
from circuitmap.evidence.same_look import given_in
from circuitmap.evidence.state_of_checks import with_state_of_checks
from circuitmap.evidence.told_car import ToldCar, problem_of, read_twice
from circuitmap.evidence.told_checks import ToldChecks
from circuitmap.evidence.told_logs import meter_of, told_log
from circuitmap.evidence.tries import Try, is_put_back, is_settled, is_tried_again
from circuitmap.evidence.tries_of_events import with_event_seen, with_the_most_telling
from circuitmap.evidence.uses import before_it_had_gone, place_in_text, says_nothing_yet, used_at, was_used, with_use
from circuitmap.evidence.what_is_out import WhatIsOut
from circuitmap.evidence.where_it_draws import named_on, where_it_draws
from circuitmap.evidence.while_gone import gone_on, with_what_had_gone
from circuitmap.evidence.within_an_event import with_what_ended_by_itself
from circuitmap.evidence.written_names import batteries_of, removable, written_line, written_position
from circuitmap.evidence.written_readings import Amount, amount_of, battery_read_at, current_of, place_of, reading_at
from circuitmap.evidence.zeroing import Zeroing
from circuitmap.failures import WrongUse
from circuitmap.problems import Problem
from circuitmap.wiring.door_contacts import wakes_while_open
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.usual import limit_of, sleep_of


def evidence_on(platform: Platform, card: JobCard) -> tuple[Evidence, tuple[Problem, ...]]:
    """What the card says of this platform; names and amounts that make no sense are problems."""
    problems: list[Problem] = []
    telling = _Telling(platform, card, ToldCar(platform, problems), ToldChecks(platform, problems), problems)
    telling.uses = tuple(used_at(entry for entry in card.entries if entry.struck is None))
    telling.car.told_on(card)
    telling.asleep.door_wakes = bool(wakes_while_open(platform, telling.car.options, telling.car.absent))
    telling.happens_when, telling.named = happens_when_on(card), named_on(platform, card)
    for entry in card.entries:
        if entry.struck is None:
            if entry.mended is not None:
                telling.begin_anew()
            telling.entry(entry)
    evidence = with_state_of_checks(platform, card, telling.evidence())
    evidence = with_what_ended_by_itself(platform, card, evidence)
    evidence = held_to_the_first(platform, card, evidence)
    evidence = with_use(evidence, card.entries, telling.uses)
    return with_what_had_gone(platform, card, evidence), tuple(problems)


@dataclass
class _Telling:
    """The card as it is told, entry by entry."""

    platform: Platform
    card: JobCard
    car: ToldCar
    checks: ToldChecks
    problems: list[Problem]
    readings: list[Reading] = field(default_factory=list)
    tries: list[Try] = field(default_factory=list)
    lines: list[NetworkLine] = field(default_factory=list)
    looked: bool = False
    now: float | None = None
    meter: Meter = field(default_factory=lambda: meter_named("clamp"))
    zeroing: Zeroing = field(default_factory=Zeroing)
    asleep: Asleep = field(init=False)
    is_out: WhatIsOut = field(init=False)
    happens_when: str = ""
    cause: str = ""
    named: tuple[str, ...] = ()
    began: int = 0
    tries_began: int = 0
    left_alone: LeftAlone = field(init=False)
    first: float = field(init=False)
    read_here: dict[str, Text] = field(default_factory=dict)
    given: tuple[Given, ...] = ()
    uses: tuple[int, ...] = ()
    put_in_at: int = 0

    def __post_init__(self) -> None:
        self.left_alone = LeftAlone(sleep_of(self.platform))
        self.asleep = Asleep(sleep_of(self.platform))
        self.is_out = WhatIsOut(self.platform)
        self.first = first_day(self.card.entries)

    @property
    def out(self) -> tuple[str, ...]:
        return self.is_out.names

    def evidence(self) -> Evidence:
        car, checks = self.car, self.checks
        return Evidence(
            readings=tuple(self.readings), tries=tuple(self.tries), lines=tuple(self.lines),
            replies=tuple(checks.replies), codes=tuple(checks.codes), added=tuple(car.added),
            absent=tuple(car.absent), there=tuple(car.there), relays=tuple(checks.relays), inputs=tuple(checks.inputs),
            volts=tuple(checks.volts), tested=tuple(checks.tested), switches=tuple(checks.switches),
            options=car.options, positions=car.positions, looked=self.looked, out=self.out,
            turned=dict(self.is_out.turned), found=tuple(f for f in checks.found if not f.too_early),
            found_early=tuple(f for f in checks.found if f.too_early), batteries=tuple(checks.batteries),
            own_battery=tuple(car.own_battery), in_slot=tuple(car.in_slot.values()),
            asleep_from=self.asleep.since(self.batteries()), door_open=self.asleep.door,
        )  # fmt: skip

    def wrong(self, failure: WrongUse | str, text: Text) -> None:
        self.problems.append(problem_of(failure, text))

    def begin_anew(self) -> None:
        """Something was mended: what was read before is neither what it drew with everything in nor what came back."""
        self.began, self.tries_began = len(self.readings), len(self.tries)

    # ---- the clock ----

    def entry(self, entry: Entry) -> None:
        self.clock(entry.at)
        self.read_here = {}
        if something_is_done(entry) or entry.tested:
            self.asleep.done()
        self.cause = entry.cause.value if entry.cause is not None else self.cause
        if entry.mended is not None:
            self.asleep.woken(self.now)  # whoever mended it had hands on it
            self.put_right(entry.mended)
        if entry.state is not None:
            self.asleep.state(entry.state.value, self.now)
        self.left_alone.entry(entry, self.now, self.asleep.open)
        self.which_meter(entry)
        self.looked = self.looked or entry.looked
        self.put_back(entry)
        self.take_out(entry)
        self.is_out.take_away(entry, self.car.names_added)
        self.turn(entry)
        before = self.tries
        self.given = given_in(self.platform, entry, self.batteries(), self.meter)
        total = self.total(entry)
        for pair in entry.read:
            self.reading(pair, entry, total)
        self.change(entry)
        self.log(entry)
        made = [one for one in self.tries if not any(one is known for known in before)]
        posts = {one.after.place for one in made if battery_read_at(self.platform, one.after.place)}
        self.is_out.forget_what_made_no_difference(made, before, posts)
        if entry.steady:
            self.asleep.watched({battery_read_at(self.platform, place) for place in self.read_here} - {""}, self.now)
        for pair in entry.network:
            self.line(pair)
        early = self.asleep.speaks(self.now, self.is_vouched(""))[0] == "early"
        if self.checks.entry(entry, self.car.names_added, self.out, self.now, early=early):
            self.asleep.woken(self.now)

    def clock(self, at: Text | None) -> None:
        if at is None:
            return
        try:
            self.now = minute_of(at.value, self.now, self.first)
        except WrongUse as failure:
            self.wrong(failure, at)

    def speaks(self, entry: Entry, place: str) -> tuple[Speaks, float | None]:
        """What is read at a place in an entry speaks for, and the minutes since the vehicle was left alone."""
        watched = entry.steady or self.is_vouched(place)
        return self.asleep.speaks(self.now, watched, is_up=_during(entry) == "event")

    def is_vouched(self, place: str) -> bool:
        return self.asleep.vouched(battery_read_at(self.platform, place), self.batteries())

    # ---- meters and readings ----

    def which_meter(self, entry: Entry) -> None:
        if entry.meter is not None:
            try:
                kind = entry.meter.value.strip().replace(" ", "-")
                step = current_of(entry.resolution.value)[0] if entry.resolution is not None else None
                self.meter = meter_named(kind, step)
            except WrongUse as failure:
                self.wrong(failure, entry.meter)
        elif entry.resolution is not None:
            try:
                self.meter = replace(self.meter, step=current_of(entry.resolution.value)[0])
            except WrongUse as failure:
                self.wrong(failure, entry.resolution)
        if entry.zeroed:
            self.zeroing.zeroed(self.meter, self.now)
        self.meter = self.zeroing.of(self.meter, self.now)

    def total(self, entry: Entry) -> float | None:
        """The total of this entry, as a reading of its own; with several batteries it would not say which one is
        meant."""
        if entry.total is None:
            return None
        try:
            amount = amount_of(entry.total.value)
            if amount.amps is None:
                raise WrongUse(f"{entry.total.value} is not a current.")
            batteries = self.batteries()
            if len(batteries) > 1:
                raise of_several(self.platform, batteries, self.car.options, entry.total.value)
            if batteries:
                self.read_here[batteries[0]] = entry.total
                self.add(batteries[0], entry.total, entry.total.value, entry, None)
        except WrongUse as failure:
            self.wrong(failure, entry.total)
            return None
        return amount.amps

    def reading(self, pair: Pair, entry: Entry, total: float | None) -> None:
        try:
            place = place_of(self.platform, pair.name.value, self.car.names_added)
            first = self.read_here.setdefault(place, pair.value)
            if first is pair.value:
                self.add(place, pair.value, pair.name.value, entry, total)
            elif first is not entry.total or first.value != pair.value.value:
                self.problems.append(read_twice(place, pair, first))
        except WrongUse as failure:
            self.wrong(failure, pair.name if "part" in failure.message else pair.value)

    def add(
        self, place: str, value: Text, name: str, entry: Entry, total: float | None, log: Log | None = None,
        meter: Meter | None = None,
    ) -> None:  # fmt: skip
        speaks, minutes = self.speaks(entry, place)
        written = value.value if name == value.value else f"{name} {value.value}"
        amount = amount_of(value.value) if log is None else Amount(amps=log.drew)
        reading = reading_at(
            self.platform, place, amount, meter or self.meter, total=total, minutes=minutes,
            without=self.out, speaks=speaks, watched=entry.steady, log=log, written=written, span=value.span,
            in_slot=self.car.in_slot.get(place),
        )  # fmt: skip
        if speaks != "parked" and not self.asleep.open and not self.asleep.charger and self.is_low(reading):
            reading = replace(reading, speaks="parked")
        if not battery_read_at(self.platform, place):
            reading = replace(reading, given=self.given)
        if entry.by is not None:
            reading = replace(reading, by=entry.by.value)
        reading = replace(reading, during=_during(entry), in_use=self.asleep.key_on, at=self.now)
        self.tried(reading)
        self.readings.append(reading)

    def tried(self, reading: Reading) -> None:
        """What a reading is to the tries: made with something out, or once all was in again."""
        its_own = self.readings[self.began :]
        with_all_in = [r for r in its_own if r.place == reading.place and not r.without]
        logged = next((r.log for r in reversed(its_own) if r.log is not None and not r.without), None)
        before, used = in_the_same_state(reading, with_all_in, logged), False
        if before is not None and was_used(self.uses, place_in_text(before), reading):
            gone = gone_on(self.platform, self.card, tuple(self.readings), tuple(self.tries))
            before, used = before_it_had_gone(before, with_all_in, gone), True
        out, earlier, tries = self.out, self.tries[: self.tries_began], self.tries[self.tries_began :]
        if self.out and (before is not None or reading.change):
            same = [t for t in tries if t.is_going_on(self.out, reading.place)]
            tries = [t for t in tries if t not in same]
            over_use = used and not any(t.fell and not t.over_use for t in same)
            new = Try(out=self.out, before=before, after=reading, waited=self.is_out.waited(self.now),
                      written=reading.written, turned=self.is_out.turned_of(self.out), over_use=over_use,
                      span=reading.span)  # fmt: skip
            seen = with_event_seen(self.platform, new, logged, self.is_low(reading))
            tries += with_the_most_telling(self.platform, same, seen)
        parked = reading.speaks == "parked"
        if (parked or reading.change == "again") and is_settled(out, tries, self.is_low):
            in_again = [
                t for t in tries
                if is_put_back(t, out) and t.after.place == reading.place and is_back_in(reading, t.after, logged)
                and not is_tried_again(t, tries) and not says_nothing_yet(t, reading, self.put_in_at, self.uses)
            ]  # fmt: skip
            told = {id(t): replace(t, back=reading) if parked else replace(t, again=reading) for t in in_again}
            tries = [told.get(id(t), t) for t in tries]
        self.tries = [*earlier, *tries]

    def is_low(self, reading: Reading) -> bool:
        """Whether a reading is as low as that of a sound vehicle asleep. What falls asleep later draws less, not more,
        so such a reading is not too early."""
        if not battery_read_at(self.platform, reading.place):
            return not reading.shows_current
        most = reading.log.peak if reading.log is not None else reading.amps
        return most is not None and -reading.half_step <= most <= limit_of(self.platform)

    def change(self, entry: Entry) -> None:
        """What became of the draw in words: of the total, as it was last read with everything in. A figure in the same
        entry says more."""
        if entry.change is None:
            return
        try:
            change = written_change(entry.change.value)
            place = self.place_of_draw()
            if place in self.read_here:
                return
            if not self.out and not any(t.back is None and t.after.place == place for t in self.tries):
                raise WrongUse(f"{change}: with what out? By the card nothing is.", f"Write: out HEATER: {change}")
            if self.out and change == "again":
                raise WrongUse(
                    f"again: {' and '.join(self.out)} is still out by the card.", "For example: back all: again"
                )
        except WrongUse as failure:
            self.wrong(failure, entry.change)
            return
        speaks, minutes = self.speaks(entry, place)
        reading = Reading(
            place=place, meter=self.meter, minutes=minutes, without=self.out, speaks=speaks, watched=entry.steady,
            change=change, written=change, span=entry.change.span,
        )  # fmt: skip
        self.tried(reading)

    def place_of_draw(self) -> str:
        """Where the draw is read that is spoken of: at the only battery, or else where it is looked for."""
        its = [r for r in self.readings if battery_read_at(self.platform, r.place) and not r.without]
        batteries = self.batteries()
        if not its and len(batteries) != 1:
            raise WrongUse("The draw of which battery? None was read yet.", "Read it first: BAT=1.85A")
        return where_it_draws(self.platform, its, self.named).place if its else batteries[0]

    def log(self, entry: Entry) -> None:
        for pairs in (entry.log, entry.logged):
            if pairs:
                self.one_log(entry, pairs)

    def one_log(self, entry: Entry, pairs: tuple[Pair, ...]) -> None:
        try:
            told = told_log(self.platform, pairs, self.batteries, is_file=pairs is entry.logged)
            room = self.left_alone.minutes(entry, self.now, told.ended)
            log = with_state(self.platform, told.log._replace(room=room, limit=limit_of(self.platform)))
            log = log._replace(told_apart=apart_told(entry, self.happens_when))
            meter = self.meter if log.night is None else meter_of(log.night, self.meter)
            self.add(told.place, told.text, told.place, entry, None, log, meter)
        except WrongUse as failure:
            self.wrong(failure, pairs[0].name)

    def batteries(self) -> list[str]:
        """The batteries that this car has, or may have."""
        conditions = {name: self.platform.parts[name].condition for name in batteries_of(self.platform)}
        return [
            name for name, condition in conditions.items()
            if name not in self.car.absent and holds(condition, self.car.options) != Answer.NO
        ]  # fmt: skip

    # ---- tries ----

    def take_out(self, entry: Entry) -> None:
        names = self.parts(entry.out)
        if names:
            self.is_out.take(names, self.now)
            self.asleep.woken(self.now)

    def put_back(self, entry: Entry) -> None:
        names = self.parts(entry.back)
        if names:
            self.is_out.put_back(names, self.now)
            self.put_in_at = entry.span.start
            self.asleep.woken(self.now)

    def put_right(self, mended: Text) -> None:
        """What the card names as renewed or put right is in again, although nobody wrote that it was put back."""
        names = put_right(self.platform, mended.value, self.out, self.car.names_added, self.cause)
        if names:
            self.is_out.put_right(names, self.now)

    def turn(self, entry: Entry) -> None:
        for pair in (*entry.turned, *(its for its in entry.stands if its in self.car.turned_then)):
            try:
                switch, position = written_position(self.platform, pair.name.value, pair.value.value)
            except WrongUse as failure:
                self.wrong(failure, pair.value)
                continue
            self.is_out.turn(switch, position, self.car.positions.get(switch), self.now)
            self.asleep.woken(self.now)

    def parts(self, texts: tuple[Text, ...]) -> list[str]:
        found = []
        for text in texts:
            try:
                found.append(removable(self.platform, text.value, self.car.names_added))
            except WrongUse as failure:
                self.wrong(failure, text)
        return found

    def line(self, pair: Pair) -> None:
        try:
            speaks, minutes = self.asleep.speaks(self.now, self.is_vouched(""))
            line = written_line(self.platform, pair.name.value, pair.value.value)
            self.lines.append(replace(line, minutes=minutes, speaks=speaks, without=self.out, span=pair.value.span))
        except WrongUse as failure:
            self.wrong(failure, pair.value)


def _during(entry: Entry) -> During:
    return cast(During, entry.during.value) if entry.during is not None else ""
