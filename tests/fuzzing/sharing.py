"""Any bytes as a card and its customer: of the customer's words nothing is left on the shared page, and all else is."""

import re
import unicodedata
from collections.abc import Iterator

from circuitmap.evidence.card_text import Text
from circuitmap.evidence.job_card import JobCard, Pair
from circuitmap.failures import LimitReached
from circuitmap.flows.job import job_from
from circuitmap.flows.page import shared_job
from circuitmap.jobs.card_writing import new_card
from circuitmap.jobs.customer_words import LONGEST_PRIVATE
from circuitmap.jobs.job import Job
from circuitmap.jobs.ordinary_words import NEVER_NAMES_ALONE
from circuitmap.jobs.without_customer import (
    FREE_IN_ENTRY,
    FREE_INTAKE,
    HIDDEN,
    NO_FILE_NAME,
    NotShared,
    without_customer,
)
from circuitmap.source import SourceFile
from tests.card_texts import with_entry
from tests.fuzzing.card_lines import van
from tests.fuzzing.decisions import Decisions

NAMES = (
    "Jessamy", "Orford", "Li", "Ng", "Bo", "Quill", "May", "Not", "Fill", "Stroke", "Müller", "Mueller", "Jürgen", "Åse", "Weiß",
    "O'Brien", "Smith-Jones", "田中", "김철수", "Иванов", "Noël", "Ada", "Ltd", "Mrs", "Dr.", "van", "the", "Lamp", "Kennedy", "X",
    "Heater", "span", "Ｏｒｆ", "Ø", "Straße", "7Eleven", "& Sons", "Ivy", "Abbey", "Æsc", "Zoë", "aa", "aab", "Lee", "see",
)  # fmt: skip
PHONES = (
    "", "0731 4420", "0731/44 20 19", "+49 171 1234567", "0049 (0)171 123 45 67", "4420", "ada@quill.example", "Ada: 0731 4420", "12",
    "0171-1234567 or 030 98765", "٠٧٣١٤٤٢٠١٩", "n/a", "ring 5 times: 07314420",
)  # fmt: skip
GLUE = (
    " ", " ", " ", ", ", ". ", "_", "-", "", "'s ", "s ", "/", "@", "@mill.example ", ".jpg", "'", " (", ") ", "\n", "\u200b", "\u00ad", "\u0308",
    "0", "22", "A", "x", "Mrs ", "Mr. ", "J. ", "the", "dash", "+", "&", ": ", "ß", "e", "ö", "é", "y", " and ", "\t", "😀", "さ", "=", "[", "]",
)  # fmt: skip
OTHERS = (
    "it may not start", "lamp on", "said", "rang", "light", "van", "F22", "0.46A", "adapter", "Oxford", "orfordshire", "12.5 V", "2026-11-09",
    "charging", "relief valve", "BAT", "HEATER", "the", "[customer]", "<b>", "&amp;", "not", "4420", "0731", "mill lane", "e.g. fill it",
)  # fmt: skip
SHAPES = (
    str, str.upper, str.lower, str.title, str.swapcase, lambda text: unicodedata.normalize("NFD", text), lambda text: text.replace("ü", "ue"),
    lambda text: text.replace(" ", ""), lambda text: text[:1] + ". " + text.rpartition(" ")[2], lambda text: text[:-1],
    lambda text: " ".join(text), lambda text: text[::-1], lambda text: text.replace(" ", "_"), lambda text: text.replace("0", "+49 ", 1),
    lambda text: text.replace(" ", "-"), lambda text: re.sub(r"\D", "", text), lambda text: text[:3] + "-\n" + text[3:],
)  # fmt: skip
KEYS = ("remark", "claim", "cause", "to-mend", "until-then", "mended", "photo")
SLIPS = (
    "Customer: {}",
    "custommer: {}",
    "customer: [{}]",
    "customer: {{name: {}}}",
    "kustomer: {}",
    "owner: {}",
    "customer {}",
)


def customer_from(d: Decisions) -> tuple[str, str]:
    names = [d.one_of(NAMES) if d.number(8) else d.text(1 + d.number(6)) for _ in range(1 + d.number(3))]
    return " ".join(names), d.one_of(PHONES)


def free_text(d: Decisions, who: tuple[str, ...]) -> str:
    pieces = []
    for _ in range(1 + d.number(4)):
        said = d.one_of(who) if d.number(3) else d.one_of(OTHERS)
        pieces += [d.one_of(SHAPES)(said), d.one_of(GLUE)]
    return "".join(pieces) or "zzk"


def card_from(d: Decisions, name: str, phone: str) -> str:
    who = tuple(filter(None, (name, phone, *name.split(), *phone.split())))
    head = [("customer", name), ("phone", phone)] if d.number(16) else []
    head += [(key, free_text(d, who)) for key in FREE_INTAKE if d.number(3) == 0]
    text = new_card([(key, value) for key, value in head if value.strip()] or [("job", "1")])
    for _ in range(d.number(4)):
        fields = [("at", "10:00"), (d.one_of(KEYS), free_text(d, who))]
        if d.number(6) == 0:
            fields.append(("struck", free_text(d, who)))
            fields.append(("total", free_text(d, who)))
        text = with_entry(SourceFile("job.yaml", text), fields)
    if d.number(10) == 0:
        text = d.one_of(SLIPS).format(name) + "\n" + text
    return text


def fuzz_share(data: bytes) -> None:
    """Raises AssertionError where a law is broken."""
    d = Decisions(data)
    name, phone = customer_from(d)
    text = card_from(d, name, phone)
    job = job_from(van(), text, "job.yaml")
    if job.problems:
        try:
            shared_job(job)
        except NotShared:
            return
        raise AssertionError(f"shared with problems: {text!r}")
    try:
        asked = without_customer(van(), job.card).doubtful
        hide = [f"{one.place}:{one.word}" for one in asked]
        shared = without_customer(van(), job.card, hide=hide)
    except LimitReached:
        assert any(len(value) > LONGEST_PRIVATE for value in (name, phone)), text
        return
    assert not shared.doubtful, f"asked anew: {shared.doubtful}\n{text!r}"
    private = [job.card.intake[key].value for key in ("customer", "phone") if key in job.card.intake]
    left = list(left_of(private, shared.card))
    assert not left, f"left: {left}\nof {private!r}\n{text!r}"
    same_otherwise(job, hide, shared.card)


def same_otherwise(job: Job, hide: list[str], card: JobCard) -> None:
    """The page is that of a card on which the marks were typed, and that never had a customer."""
    page = shared_job(job, hide=hide).page
    nobody = job_from(van(), typed(card), "job.yaml")
    assert not nobody.problems, nobody.problems
    assert shared_job(nobody, keep=()).page == page, job.card.source.text


def typed(card: JobCard) -> str:
    """A card's text from its values."""
    text = new_card([(key, its.value) for key, its in card.intake.items()] or [("odometer", "")])
    for entry in card.entries:
        fields = [
            (name.replace("_", "-"), value.value)
            for name in entry.__slots__
            if isinstance(value := getattr(entry, name), Text)
        ]
        text = with_entry(SourceFile("job.yaml", text), fields)
    return text


# ---- an eye of its own for names: slow, and sharing nothing with the search ----


def plain(text: str) -> str:
    spelt = text.translate(
        str.maketrans({"ß": "ss", "ẞ": "ss", "ø": "o", "Ø": "o", "æ": "ae", "Æ": "ae", "œ": "oe", "ı": "i"})
    )
    kept = (c for c in unicodedata.normalize("NFKD", spelt) if unicodedata.category(c) not in ("Mn", "Me", "Cf"))
    return "".join(c for c in "".join(kept).casefold() if unicodedata.category(c) != "Mn")


def left_of(private: list[str], card: JobCard) -> Iterator[str]:
    words = {word for text in private for word in re.findall(r"[^\W\d_]+", plain(text))}
    words = {word for word in words if word not in (*NEVER_NAMES_ALONE, "mill", "example")} or words
    numbers = {
        digits
        for text in private
        if len(digits := re.sub(r"\D", "", plain(text))) >= 7 and not re.search(r"[a-z]{2}", text)
    }
    for place, text in free_texts(card):
        its = plain(text.replace(HIDDEN, " | ").replace(NO_FILE_NAME, ""))
        for word in words:
            if len(word) > 1 and re.search(rf"(?<![^\W\d_]){re.escape(word)}(?![^\W\d_])", its):
                yield f"{place}: {word}"
            if len(word) > 3 and word in its:
                yield f"{place}: {word} inside"
        digits = re.sub(r"(?<=\d)[\s()./+-]{1,3}(?=\d)", "", its)
        for number in numbers:
            if number[-7:] in digits:
                yield f"{place}: {number}"


def free_texts(card: JobCard) -> Iterator[tuple[str, str]]:
    for key in FREE_INTAKE:
        if key in card.intake:
            yield key, card.intake[key].value
    for number, entry in enumerate(card.entries, 1):
        for name in (*FREE_IN_ENTRY, "photo", *(("total",) if entry.struck is not None else ())):
            value = getattr(entry, name)
            if isinstance(value, Text):
                yield f"{number}.{name}", value.value
    for pair in card.added:
        assert isinstance(pair, Pair)
        yield "added", pair.name.value
