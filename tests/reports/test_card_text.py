"""What is told back of each entry of a card: everything that stands in it, in words."""

import pytest

from circuitmap.evidence.job_card import Entry, read_card
from circuitmap.reports.job.card_text import entry_lines, entry_words
from circuitmap.source import SourceFile

NEEDS_NO_WORDS = {"span", "at", "struck", "by", "id"}
"""What the words leave out: where an entry stands; its time, who wrote it and why it is struck are shown beside the
words; what a device calls it is for devices."""


def entry(text: str) -> Entry:
    card, problems = read_card(SourceFile("job.yaml", f"job: 1\nentries:\n  - {{{text}}}\n"))
    assert not problems
    return card.entries[0]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("looked: yes", "looked round, found nothing"),
        ("relays: {REAR.K3: open, LIFTK: held}", "relay REAR.K3: open; relay LIFTK: held"),
        ("inputs: {DOORD: wrong}", "input DOORD: seen wrong"),
        ("volts: {LIFT.B3: 0.0V}", "volts at LIFT.B3: 0.0V"),
        ("total: 0.47A, steady: yes", "total 0.47A; watched, steady"),
        ("state: locked, meter: clamp, resolution: 10mA, zeroed: yes",
         "locked; read with clamp, last digit 10mA; meter zeroed"),
        ("resolution: 1mA", "last digit 1mA"),
        ("network: {BODY: 0.0V}, looked: no", "network BODY 0.0V"),
        ("out: [F1], change: no change", "out: F1; the draw: no change"),
        ("out: [F1], change: down", "out: F1; the draw: less"),
        ("found: {DOME: burning, X20.8: chafed}", "found DOME burning; found X20.8 chafed"),
        ("battery: {place: BAT, rest: 12.45V, test: bad}", "battery BAT rest 12.45V test bad"),
        ("added: {COOLER: F1}, own-battery: [COOLER]",
         "on no sheet: COOLER from F1; has a battery of its own: COOLER"),
        ("turned: {BUNKSW: 'off'}", "BUNKSW turned to off, and left so"),
        ("at: '10:50'", "nothing"),
    ],
)  # fmt: skip
def test_what_an_entry_says(text: str, words: str) -> None:
    assert entry_words(entry(text)) == words


ONE_OF_EACH = {
    "state": "locked", "meter": "clamp", "resolution": "10mA", "zeroed": "yes", "steady": "yes", "looked": "yes",
    "total": "1A", "read": "{F1: 1A}", "log": "{floor: 1A}", "network": "{BODY: awake}", "silent": "[LIFT]",
    "unsteady": "[LIFT]", "answers": "[LIFT]", "codes": "[U0140]", "relays": "{K1: open}", "inputs": "{S1: right}", "volts": "{LIFT.1: 0.0V}",
    "out": "[LIFT]", "back": "[LIFT]", "remark": "rain", "photo": "a.jpg", "claim": "a lamp", "cause": "LIFT",
    "mended": "dried", "to_mend": "seal", "until_then": "F40 out", "tested": "{LIFT feed: fine}",
    "fitted": "[TOW]", "absent": "[TOW]", "stands": "{S1: on}", "turned": "{S1: off}", "added": "{COOLER: F1}",
    "own_battery": "[SIREN]", "in_slot": "{F4: 10A}", "found": "{X20: wet}", "battery": "{rest: 12.4V}", "change": "gone",
    "dead": "[SCRL, SCRR]",
    "works": "[MIRL]",
    "probed": "{F72.1: 12.3V, F72.2: 0.02V}",
    "during": "event",
    "logged": "{file: night.csv, floor: 0.04A, mean: 0.2A, for: 9h}",
}  # fmt: skip


@pytest.mark.parametrize("name", sorted(set(Entry.__slots__) - NEEDS_NO_WORDS))
def test_nothing_that_an_entry_holds_goes_unsaid(name: str) -> None:
    key, value = name.replace("_", "-"), ONE_OF_EACH[name]
    text = f"scan: {{{key}: {value}}}" if name in ("silent", "unsteady", "answers") else f"{key}: {value}"
    assert getattr(entry(text), name)
    assert entry_words(entry(text)) != "nothing"


def test_who_wrote_an_entry_stands_before_it() -> None:
    card, _ = read_card(
        SourceFile("j.yaml", "entries:\n  - {at: '10:52:07', by: Ida, id: device00000001, remark: rain}\n")
    )
    assert "   1  10:52:07          Ida: rain" in entry_lines(card)
