"""How a recorder's file was read, as sentences: what was taken for what, what is odd about it, what is asked."""

from collections.abc import Iterator

from circuitmap.recording.recorded import AskedOfFile, Recording, Remark
from circuitmap.reports.logged.when import clock_at
from circuitmap.reports.words.lasting_words import amps_words, time_words
from circuitmap.reports.words.paragraphs import counted, joined

_LONGEST_NAME = 60


def head_sentence(name: str, recording: Recording) -> str:
    """What the file holds, in one sentence."""
    last = float(recording.seconds[-1])
    if any(one.about == "distance" for one in recording.asked):
        return f"{name}: {counted(recording.numbers, 'sample')}; no time in the file."
    if recording.began is None:
        when = f"over {time_words(last)}, time of day not known"
    else:
        ends = clock_at(recording, last, day=True)
        when = f"from {clock_at(recording, 0.0, day=True)} to {ends}, {time_words(last)}"
    apart = "written on change" if recording.held else f"{time_words(recording.distance)} apart"
    known = not any(one.about in ("unit", "scale", "column") for one in recording.asked)
    values = f"; {amps_words(recording.smallest)} to {amps_words(recording.largest)}" if known else ""
    return f"{name}: {counted(recording.numbers, 'sample')} {when}, {apart}{values}."


def taken_sentences(recording: Recording) -> Iterator[str]:
    """What was taken for what."""
    taken = recording.taken
    unit = f", in {taken.unit} ({taken.unit_from})" if taken.unit else ""
    cut = "" if taken.delimiter == "none" else f"cells parted by {taken.delimiter}, "
    mark = "comma" if taken.decimal == "," else "point"
    yield f"The current: {shown_name(taken.current)}{unit}."
    beside = [f"{shown_name(it)} is the {role} of each interval" for it, role in _roles(recording) if it]
    if beside:
        yield f"{joined(beside)}."
    yield f"The time: {_time(recording)}."
    yield f"The text: {taken.encoding}, {cut}decimal {mark}; the first row of data is line {taken.first_row}."
    if taken.others:
        yield f"Not used: {joined([shown_name(it) for it in taken.others])}."


def _roles(recording: Recording) -> tuple[tuple[str, str], ...]:
    return (recording.taken.least, "least"), (recording.taken.most, "most")


def shown_name(name: str) -> str:
    return name if len(name) <= _LONGEST_NAME else f"{name[:_LONGEST_NAME]}..."


def _time(recording: Recording) -> str:
    taken = recording.taken
    named = joined([shown_name(it) for it in taken.time])
    return {
        "stamp": f"{named}, date and time of day",
        "time": f"{named}, time of day",
        "since 1970": f"{named}, seconds since 1970",
        "days": f"{named}, days since the end of 1899",
        "count": f"{named}, the recorder's own count",
        "interval": "no column; by the interval",
    }.get(taken.time_kind, "no column, and no interval")


def remark_sentences(recording: Recording, zero_said: bool) -> Iterator[str]:
    """What is odd about the file, each with its place."""
    for remark in recording.remarks:
        words = "" if zero_said and remark.kind == "zero not known" else _remark(remark, recording)
        if words:
            yield words


def _remark(remark: Remark, recording: Recording) -> str:
    count = round(remark.amount)
    line = f"line {remark.line}"
    match remark.kind:
        case "not unicode":
            return f"From {line} on there are bytes that are not UTF-8; read as 8-bit text."
        case "nul bytes":
            return f"At {line} stand {count:,} NUL bytes: the power was lost while it was written, or the card is bad."
        case "cut off":
            return f"The last line ({line}) is not whole: the file is cut off."
        case "other lines":
            rows = "1 line is no row of data and was" if count == 1 else f"{count:,} lines are no rows of data and were"
            return f"{rows} left out; the first is {line}: {remark.text}"
        case "no number":
            what = f"{remark.text!r}" if remark.text else "nothing"
            rows = "1 row was" if count == 1 else f"{count:,} rows were"
            return f"{rows} left out, not counted as 0 A; the first is {line}, where {what} stands for a number."
        case "over range":
            rows = "1 sample is" if count == 1 else f"{count:,} samples are"
            return f"{rows} above the range, from {line} on: {amps_words(remark.other)} or more, counted as that."
        case "doubles":
            rows = "1 row stands" if count == 1 else f"{count:,} rows stand"
            return f"{rows} there twice, time and value alike, the first again at {line}; counted once."
        case "several to a stamp":
            return f"Each stamp stands {count} times: {count} samples to a stamp, taken as evenly apart."
        case "midnight":
            return f"Between {line} and the one before it is midnight."
        case "clock set back":
            return f"At {line} the clock was set back by an hour; times from there on are by the clock before it."
        case "clock set forward":
            return (
                f"At {line} an hour is missing. Taken as the clock set forward: it is a Sunday in spring, early in the "
                f"morning. An hour without samples would look the same."
            )
        case "gap":
            return f"No samples for {time_words(remark.amount)} before {line}; what was in that time is not known."
        case "newest first":
            return "The newest row stands first; turned round."
        case "uneven":
            return "The samples are unevenly apart: written on change, so each value holds until the next row."
        case "month first":
            return "The month stands first in the dates: only so do they follow each other."
        case "date reads both ways":
            return "Day and month of the dates can be read both ways; nothing here tells which."
        case "day not known":
            return "The file says the time of day, not the day."
        case "universal time":
            return "Times are universal time (UTC); local time is not in the file."
        case "days since 1899":
            return "The times are taken as days since 30 December 1899, as spreadsheets count them."
        case "own count":
            if any(one.about == "distance" for one in recording.asked):
                return ""
            return f"The count begins at {time_words_signed(remark.amount)}; the time of day is not in the file."
        case "sign turned":
            return "The clamp was the other way round: the sign is turned."
        case "sign kept":
            return "Which sign is out of the battery was said; the values stay as they are."
        case "charged":
            return (
                f"{remark.amount:.0%} of the samples are negative: current into the battery. While it is charged a log "
                f"shows the battery's current, not what the vehicle takes."
            )
        case "zero said":
            when = {"before": "before the log", "after": "after the log"}.get(remark.text, "at no said time")
            return f"Zero {when} ({line}): {remark.amount:+.3f} A with nothing in the clamp."
        case "units differ":
            return f"The unit stands in each row and changes ({remark.text}); each row was read in its own."
        case "scale":
            where = line if remark.line else "what you said"
            return f"{remark.amount * 1000:g} mV stand for 1 A ({where})."
        case "no mean":
            return "Only least and most of each interval are in the file; a mean lies between theirs."
        case "zero not known":
            return "What the clamp shows with nothing in it is not in the file: every level can be off by that."


def time_words_signed(seconds: float) -> str:
    return f"-{time_words(-seconds)}" if seconds < 0 else time_words(seconds)


def asked_sentences(asked: tuple[AskedOfFile, ...]) -> Iterator[str]:
    """What has to be said before the night can be told, and with which option."""
    for one in asked:
        yield _question(one)


def _question(one: AskedOfFile) -> str:
    ranges = [
        f"{shown_name(name)} {low:g} to {high:g}" for name, (low, high) in zip(one.names, one.ranges, strict=False)
    ]
    shown = f" ({joined(ranges)})" if ranges else ""
    match one.about:
        case "column":
            return f"Which column is the battery's current?{shown} Say it: --column NAME."
        case "unit":
            return f"In which unit are the values?{shown} Nothing in the file says it: --unit mA."
        case "scale":
            return f"How many millivolts stand for one ampere?{shown} Nothing in the file says it: --scale 100mV/A."
        case "distance":
            return "How far apart are the samples? There is no time in the file: --distance 1s."
    return (
        "Which sign is current out of the battery? More than half of the values are negative, and not all: "
        "--sign kept or --sign turned."
    )
