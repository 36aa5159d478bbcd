"""What devices send to the desk, and what they are told of it."""

from typing import Literal, NamedTuple

from circuitmap.flows.counts_otherwise import CountsOtherwise


class Sent(NamedTuple):
    """One entry as a device sends it: what the device calls it, the line, when it was typed by the device's clock, in
    milliseconds; `meter` and `resolution` as for `card add`. `photo`: one was sent before, under the same id."""

    id: str
    line: str
    at_ms: int
    meter: str = ""
    resolution: str = ""
    steady: bool = False
    photo: bool = False


class Delivered(NamedTuple):
    """What became of one entry. `known`: the card had it already. `refused`: it is not on the card, and `why`."""

    id: str
    outcome: Literal["kept", "known", "refused"]
    why: str = ""
    understood: tuple[str, ...] = ()


class Batch(NamedTuple):
    """What became of each entry that was sent, and whose earlier ones count otherwise now."""

    taken: tuple[Delivered, ...]
    moved: tuple[CountsOtherwise, ...] = ()


class OnShelf(NamedTuple):
    """A job on the shelf: `key` is how it is asked for, `trouble` why it cannot be opened."""

    key: str
    title: str
    says: str
    stands: str
    closed: bool
    trouble: str = ""
