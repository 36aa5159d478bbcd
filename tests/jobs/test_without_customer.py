"""What is hidden of a customer in a free text, what is asked, and what stays: one line for each case."""

import pytest

from circuitmap.evidence.job_card import JobCard, read_card
from circuitmap.failures import Failure, LimitReached, WrongUse
from circuitmap.jobs.card_writing import new_card
from circuitmap.jobs.customer_words import LONGEST_PRIVATE
from circuitmap.jobs.without_customer import NO_FILE_NAME, WithoutCustomer, without_customer
from circuitmap.source import SourceFile
from tests.card_texts import with_entry
from tests.fuzzing.card_lines import van


def card(customer: str, phone: str = "", **entry: str) -> JobCard:
    head = [(key, value) for key, value in (("customer", customer), ("phone", phone)) if value]
    text = with_entry(SourceFile("job.yaml", new_card([("job", "1"), *head])), tuple(entry.items()))
    found, problems = read_card(SourceFile("job.yaml", text))
    assert not problems
    return found


def shared(
    customer: str, phone: str = "", hide: tuple[str, ...] = (), keep: tuple[str, ...] = (), **entry: str
) -> WithoutCustomer:
    return without_customer(van(), card(customer, phone, **entry), hide, keep)


def remark(found: WithoutCustomer) -> str:
    text = found.card.entries[0].remark
    assert text is not None
    return text.value


SURE = [
    ("Jessamy Orford", "", "Jessamy said it rained", "[customer] said it rained"),
    ("Jessamy Orford", "", "ORFORD, and orford", "[customer]"),
    ("Jessamy Orford", "", "Mrs Orford rang", "[customer] rang"),
    ("Jessamy Orford", "", "MrsOrford rang", "[customer] rang"),
    ("Jessamy Orford", "", "the Orfords' drive", "the [customer]' drive"),
    ("Jessamy Orford", "", "Orford's van", "[customer]'s van"),
    ("Jessamy Orford", "", "J. Orford signed", "[customer] signed"),
    ("Jessamy Orford", "", "J Orford signed", "[customer] signed"),
    ("Jessamy Orford", "", "Orford, J. signed", "[customer] signed"),
    ("Jessamy Orford", "", "signed jorford", "signed [customer]"),
    ("Jessamy Orford", "", "write to jorford@", "write to [customer]@"),
    ("Jessamy Orford", "", "write to j.orford@mill.example now", "write to [customer] now"),
    ("Jessamy Orford", "", "file orford_dash", "file [customer]_dash"),
    ("Jessamy Orford", "", "OrfordDash, ORFORDdash", "[customer]Dash, [customer]dash"),
    ("Jessamy Orford", "", "O r f o r d", "[customer]"),
    ("Jessamy Orford", "", "Or\u00adford, O\u200brford", "[customer]"),
    ("Jessamy Orford", "", "Ｏｒｆｏｒｄ", "[customer]"),
    ("Örford", "", "O\u0308rford and Oerford and Orford", "[customer]"),
    ("O\u0308rford", "", "Örford", "[customer]"),
    ("Müller", "", "Mueller, Muller, MÜLLERS", "[customer]"),
    ("Mueller", "", "Müller", "[customer]"),
    ("Weiß", "", "WEISS", "[customer]"),
    ("Ødegård", "", "Oedegaard", "[customer]"),
    ("Li", "", "Li said so, light off", "[customer] said so, light off"),
    ("Ng", "", "NG rang while charging", "[customer] rang while charging"),
    ("Wu Xi", "", "MrWu, wuxi", "[customer]"),
    ("O'Brien", "", "OBrien, O’Brien, obrien", "[customer]"),
    ("Smith-Jones", "", "Smith; Jones; smithjones", "[customer]; [customer]; [customer]"),
    ("田中太郎", "", "田中さんは留守", "[customer]さんは留守"),
    ("Иванов", "", "ИВАНОВ звонил", "[customer] звонил"),
    ("Kennedy", "", "the Kennedys, the Kennedies", "the [customer], the [customer]"),
    ("May Not Ltd", "", "May Not Ltd pays, Mr. May rang", "[customer] pays, [customer] rang"),
    ("7Eleven", "", "7eleven pays", "[customer] pays"),
    ("", "0731 4420", "rang from 0731/44-20", "rang from [customer]"),
    ("", "0731 4420", "+49 731 4420, (0731)4420, 0049 7314420", "[customer]"),
    ("", "+49 171 1234567", "0171-123 45 67 at 12.5 V", "[customer] at 12.5 V"),
    ("", "0731 4420", "٠٧٣١٤٤٢٠", "[customer]"),
    ("", "ada.quill@mill.example", "ADA.QUILL@MILL.EXAMPLE wrote", "[customer] wrote"),
    ("", "ask Ada Quill", "Quill opened it", "[customer] opened it"),
]  # fmt: skip


@pytest.mark.parametrize(("customer", "phone", "written", "reads"), SURE)
def test_what_is_the_customers_for_sure_is_hidden(customer: str, phone: str, written: str, reads: str) -> None:
    found = shared(customer, phone, remark=written)
    assert not found.doubtful
    assert remark(found) == reads
    assert [(one.place, one.text) for one in found.hidden] == [("1.remark", reads)]


ASKED = [
    ("May Not Ltd", "", "it may not start", ["may", "not"]),
    ("Fill", "", "fill it up", ["fill"]),
    ("Heater", "", "the heater was on", ["heater"]),
    ("Marlow", "", "Marlow sticker", ["Marlow"]),
    ("Orford", "", "Orfordshire plates", ["Orfordshire"]),
    ("Orford", "", "orforddash", ["orforddash"]),
    ("Orford", "", "an Oxford garage, Orfrod", ["Oxford", "Orfrod"]),
    ("Иванов", "", "Иванова звонила", ["Иванова"]),
    ("Jessamy Orford", "", "signed J.O.", ["J.O."]),
    ("X", "", "the X of X61", ["X"]),
    ("", "0731 4420", "ring 4420", ["4420"]),
    ("", "110", "110 km", ["110"]),
    ("Orford", "", "other@mail.example wrote", ["other@mail.example"]),
]


@pytest.mark.parametrize(("customer", "phone", "written", "words"), ASKED)
def test_what_may_be_the_customer_or_not_is_asked(customer: str, phone: str, written: str, words: list[str]) -> None:
    found = shared(customer, phone, remark=written)
    assert [one.word for one in found.doubtful] == words
    kept = shared(customer, phone, keep=tuple(words), remark=written)
    assert not kept.doubtful and remark(kept) == written and not kept.hidden
    hidden = shared(customer, phone, hide=tuple(words), remark=written)
    assert not hidden.doubtful and "[customer]" in remark(hidden)
    assert not any(word in remark(hidden).split() for word in words)


NOT_ASKED = [
    ("Ada Quill", "", "adapter, adamant"), ("Li", "", "light, relief, Linnet"), ("Ed", "", "needed, failed"),
    ("Orford", "0731 4420", "0.4420 V on 2026-11-09, F4420"), ("Mrs", "", "missed"), ("The Co", "", "thermostat, cold"), ("", "", "may be"),
    ("???", "n/a", "nothing said"),
]  # fmt: skip


@pytest.mark.parametrize(("customer", "phone", "written"), NOT_ASKED)
def test_what_is_nobodys_name_stays(customer: str, phone: str, written: str) -> None:
    found = shared(customer, phone, remark=written)
    assert (remark(found), found.hidden, found.doubtful) == (written, (), ())


@pytest.mark.parametrize(
    "name", ["orford_dash.jpg", "IMG MrsOrford.JPG", "jorford.png", "dashorford.jpg", "orfords/1.jpg", "oxford.jpg"]
)
def test_a_photos_name_that_may_hold_the_name_is_left_out_unasked(name: str) -> None:
    found = shared("Jessamy Orford", photo=name)
    assert not found.doubtful
    assert found.card.entries[0].photo is not None and found.card.entries[0].photo.value == NO_FILE_NAME
    kept = shared("Jessamy Orford", photo="dash.jpg")
    assert kept.card.entries[0].photo is not None and kept.card.entries[0].photo.value == "dash.jpg"


def test_the_keys_are_gone_and_names_of_the_platform_stay() -> None:
    found = shared("Heater Lift", "0731 4420", out="LIFT", remark="it rained")
    assert not {"customer", "phone", "platform"} & set(found.card.intake)
    assert [text.value for text in found.card.entries[0].out] == ["LIFT"]


def test_an_entry_that_is_struck_and_makes_no_sense_is_searched_whole() -> None:
    senseless = shared("Orford", total="Orford said 3A", struck="wrong card")
    assert senseless.card.entries[0].total is not None and senseless.card.entries[0].total.value == "[customer] said 3A"
    sound = shared("Lift", out="LIFT", struck="wrong card")
    assert [text.value for text in sound.card.entries[0].out] == ["LIFT"]


def test_an_answer_may_be_for_one_place_alone() -> None:
    both = {"remark": "may it rain", "claim": "may rang"}
    asked = shared("May", **both).doubtful
    assert [(one.place, one.word) for one in asked] == [("1.remark", "may"), ("1.claim", "may")]
    found = shared("May", keep=("may",), hide=("1.claim:may",), **both)
    assert not found.doubtful and remark(found) == "may it rain"
    assert found.card.entries[0].claim is not None and found.card.entries[0].claim.value == "[customer] rang"


def test_a_word_that_nobody_asked_about_can_be_hidden_too() -> None:
    assert (
        remark(shared("Orford", hide=("Jess",), remark="Jess rang, Jessica did not"))
        == "[customer] rang, Jessica did not"
    )


@pytest.mark.parametrize(
    ("hide", "keep", "says"),
    [
        ((), ("rained",), "Nothing on this card asks for rained"),
        ((), ("Orford",), "for sure"),
        (("gone",), (), "Nothing on this card asks for gone"),
        (("may",), ("may",), "hidden and kept"),
        ((" ",), (), "names no word"),
    ],
)
def test_an_answer_to_nothing_is_refused(hide: tuple[str, ...], keep: tuple[str, ...], says: str) -> None:
    with pytest.raises(WrongUse, match=says):
        shared(
            "May Orford", hide=hide, keep=keep, remark="Orford said it may rain" if "may" in hide else "Orford rained"
        )


@pytest.mark.parametrize("more", [0, 1])
def test_a_customer_is_a_name_not_a_story(more: int) -> None:
    name = "Orford " * 28 + "x" * (LONGEST_PRIVATE - 196 + more)
    assert len(name) == LONGEST_PRIVATE + more
    try:
        found: WithoutCustomer | Failure = shared(name, remark="Orford")
    except LimitReached as reached:
        found = reached
    assert isinstance(found, LimitReached) == bool(more)
