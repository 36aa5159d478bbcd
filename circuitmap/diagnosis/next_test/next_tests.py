"""What is to be done next, and what stands in the way of it, as it was chosen."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal, NamedTuple

from circuitmap.diagnosis.next_test.planned import PlannedTest

NotWorth = Literal["more-fuses", "clamp", "network-line"]


class NextTests(NamedTuple):
    """The choices, best first. `normal_up_to` is the current in A that a try must come down to, `was` what it comes
    down from, with what is out already; `mend` is the part to prove and mend when looking further is no use;
    `not_worth` are kinds of test that would tell next to nothing; `gone`: the draw went with something out and has to
    come back first; `not_compared` is how many steps were too many to be compared; `place` is the battery at which a
    try is read, and `normal_at` what is normal at each battery that was read, in A. `unexplained` are networks seen
    awake that most of what is left does not wake: until that is explained, nobody stops looking. `owed`: most of what
    flows was not followed beyond a feeder yet, and a box behind it was not read; `strained`: what was read only just
    goes together, or not at all. `put_in` is what is out, with which the draw is gone: whatever comes next is done with
    it in again. `waits` is what is out, with which what comes and goes has not had its time to come, or what may be
    kept awake by it to fall asleep, by the minute of the card's clock `sleeps_at`: nothing else is done until then."""

    choices: tuple[PlannedTest, ...]
    normal_up_to: float
    not_worth: tuple[NotWorth, ...] = ()
    mend: str = ""
    was: float = 0.0
    gone: bool = False
    not_compared: int = 0
    place: str = ""
    normal_at: Mapping[str, float] = MappingProxyType({})
    unexplained: tuple[str, ...] = ()
    owed: bool = False
    strained: bool = False
    put_in: tuple[str, ...] = ()
    waits: tuple[str, ...] = ()
    sleeps_at: float | None = None
