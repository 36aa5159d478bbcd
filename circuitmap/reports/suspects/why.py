"""Why: what each reading says for an explanation, the most telling first, with similar readings told together."""

from collections.abc import Sequence
from typing import NamedTuple

from circuitmap.diagnosis.diagnosis import Diagnosis, Row
from circuitmap.diagnosis.explaining.classes import FaultClass
from circuitmap.diagnosis.explaining.reasons import Beaten, ReasonLine, Unseen
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.incomplete import HIDES_MUCH
from circuitmap.diagnosis.seen.netting import Segment
from circuitmap.diagnosis.weighing.log_normal import spread_of_moments
from circuitmap.evidence.readings import Reading
from circuitmap.reports.suspects.amounts import ampere, total_is_fine
from circuitmap.reports.suspects.because import brings_nothing, flows_past, its_loads
from circuitmap.reports.suspects.fault_words import network_words, short_part_words
from circuitmap.reports.suspects.leading import row_of_answer
from circuitmap.reports.suspects.observation_words import said
from circuitmap.reports.suspects.what_sleeps import only_sleeps, sleeping_words
from circuitmap.reports.words.chance_words import weight
from circuitmap.reports.words.paragraphs import joined, shortened
from circuitmap.wiring.parts import Relay
from circuitmap.wiring.platform import Platform


class SpokenReason(NamedTuple):
    """A sentence and how much it weighs, in decibans."""

    sentence: str
    decibans: float

    @property
    def sign(self) -> str:
        return weight(self.decibans)


def reasons_for_the_place(platform: Platform, diagnosis: Diagnosis, row: Row) -> list[SpokenReason]:
    """What speaks for a row in general, against nothing being wrong or something else being wrong."""
    return reasons_of(platform, diagnosis, row, row.speaks)


def reasons_against(platform: Platform, diagnosis: Diagnosis, row: Row, beaten: Beaten) -> list[SpokenReason]:
    """What tells a row from a rival; what says nothing about that, or comes from no reading, is left out."""
    lines = [line for line in beaten.lines if not isinstance(line.about, Unseen)]
    told = reasons_of(platform, diagnosis, row, lines, beaten.rival)
    return [reason for reason in told if reason.sign != "0"]


def reasons_of(
    platform: Platform, diagnosis: Diagnosis, row: Row, told: Sequence[ReasonLine], rival: FaultClass | None = None
) -> list[SpokenReason]:
    """Lines about a row in sentences, against a rival if there is one. Readings that say nothing either way are folded
    into one."""
    groups: dict[tuple[str, int], list[tuple[Segment, float]]] = {}
    others: list[SpokenReason] = []
    for line in told:
        sign = 0 if weight(line.decibans) == "0" else 1 if line.decibans > 0 else -1
        if isinstance(line.about, Segment):
            what = _showing(line.about)
            nothing_of_it = sign > 0 and brings_nothing(platform, row.faults[0], line.about.place)
            if what == "draws" and nothing_of_it and only_sleeps(row.currents, line.about):
                what = "sleeps"
            groups.setdefault((what, sign), []).append((line.about, line.decibans))
        elif sign != 0:
            others.append(SpokenReason(said(platform, line.about), line.decibans))
    found = others
    nothing: list[str] = []
    for (what, sign), its in groups.items():
        places = [segment.place for segment, _ in its]
        if sign == 0:
            nothing += [segment.place for segment, _ in its if len(segment.readings) == 1]
        else:
            sentence = _readings(platform, diagnosis, row, what, places)
            sentence += _all_on(platform, diagnosis, row, what, places) or _because(
                platform, diagnosis, row, rival, _Group(what, sign, tuple(places))
            )
            found.append(SpokenReason(sentence, sum(decibans for _, decibans in its)))
    found = _once(found)
    found.sort(key=lambda reason: -abs(reason.decibans))
    if nothing:
        say = "says" if len(nothing) == 1 else "say"
        found.append(SpokenReason(f"{shortened(sorted(nothing))} {say} nothing either way", 0.0))
    return found


def _once(reasons: list[SpokenReason]) -> list[SpokenReason]:
    """What was found twice is told once, with the weight of both."""
    weights: dict[str, float] = {}
    for reason in reasons:
        weights[reason.sentence] = weights.get(reason.sentence, 0.0) + reason.decibans
    return [SpokenReason(sentence, decibans) for sentence, decibans in weights.items()]


def drawn_at(segment: Segment) -> bool:
    """Whether a place was found to draw."""
    own = segment.readings[0]
    return bool(own.draws) if own.amps is None else own.shows_current


def _showing(segment: Segment) -> str:
    own = segment.readings[0]
    if own.amps is None:
        return "draws" if own.draws else "quiet"
    if len(segment.readings) > 1 and segment.amps is not None and segment.amps <= segment.error:
        return "quiet"
    return "draws" if segment.strip.lowest > 0.0 and (own.amps or 0.0) > own.zero else "quiet"


def _readings(platform: Platform, diagnosis: Diagnosis, row: Row, what: str, places: Sequence[str]) -> str:
    measured = diagnosis.netted.measured
    if what == "quiet":
        rest = sorted(place for place in places if len(measured[place].readings) > 1)
        alone = sorted(place for place in places if len(measured[place].readings) == 1)
        faint = [place for place in alone if _is_faint(measured[place])]
        hiding = [
            place for place in alone
            if place not in faint and (measured[place].readings[0].hides or 0.0) > HIDES_MUCH
        ]  # fmt: skip
        quiet = [place for place in alone if place not in hiding and place not in faint]
        words = [f"{shortened(quiet)} {'is' if len(quiet) == 1 else 'are'} quiet"] if quiet else []
        if faint:
            most = max(measured[place].readings[0].highest for place in faint)
            show, them = ("shows", "it") if len(faint) == 1 else ("show", "them")
            words.append(f"{shortened(faint)} {show} the last digit alone (up to {ampere(most)} may flow in {them})")
        if hiding:
            most = max(measured[place].readings[0].hides or 0.0 for place in hiding)
            show, them = ("shows", "it") if len(hiding) == 1 else ("show", "them")
            words.append(f"{shortened(hiding)} {show} nothing (up to {ampere(most)} can hide in {them})")
        words += [f"{place} shows nothing beyond {_behind(measured[place])}" for place in rest]
        return "; ".join(words)
    if what == "sleeps":
        return sleeping_words(diagnosis, places)
    drawing = sorted(places, key=lambda p: -(measured[p].amps or 0.0))
    words = [_draw(platform, row, measured[place], total_is_fine(diagnosis)) for place in drawing]
    verb = "draw" if len(words) > 1 or " and " in places[0] else "draws"
    told = joined(words) if len(words) <= 7 else f"{', '.join(words[:6])} and {len(words) - 6} more"
    return f"{told} {verb}"


def _is_faint(segment: Segment) -> bool:
    """Whether something was shown, but no more than the display may make up: that is not nothing."""
    own = segment.readings[0]
    return own.resistance is not None and (own.amps or 0.0) > 0.0 and not own.shows_current


def _behind(segment: Segment) -> str:
    return shortened([reading.place for reading in segment.readings[1:]], 3)


def _all_on(platform: Platform, diagnosis: Diagnosis, row: Row, what: str, places: Sequence[str]) -> str:
    """Says that the loads of all drawing fuses are on the network that is kept awake, where that is so."""
    fault = row.faults[0][0]
    alone = all(len(diagnosis.netted.measured[place].readings) == 1 for place in places)
    if what != "draws" or len(places) < 2 or not fault.network or not alone:
        return ""
    awake = {place for flow in fault.brings for place in flow.way.places[:1]}
    return f"; their loads are all on {network_words(platform, fault.network)}" if set(places) <= awake else ""


def rival_words(platform: Platform, diagnosis: Diagnosis, rival: FaultClass) -> str:
    """A rival by its parts, only the first ones of several that nothing tells apart. For a relay with a stuck contact
    that is added, because the relay's coil may be the answer."""
    members = [tuple(diagnosis.faults[n] for n in member) for member in rival.members]
    named = dict.fromkeys(joined([short_part_words(platform, fault.part) for fault in member]) for member in members)
    named = _but_the_answer(platform, diagnosis, named)
    first = members[0]
    relay = len(first) == 1 and isinstance(platform.parts.get(first[0].part), Relay)
    stuck = " stuck" if relay and first[0].has("contact-volts") and len(named) == 1 else ""
    # What leads may be something at this very part: then the part is not what is ruled out.
    answer = row_of_answer(diagnosis)
    leads = answer.faults[0] if answer is not None else ()
    alone = len(members) == len(first) == 1 and not relay and bool(leads) and first[0].part != leads[0].part
    by_itself = " by itself" if alone and first[0].part in {its.module or its.about for its in leads} else ""
    return f"{shortened(list(named), MOST_RIVALS)}{stuck}{by_itself}"


def _but_the_answer(platform: Platform, diagnosis: Diagnosis, named: dict[str, None]) -> dict[str, None]:
    """Names without that of the part that leads, which may do what the rivals do in another way."""
    answer = row_of_answer(diagnosis)
    leads = {short_part_words(platform, fault.part) for fault in answer.faults[0]} if answer is not None else set()
    return {name: None for name in named if name not in leads} or named


class _Group(NamedTuple):
    """Readings that are told together: what they show, and whether that speaks for it (1) or against it (-1)."""

    what: str
    sign: int
    places: tuple[str, ...]


def _because(platform: Platform, diagnosis: Diagnosis, row: Row, rival: FaultClass | None, group: _Group) -> str:
    """Why that speaks for it or against it, where the circuit tells."""
    mine = row.faults[0]
    other = faults_of_class(diagnosis, rival) if rival is not None else ()
    names = (
        "" if rival is None else rival_words(platform, diagnosis, rival) if len(rival.members) == 1 else "one of those"
    )
    if group.what == "draws":
        if group.sign < 0 and all(brings_nothing(platform, mine, place) for place in group.places):
            return f"; were it {names}, it would" if rival else "; nothing of it passes there"
        if group.sign > 0 and other and all(brings_nothing(platform, other, place) for place in group.places):
            return f"; were it {names}, it would not"
        return ""
    beyond = all(len(diagnosis.netted.measured[place].readings) > 1 for place in group.places)
    if group.sign < 0:
        about, loads = _expected(platform, diagnosis, mine, group.places)
        much = f"about {ampere(about)} (assumed)" if about >= LEAST_EXPECTED else "more"
        left = sum(diagnosis.netted.measured[place].amps or 0.0 for place in group.places)
        if beyond and not loads:  # it brings nothing besides: what was found there is more than it accounts for
            return "; all of it was found there, and of that this takes only a part: something else takes the rest"
        only = f", and {ampere(left)} is left for that" if beyond and left >= 0.0 else ""
        who = shortened(loads, MOST_RIVALS) or "it"
        return f", yet {who} should take {much}{' where nothing was read' if beyond else ' there'}{only}"
    if rival:
        return (
            f"; were it {names}, it should take more"
            if beyond or group.what == "sleeps"
            else f"; were it {names}, it should draw there"
        )
    error = max(diagnosis.netted.measured[place].error for place in group.places)
    return (
        f"; what is missing is within the meters' error ({ampere(error, total_is_fine(diagnosis))})" if beyond else ""
    )


def _draw(platform: Platform, row: Row, segment: Segment, fine: bool) -> str:
    """`F22 (0.46 A: LIFT)`; for a place with branches, what was read and how much of it was not found behind the
    place."""
    own = segment.readings[0]
    if own.height is not None and own.height.shown is not None:
        return f"{segment.place} ({ampere(own.height.shown, fine)} of {ampere(own.height.then, fine)} in another event)"
    if segment.amps is None or own.amps is None:
        return segment.place
    if len(segment.readings) == 1:
        loads = its_loads(platform, row.faults[0], segment.place)
        return f"{segment.place} ({_drop(own)}{ampere(own.on_meter, fine)}{loads})"
    rest = f"{ampere(segment.amps, fine)} of it not found behind {_behind(segment)}"
    return f"{segment.place} ({ampere(own.on_meter, fine)}, {rest})"


def _drop(own: Reading) -> str:
    """`0.6 mV, ` before the current that was worked out from it."""
    return f"{own.drop * 1000.0:.1f} mV, " if own.drop is not None else ""


def _expected(
    platform: Platform, diagnosis: Diagnosis, faults: Sequence[Fault], places: Sequence[str]
) -> tuple[float, list[str]]:
    """The A that an explanation usually brings to places but to no measured place behind them, and what would take it,
    the largest first."""
    flows = flows_past(diagnosis, faults, places)
    mean, variance = sum(flow.mean for flow in flows), sum(flow.variance for flow in flows)
    usual = spread_of_moments(mean, variance).median if mean > 0.0 else 0.0
    largest = sorted(flows, key=lambda flow: (-flow.mean, flow.owner))
    return usual, list(dict.fromkeys(short_part_words(platform, flow.owner) for flow in largest))


MOST_RIVALS = 2
"""How many parts of a rival are named."""
LEAST_EXPECTED = 0.015
"""In A: what was expected is not told below this (judgement)."""


def faults_of_class(diagnosis: Diagnosis, rival: FaultClass) -> tuple[Fault, ...]:
    """The faults of a rival's likeliest member."""
    return tuple(diagnosis.faults[n] for n in rival.members[0])
