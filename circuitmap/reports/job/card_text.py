"""A job card as lines: what was taken in, what others claim, every entry with its number."""

from collections.abc import Iterator

from circuitmap.evidence.job_card import Entry, JobCard, Pair
from circuitmap.reports.words.limit_words import change_words
from circuitmap.reports.words.paragraphs import section, wrapped

_INTAKE_WORDS = {
    "flat-after": "goes flat after", "battery-type": "battery type", "battery-age": "battery age",
    "battery-volts": "battery at rest", "done-before": "done just before", "happens-when": "happens when",
}  # fmt: skip


def card_text(card: JobCard) -> list[str]:
    """The whole card, as the shop sees it."""
    return [*intake_lines(card), "", *entry_lines(card)]


def intake_lines(card: JobCard) -> list[str]:
    rows = [f"{_INTAKE_WORDS.get(key, key)}: {text.value}" for key, text in card.intake.items()]
    rows += [f"fitted: {', '.join(t.value for t in card.fitted)}"] if card.fitted else []
    rows += [f"not fitted: {', '.join(t.value for t in card.absent)}"] if card.absent else []
    rows += [f"on no sheet: {pair.name.value} from {pair.value.value}" for pair in card.added]
    return section("TAKEN IN", rows)


def entry_lines(card: JobCard) -> list[str]:
    """Every entry: its number, its time, who wrote it, what it says; struck ones keep what they said."""
    lines: list[str] = []
    for number, entry in enumerate(card.entries, 1):
        said = entry_words(entry)
        if entry.struck is not None:
            said = f"[struck: {entry.struck.value}] {said}"
        if entry.by is not None:
            said = f"{entry.by.value}: {said}"
        at = entry.at.value if entry.at is not None else ""
        lines += wrapped(said, f"{number:4}  {at:16}  ")
    return lines


def entry_words(entry: Entry) -> str:
    """One entry in one sentence of pieces."""
    return "; ".join(_pieces(entry)) or "nothing"


def _pieces(entry: Entry) -> Iterator[str]:
    if entry.state is not None:
        yield entry.state.value
    if entry.meter is not None or entry.resolution is not None:
        yield _meter(entry)
    if entry.zeroed:
        yield "meter zeroed"
    if entry.back:
        yield f"back in: {', '.join(t.value for t in entry.back)}"
    if entry.out:
        yield f"out: {', '.join(t.value for t in entry.out)}"
    yield from (f"{pair.name.value} turned to {pair.value.value}, and left so" for pair in entry.turned)
    yield from (f"on no sheet: {pair.name.value} from {pair.value.value}" for pair in entry.added)
    if entry.own_battery:
        yield f"has a battery of its own: {', '.join(t.value for t in entry.own_battery)}"
    yield from (f"in the slot of {pair.name.value}: {pair.value.value}" for pair in entry.in_slot)
    yield from _readings(entry)
    if entry.total is not None:
        yield f"total {entry.total.value}"
    if entry.during is not None:
        yield {"floor": "read at the floor", "event": "read while it was up"}[entry.during.value]
    if entry.change is not None:
        yield f"the draw: {change_words(entry.change.value)}"
    if entry.steady:
        yield "watched, steady"
    if entry.looked:
        yield "looked round, found nothing"
    yield from (f"found {pair.name.value} {pair.value.value}" for pair in entry.found)
    if entry.battery:
        yield f"battery {' '.join(f'{p.name.value} {p.value.value}'.removeprefix('place ') for p in entry.battery)}"
    yield from (f"relay {pair.name.value}: {pair.value.value}" for pair in entry.relays)
    yield from (f"input {pair.name.value}: seen {pair.value.value}" for pair in entry.inputs)
    yield from (f"volts at {pair.name.value}: {pair.value.value}" for pair in entry.volts)
    for names, what in ((entry.dead, "dead"), (entry.works, "works")):
        if names:
            yield f"{what}: {', '.join(t.value for t in names)}"
    if entry.probed:
        yield f"probe: {', '.join(f'{p.name.value} {p.value.value}' for p in entry.probed)}"
    for names, what in ((entry.fitted, "fitted"), (entry.absent, "not fitted")):
        if names:
            yield f"{what}: {', '.join(t.value for t in names)}"
    yield from (f"{pair.name.value} stands at {pair.value.value}" for pair in entry.stands)
    for pairs, what in (
        (entry.log, "log"),
        (_told_of(entry.logged), "logged"),
        (entry.network, "network"),
        (entry.tested, "tested"),
    ):
        if pairs:
            yield f"{what} {', '.join(f'{p.name.value} {p.value.value}' for p in pairs)}"
    for names, what in ((entry.silent, "silent"), (entry.unsteady, "comes and goes"), (entry.answers, "answers")):
        if names:
            yield f"{what}: {', '.join(t.value for t in names)}"
    if entry.codes:
        yield f"codes {', '.join(t.value for t in entry.codes)}"
    for text, what in (
        (entry.remark, ""), (entry.photo, "photo "), (entry.claim, "others say: "), (entry.cause, "cause: "),
        (entry.to_mend, "to mend: "), (entry.until_then, "until then: "), (entry.mended, "mended: "),
    ):  # fmt: skip
        if text is not None:
            yield what + text.value


def _meter(entry: Entry) -> str:
    """`read with clamp, last digit 10mA`, from here on."""
    kind = f"read with {entry.meter.value}" if entry.meter is not None else ""
    step = f"last digit {entry.resolution.value}" if entry.resolution is not None else ""
    return ", ".join(said for said in (kind, step) if said)


def _readings(entry: Entry) -> Iterator[str]:
    """Readings, with equal ones together: a row of thirty zeros is one piece."""
    by_value: dict[str, list[str]] = {}
    for pair in entry.read:
        by_value.setdefault(pair.value.value, []).append(pair.name.value)
    for value, places in by_value.items():
        if len(places) > 4:
            yield f"{len(places)} places {value} ({places[0]} .. {places[-1]})"
        else:
            yield ", ".join(f"{place} {value}" for place in places)


def _told_of(logged: tuple[Pair, ...]) -> tuple[Pair, ...]:
    """What a log's file showed, without what only the program compares."""
    return tuple(pair for pair in logged if pair.name.value not in ("sum", "told"))
