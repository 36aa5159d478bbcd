"""The kinds of work that a next test may ask for, one record for each: what it takes, how it is done, what it tells.

Minutes and chances are judgement. The words for them are in `reports/suspects/next_test.py`.
"""

from typing import Literal, NamedTuple, assert_never, get_args

Doing = Literal[
    "look", "look-at", "follow", "at-the-post", "read-fuse", "read-box", "read-again", "clamp", "network-line",
    "inputs", "input-volts", "load-volts", "asked-volts", "relay-volts", "unplug", "plug", "connector", "leg",
    "pull-fuses", "pull-relay", "bridge", "zero-again", "leads-again", "finer-clamp", "finish-sheet",
]  # fmt: skip

By = Literal["eyes", "desk", "probes", "clamp", "scan tool", "parting", "pulling"]
"""How it is done, and so what to take care of: probes at live metal, plugs parted, fuses or relays pulled."""

Tells = Literal[
    "what is left", "what flows there", "the same again", "a line awake", "a wrong input", "what an input hears",
    "what a load gets", "what asks there", "how a relay stands", "what a look finds", "whether it burns",
    "which of them draws", "a contact closed", "nothing",
]  # fmt: skip
"""What the test shows, which `predicting` works out before it is done."""


class Work(NamedTuple):
    """`hands` are minutes of hands, `wakes` the chance of waking what sleeps."""

    hands: float
    wakes: float
    by: By
    tells: Tells


def _work(doing: Doing) -> Work:
    match doing:
        case "look":
            return Work(10.0, 0.0, "eyes", "what a look finds")
        case "look-at":
            return Work(1.0, 0.0, "eyes", "whether it burns")
        case "follow":
            return Work(18.0, 0.0, "eyes", "what a look finds")
        case "at-the-post":
            return Work(8.0, 0.0, "clamp", "what a look finds")
        case "read-fuse":
            return Work(1.0, 0.05, "probes", "what flows there")
        case "read-box":
            return Work(1.0, 0.05, "probes", "which of them draws")
        case "read-again":
            return Work(1.0, 0.05, "probes", "the same again")
        case "clamp":
            return Work(2.0, 0.0, "clamp", "what flows there")
        case "leads-again":
            return Work(2.0, 0.05, "probes", "nothing")
        case "zero-again" | "finer-clamp":
            return Work(2.0, 0.0, "clamp", "nothing")
        case "network-line":
            return Work(4.0, 0.05, "probes", "a line awake")
        case "inputs":
            return Work(3.0, 1.0, "scan tool", "a wrong input")
        case "input-volts":
            return Work(3.0, 0.05, "probes", "what an input hears")
        case "load-volts":
            return Work(3.0, 0.05, "probes", "what a load gets")
        case "asked-volts":
            return Work(3.0, 0.05, "probes", "what asks there")
        case "relay-volts":
            return Work(5.0, 0.05, "probes", "how a relay stands")
        case "unplug" | "plug" | "connector" | "leg":
            return Work(2.0, 0.5, "parting", "what is left")
        case "pull-fuses" | "pull-relay":
            return Work(1.0, 0.3, "pulling", "what is left")
        case "bridge":
            return Work(4.0, 0.5, "parting", "a contact closed")
        case "finish-sheet":
            return Work(20.0, 0.0, "desk", "nothing")
        case _:
            assert_never(doing)


WORK: dict[Doing, Work] = {doing: _work(doing) for doing in get_args(Doing)}


def done_by(*ways: By) -> tuple[Doing, ...]:
    """All kinds of work that are done in one of these ways."""
    return tuple(doing for doing, work in WORK.items() if work.by in ways)


TAKES_OUT = frozenset(done_by("parting", "pulling"))
INVASIVE = TAKES_OUT | frozenset(done_by("scan tool"))
MOST_TOLD = 6
"""From this many parts behind a fuse or connector on, it is not told for each what to take care of (judgement)."""
