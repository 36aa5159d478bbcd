"""The balance sheet in words: how much of the current was found, and what has been seen so far."""

from collections.abc import Container, Iterator, Mapping

from circuitmap.diagnosis.diagnosis import Diagnosis, Row
from circuitmap.diagnosis.seen.missing_behind import MissingBehind
from circuitmap.diagnosis.seen.netting import Account, accounts_of, impossible_in, runs_backwards
from circuitmap.diagnosis.seen.only_just import only_just
from circuitmap.diagnosis.seen.shared_zero import SharedZero, shared_zero
from circuitmap.evidence.readings import Reading
from circuitmap.reports.suspects.amounts import ampere, total_is_fine
from circuitmap.reports.suspects.because import flows_past
from circuitmap.reports.suspects.leading import SURE
from circuitmap.reports.suspects.not_known import contradiction_sentences
from circuitmap.reports.suspects.what_sleeps import only_sleeps, sleeping_words
from circuitmap.reports.suspects.why import drawn_at
from circuitmap.reports.words.paragraphs import joined, shortened
from circuitmap.wiring.parts import Fuse
from circuitmap.wiring.platform import Platform

MOST_JOINING = 4
MOST_NAMED = 6
UNFOUND = 0.25
"""A part of the total that was found nowhere is told at the top from this share on (judgement)."""
SURE_OF_A_DRAW = 0.95
"""Probability that something draws too much from which on the other case is not told (judgement)."""


def total_is_contradicted(diagnosis: Diagnosis) -> bool:
    """Whether more was found behind a battery than it gives, or it takes a current in."""
    totals = {reading.place for reading in diagnosis.netted.totals}
    return any(clash.place in totals for clash in diagnosis.contradictions)


def is_read_again_first(diagnosis: Diagnosis) -> bool:
    """Whether nothing can be said before that is read again: nobody knows which of the readings cannot be right."""
    is_named = impossible_readings(diagnosis) and diagnosis.something_wrong >= SURE_OF_A_DRAW
    return total_is_contradicted(diagnosis) and not is_named


def contradicted_total_words(diagnosis: Diagnosis) -> str:
    """What is to be read again where the total cannot be right, or says nothing of a draw. Where it is known which
    reading cannot be, that one is named, and the rest of the answer goes without it."""
    for reading in diagnosis.netted.totals:
        if runs_backwards(reading):
            amps = ampere(-(reading.amps or 0.0), total_is_fine(diagnosis))
            what = "Turn the clamp round, or take away what charges it."
            return f"READ AGAIN: at {reading.place} {amps} run into the battery. {what}"
    named = impossible_readings(diagnosis)
    if named:
        more = joined([f"{reading.place} ({ampere(reading.amps)})" for reading in named])
        each, these = ("that is", "it") if len(named) == 1 else ("each is", "them")
        then = (
            "That, or the total, is not right."
            if is_read_again_first(diagnosis)
            else f"What follows takes {these} for misread."
        )
        return f"READ AGAIN: {more}: {each} more than there is to flow. {then}"
    return "READ AGAIN: the total and the readings behind it cannot both be right."


def impossible_readings(diagnosis: Diagnosis) -> list[Reading]:
    """The readings behind a battery that cannot be right, whatever the others are."""
    nets = diagnosis.netted
    totals = {reading.place for reading in nets.totals if not runs_backwards(reading)}
    clashes = [clash for clash in diagnosis.contradictions if clash.place in totals]
    return [reading for clash in clashes for reading in impossible_in(clash, nets.read_twice)]


def several_batteries(diagnosis: Diagnosis) -> bool:
    """Whether more than one battery was read."""
    return len(diagnosis.netted.totals) + len(diagnosis.netted.charging) > 1


def count_sentences(diagnosis: Diagnosis) -> list[str]:
    """The balance, for each battery where there are several, and what does not fit together."""
    fine = total_is_fine(diagnosis)
    accounts = accounts_of(diagnosis.netted)
    sentences = []
    zero, gone = shared_zero(diagnosis.netted), _went_with_parts(diagnosis, accounts)
    for place, account in accounts.items():
        at = f"{place}: " if several_batteries(diagnosis) else ""
        if place in gone:
            sentences.append(f"{at}{gone[place]}")
            continue
        sentences.append(
            f"{at}found {ampere(account.found, fine)} of {ampere(account.total, fine)}. {_left_words(account, fine)}; "
            f"the meters can be off {ampere(account.error, fine)}."
        )
        sentences += _without_the_zero(diagnosis, place, account, zero) if zero is not None and not zero.drop else []
    sentences += _without_the_leads(zero) if zero is not None and zero.drop else []
    sure = bool(diagnosis.subjects) and diagnosis.subjects[0].probability >= SURE
    missing = (its for its in diagnosis.missing if its.place not in gone)
    sentences += (_missing_words(diagnosis, its) for its in missing if its.misses or not sure)
    sentences += _only_just_words(diagnosis, fine)
    sentences += _beside_the_plus(diagnosis, fine)
    for reading in diagnosis.netted.charging:
        sentences.append(f"{reading.place} is being charged with {ampere(abs(reading.amps or 0.0), fine)}.")
    for its in diagnosis.netted.both_ends:
        sentences.append(
            f"What hangs on {its.place} is fed from both ends: up to {ampere(its.amps, fine)} of {its.reading.place} "
            "comes across, counted once."
        )
    return sentences + contradiction_sentences(diagnosis)


def _only_just_words(diagnosis: Diagnosis, fine: bool) -> Iterator[str]:
    """What goes together only by what the resistance of a fuse may be off, and is read again."""
    for one in only_just(diagnosis.netted, diagnosis.netted.read_twice):
        yield (
            f"{one.place} carries {ampere(one.amps, fine)}, and {ampere(one.found, fine)} was read right behind it: "
            f"that only just goes together, by what the resistance of {one.by[0]} may be off. The probe at another "
            f"fuse, or a row counted from the wrong end, looks the same: read {one.by[0]} again, counted from both "
            "ends."
        )


def _went_with_parts(diagnosis: Diagnosis, accounts: Mapping[str, Account]) -> dict[str, str]:
    """For each total of which all that was not found went with something out, what is told of it instead."""
    fine, said = total_is_fine(diagnosis), {}
    for place, account in accounts.items():
        for one in diagnosis.tried:
            before, after = one.attempt.before, one.attempt.after
            if (
                one.why_not
                or one.outcome in ("stays", "took over")
                or after.place != place
                or before is None
                or one.attempt.turned
            ):
                continue
            if before.amps is None or after.amps is None or account.left <= account.error:
                continue
            went = before.amps - after.amps
            if went >= account.left - account.error:
                said[place] = (
                    f"found {ampere(account.found, fine)} of {ampere(account.total, fine)} at what was read, and "
                    f"{ampere(went, fine)} went with {joined(one.attempt.out)} out; the meters can be off "
                    f"{ampere(account.error, fine)}."
                )
    return said


def _without_the_zero(diagnosis: Diagnosis, place: str, account: Account, zero: SharedZero) -> list[str]:
    """What is found of a total if the zero of a meter is taken off all that it showed."""
    fine = total_is_fine(diagnosis)
    total = diagnosis.netted.readings.get(place)
    if total is None:
        return []
    behind = [diagnosis.netted.readings[name] for name in diagnosis.netted.fixed.get(place, ())]
    off = zero.amps * sum(one.meter.name == zero.meter and one.zero > 0.0 for one in behind)
    found = max(account.found - off, 0.0)
    own = zero.amps if total.meter.name == zero.meter and total.zero > 0.0 else 0.0
    if not off:
        return []
    return [
        f"{joined(list(zero.places))} all show about {ampere(zero.amps, fine)}: likelier the zero of the clamp than as "
        f"many currents. Then it is {ampere(found, fine)} of {ampere(account.total - own, fine)}. Zero the clamp and "
        "read them again, the total too."
    ]


def _without_the_leads(zero: SharedZero) -> list[str]:
    """Of fuses of different ratings the same millivolts are no current."""
    return [
        f"{joined(list(zero.places))} all show about {1000.0 * zero.drop:.1f} mV, whatever their rating: likelier the "
        "zero of the leads than as many currents, and so it is in all that was read with them. Hold the leads together "
        "and read them again."
    ]


def _missing_words(diagnosis: Diagnosis, its: MissingBehind) -> str:
    """`CBL carries 0.82 A, and 0.13 A was found behind it. ...`; where nothing is missing, what was not read."""
    unread = shortened(list(its.unread), MOST_NAMED)
    if not its.misses:
        return f"Not read behind {its.place}: {unread}."
    head = f"{its.place} carries {ampere(its.amps)}, and {ampere(its.found)} was found right behind it. The rest flows"
    if its.went:
        missing = ampere(its.amps - its.found)
        return f"{head.removesuffix(' The rest flows')} The rest, {missing}, went with {its.went} out."
    if is_a_total(diagnosis, its.place):  # the balance above says as much
        head = f"What is not found of {its.place} flows"
    quiet = [place for place in its.quiet if diagnosis.hands_off.may_touch(place)]
    ways = [f"where nothing was read ({unread})"] if its.unread else []
    cables = [place for place in its.cables if diagnosis.hands_off.may_clamp(place)]
    ways += [f"in a cable that nobody clamped ({shortened(cables, MOST_NAMED)})"] if cables else []
    for one in its.contacts:
        to = f", onto {shortened(list(one.to), MOST_NAMED)}, not read" if one.to else ""
        ways.append(f"over the contact of {one.relay}, if it does not open{to}")
    ways += ["through what is on no sheet"] if not its.unread and not its.contacts else []
    zeros = f", or a reading of nothing is wrong ({shortened(quiet, MOST_NAMED)})" if quiet else ""
    all_read = "" if its.unread or its.cables or its.contacts else " All that is typed in and fed there was read."
    return f"{head} {joined(ways, 'or')}{zeros}.{all_read}"


def _beside_the_plus(diagnosis: Diagnosis, fine: bool) -> Iterator[str]:
    """For batteries in series: what the minus cable carries but the plus cable does not is taken at the tap between
    them."""
    for place, minus in diagnosis.netted.readings.items():
        owner, _, post = place.rpartition(".")
        plus = diagnosis.netted.readings.get(owner)
        if post == "-" and plus is not None and minus.amps is not None and plus.amps is not None:
            more = minus.amps - plus.amps
            if more > 0.0:
                yield f"The minus carries {ampere(more, fine)} more than the plus: that leaves at the tap between."


def _left_words(account: Account, fine: bool) -> str:
    if account.left < 0.0:
        return f"That is {ampere(-account.left, fine)} more than the total"
    return f"Not found yet {ampere(account.left, fine)}"


def unfound_sentences(platform: Platform, diagnosis: Diagnosis, row: Row | None) -> Iterator[str]:
    """Where much of the current has not been found yet: at which fuses the answer expects it, or that it expects it at
    none."""
    known = diagnosis.netted.readings
    faults = row.faults[0] if row is not None else ()
    for place, account in accounts_of(diagnosis.netted).items():
        if account.left <= max(account.error, UNFOUND * account.total) or account.found <= account.error:
            continue
        beyond = flows_past(diagnosis, faults, (place,))
        fuses = list(
            dict.fromkeys(at for flow in beyond for at in flow.way.places[:1] if _is_unread(platform, known, at))
        )
        much = f"{ampere(account.left)} of {ampere(account.total)} is not found yet"
        if fuses:
            yield f"{much}: it should show at {shortened(fuses, 3)}. Read {'it' if len(fuses) == 1 else 'them'}."
        elif not beyond:
            yield f"{much}, and nothing of the answer flows past the places that were read: read more of them."


def _is_unread(platform: Platform, known: Container[str], place: str) -> bool:
    return place not in known and isinstance(platform.parts.get(place), Fuse)


def seen_so_far(diagnosis: Diagnosis) -> str:
    """The readings that show a current, and how many are quiet."""
    drawing = [
        p for p, segment in diagnosis.netted.measured.items() if drawn_at(segment) and not is_a_total(diagnosis, p)
    ]
    drawing.sort(key=lambda p: (-(diagnosis.netted.measured[p].readings[0].on_meter or 0.0), p))
    currents = diagnosis.rows[0].currents if diagnosis.rows else ()
    sleeping = [p for p in drawing if only_sleeps(currents, diagnosis.netted.measured[p])]
    drawing = [p for p in drawing if p not in sleeping]
    fine = total_is_fine(diagnosis)
    told = [f"{p} ({ampere(diagnosis.netted.measured[p].readings[0].on_meter, fine)})" for p in drawing]
    backwards = [p for p, r in diagnosis.netted.readings.items() if runs_backwards(r) and not is_a_total(diagnosis, p)]
    backwards = [p for p in backwards if p in diagnosis.netted.measured and p not in drawing]
    not_quiet = len(drawing) + len(sleeping) + len(backwards) + len(diagnosis.netted.totals)
    quiet = len(diagnosis.netted.measured) - not_quiet
    zero = shared_zero(diagnosis.netted)
    shown = [p for p in zero.places if p in diagnosis.netted.measured and p not in drawing] if zero is not None else []
    shown = [p for p in shown if not is_a_total(diagnosis, p) and p not in backwards and p not in sleeping]
    words = [f"{shortened(told)} {'draws' if len(told) == 1 and ' and ' not in drawing[0] else 'draw'}"] if told else []
    for place in sorted(backwards):
        words.append(f"{place} ({ampere(diagnosis.netted.readings[place].on_meter, fine)}) runs backwards: see COUNT")
    if zero is not None and shown:
        amount = f"{1000.0 * zero.drop:.1f} mV" if zero.drop else ampere(zero.amps, fine)
        its = "leads" if zero.drop else "clamp"
        words.append(f"{joined(shown)} show {amount}, which may be the zero of the {its}: see COUNT")
        quiet -= len(shown)
    words += [sleeping_words(diagnosis, sleeping)] if sleeping else []
    words += [f"{quiet} other place{'' if quiet == 1 else 's'} read: nothing to see"] if quiet > 0 else []
    return f"{'; '.join(words) or 'only the total was read'}."


def is_a_total(diagnosis: Diagnosis, place: str) -> bool:
    return any(reading.place == place for reading in diagnosis.netted.totals)


def _with_description(platform: Platform, name: str) -> str:
    described = platform.parts[name].description
    return f"{name} ({described})" if described else name


def between_sentences(platform: Platform, diagnosis: Diagnosis) -> Iterator[str]:
    """Where one battery charges the other: how much goes across, and what could join the two."""
    joins = list(dict.fromkeys(name for world in diagnosis.worlds for name in world.joins))
    led = {world.subject.about for world in diagnosis.worlds}
    joins.sort(key=lambda name: name not in led)
    joins = joins or [f.part for f in diagnosis.faults if any(flow.joins_batteries for flow in f.brings)]
    giving = [reading.place for reading in diagnosis.netted.totals]
    for taking in diagnosis.netted.charging:
        amps = ampere(abs(taking.amps or 0.0), total_is_fine(diagnosis))
        parts = [_with_description(platform, name) for name in joins if name in platform.parts]
        could = f": {joined(parts[:MOST_JOINING], 'or')}" if parts else ""
        yield f"{amps} of it goes from {joined(giving)} into {taking.place}. Look at what joins the two{could}."
