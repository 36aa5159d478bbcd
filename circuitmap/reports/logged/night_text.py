"""The night in the trade's words."""

from collections.abc import Iterator

from circuitmap.recording.events import LoneStep, alike
from circuitmap.recording.flat import TimeToFlat, draw_of
from circuitmap.recording.night import EventKind, Night
from circuitmap.recording.recorded import Recording
from circuitmap.recording.zero import ClampZero
from circuitmap.reports.logged.when import clock_at
from circuitmap.reports.words.lasting_words import amps_words, time_words
from circuitmap.reports.words.paragraphs import counted, joined
from circuitmap.reports.words.parked_time_words import parked_time_words

_MOST_STAIRS = 8
_TOLD_DRIFT = 0.003


def night_sentences(recording: Recording, night: Night, zero: ClampZero) -> Iterator[str]:
    """Locked, asleep, floor, opened; what was charged."""
    for span in night.charged:
        yield (
            f"Current into the battery from {clock_at(recording, span.start)} to {clock_at(recording, span.end)}: "
            f"a charger was on. What the vehicle took in that time does not show, and nothing of it is counted."
        )
    if night.locked is not None and night.asleep is not None:
        yield (
            f"Locked, or switched off, about {clock_at(recording, night.locked)}: taken from the first fall, "
            f"{amps_words(-night.stairs[0].height)}."
        )
        if len(night.stairs) > 1:
            yield _asleep(recording, night)
    else:
        yield "No fall that stays: it was asleep from the first sample on, or it never fell asleep."
    if night.floor is not None:
        start = clock_at(recording, night.settled[0])
        yield f"Floor {amps_words(night.floor - zero.amps)}, as settled from {start} on, {_zero_words(zero)}."
    elif night.kinds or night.stairs:
        yield "Too short after the last fall to say anything of a floor or a mean."
    if abs(night.drift) >= _TOLD_DRIFT:
        way = "rises" if night.drift > 0 else "sinks"
        yield (
            f"The floor {way} slowly by {abs(night.drift) * 1000:.0f} mA: the clamp's zero or the vehicle, which "
            f"cannot be told apart here. Read the zero again at the end."
        )
    if night.opened is not None:
        yield (
            f"Opened again at {clock_at(recording, night.opened)}; what follows is not the night. If nobody opened "
            f"it, that is what came on: let it run on longer, and add that log."
        )


def _asleep(recording: Recording, night: Night) -> str:
    first = night.at(night.stairs[0].at)
    steps = [f"{amps_words(-step.height)} after {time_words(night.at(step.at) - first)}" for step in night.stairs[1:]]
    more = len(steps) - _MOST_STAIRS
    told = joined(steps[:_MOST_STAIRS]) if more <= 0 else f"{', '.join(steps[:_MOST_STAIRS])} and {more} more"
    last = night.at(night.stairs[-1].at) - first
    return f"Asleep after {time_words(last)}, in {counted(len(steps), 'step')}: {told} fell away."


def _zero_words(zero: ClampZero) -> str:
    error = f"{zero.error * 1000:.0f} mA"
    if not zero.read:
        return f"give or take the clamp's zero, which nobody read ({error} is usual)"
    taken = "" if zero.amps == 0.0 else f"the zero of {zero.amps * 1000:+.0f} mA taken off, "
    return f"{taken}give or take {error} by which the zero may have moved"


def event_sentences(recording: Recording, night: Night) -> Iterator[str]:
    """Each kind of event, what stayed on, and what is no event."""
    for number, kind in enumerate(night.kinds, 1):
        yield f"{number}. {_kind(recording, night, kind)}"
    for rise in night.still_on:
        after = f", {time_words(night.at(rise.at) - night.asleep)} after the last fall" if night.asleep else ""
        yield (
            f"At {clock_at(recording, night.at(rise.at))}{after}, {amps_words(rise.height)} came on and was still on "
            f"when the log ended."
        )
    if night.hidden:
        most = recording.most
        assert most is not None
        highest = max(night.hidden, key=lambda at: float(most[at]))
        where = clock_at(recording, night.at(highest))
        yield (
            f"In {counted(len(night.hidden), 'interval')} the most stands out and the mean hardly does: something "
            f"shorter than an interval, up to {amps_words(float(most[highest]))} (at {where})."
        )
    if night.singles:
        largest = max(night.singles, key=lambda its: abs(its.height))
        where = clock_at(recording, night.at(largest.start))
        what = "sample stands" if len(night.singles) == 1 else "samples stand"
        yield (
            f"{len(night.singles)} single {what} out, one or two at a time (the largest by "
            f"{amps_words(largest.height)}, {where}): the recorder, a contact, or something as short; not counted."
        )
    if not night.kinds and not night.still_on and not night.hidden:
        yield "Nothing came and went that this log can show."


def _kind(recording: Recording, night: Night, kind: EventKind) -> str:
    first = clock_at(recording, night.at(kind.events[0].start))
    lasting = time_words(kind.shortest)
    if time_words(kind.longest) != lasting:
        lasting = f"{lasting} to {time_words(kind.longest)}"
    words = f"{_times(kind)}{amps_words(kind.height)} for {lasting}, "
    words += f"at {first}" if len(kind.events) == 1 else f"the first at {first}"
    if kind.under_charge:
        return f"{words}, while the battery was charged."
    if kind.share >= 0.005:
        words += f"; {kind.share:.0%} of what was taken after the last fall"
    if kind.on_at_end:
        words += "; it had come once more when the log ended"
    parts = kind.events[0].parts
    if len(parts) > 1:
        words += f"; it comes up in steps of {joined([amps_words(part) for part in parts])}"
    peaks = [event.peak for event in kind.events if event.peak is not None]
    if peaks:
        words += f"; with up to {amps_words(max(peaks))} as it begins"
    same = alike_stair(night, kind)
    if same is not None:
        words += f". By height, as much as fell away at {clock_at(recording, night.at(same.at))}"
    return f"{words}."


def alike_stair(night: Night, kind: EventKind) -> LoneStep | None:
    """The step of the same night's falling asleep that is as high."""
    near = [step for step in night.stairs[1:] if alike(-step.height, kind.height)]
    return min(near, key=lambda step: abs(-step.height - kind.height), default=None)


def _times(kind: EventKind) -> str:
    rhythm, count = kind.rhythm, len(kind.events)
    apart = time_words(rhythm.first)
    if apart != time_words(rhythm.last):
        apart = f"{apart} to {time_words(rhythm.last)}"
    match rhythm.kind:
        case "once":
            return "Once "
        case "twice" | "few":
            return f"{'Twice' if count == 2 else f'{count} times'}, {apart} apart, "
        case "period":
            off = f", give or take {time_words(rhythm.off)}" if rhythm.off >= 1.0 else ""
            missing = f", {counted(rhythm.missing, 'time')} left out" if rhythm.missing else ""
            return f"Every {time_words(rhythm.period)}{off}, {count} times{missing}, "
        case "trend":
            way = "shorter" if rhythm.last < rhythm.first else "longer"
            pauses = f"{time_words(rhythm.first)} to {time_words(rhythm.last)}"
            return f"{count} times, the pauses ever {way}, from {pauses}, as a thermostat does, "
    return f"{count} times, at no fixed distance ({apart} apart), "


def enough_sentences(recording: Recording, night: Night, zero: ClampZero, flat: TimeToFlat | None) -> Iterator[str]:
    """The mean, and how long the battery lasts at it."""
    if night.mean is None:
        return
    over = f"from {clock_at(recording, night.mean_over[0])} to {clock_at(recording, night.mean_over[1])}"
    low, high = (amps_words(max(0.0, its - zero.amps)) for its in night.mean)
    mean = low if low == high else f"{low} to {high}"
    if night.charged:
        over += ", without what was charged"
    yield f"Mean {mean} {over}. It is for the time to flat only: at no time need so much have flowed."
    draw = draw_of(night, zero)
    if flat is None or draw is None:
        yield "How long a battery lasts at that: --battery 95Ah."
        return
    band = f"{amps_words(draw.low)} to {amps_words(draw.high)}, by the zero's error"
    which = "At what still flowed at the end" if flat.at_end else "At that mean"
    if flat.hours is None:
        yield f"{which} ({band}) nothing is taken that this log could show."
    else:
        yield f"{which} ({band}) it no longer starts after {parked_time_words(flat.hours)}."
    yield f"Assumed: {'; '.join(flat.usable.assumed)}. No self-discharge counted."


def cannot_sentences(recording: Recording, night: Night) -> Iterator[str]:
    """What this log cannot know."""
    shown = [f"{_milliamps(amps)} for {time_words(length)}" for length, amps in night.smallest]
    if shown:
        yield f"Smaller than {joined(shown, 'or')} may be missed; from 1.3 times that on next to nothing is."
    if recording.held:
        yield "What was too small to make the recorder write."
    if night.averaged > 1:
        shorter = time_words(night.distance)
        yield f"{night.averaged} samples at a time were averaged: what is shorter than {shorter} is smeared."
    yield "Which fuse: a log of the total can't know that. A fuse that is read while the event is down clears nobody."
    if recording.gaps:
        yield "What was in the gaps."


def _milliamps(amps: float) -> str:
    return f"{float(f'{amps * 1000:.2g}'):g} mA"
