"""What a card says of a fuse that blows: in which positions it blew, in which it held, and what became of it since
something was mended."""

from dataclasses import dataclass
from typing import Literal

from circuitmap.circuit.links import Circuit
from circuitmap.dead.blown import ToldOfFuse
from circuitmap.dead.written_told import written_fuse
from circuitmap.evidence.card_text import Text
from circuitmap.evidence.job_card import JobCard
from circuitmap.evidence.told_car import problem_of
from circuitmap.failures import WrongUse
from circuitmap.problems import Problem

BlownStage = Literal["", "open", "mended", "not-repaired", "repaired"]
"""Empty: nobody said that a fuse blows. `open`: it is not mended. `mended`: nobody put a fuse in since. `repaired`: it
was said to hold since, in a position in which it had blown."""


@dataclass(frozen=True)
class BlownStanding:
    """`told` is what was said of one fuse before mending, the latest of each position; `mended` what was done."""

    stage: BlownStage = ""
    told: tuple[ToldOfFuse, ...] = ()
    mended: str = ""
    problems: tuple[Problem, ...] = ()

    @property
    def fuse(self) -> str:
        """The fuse that blew; empty for none."""
        return next((its.name for its in self.told if not its.works), "")


def blown_on_card(circuit: Circuit, card: JobCard) -> BlownStanding:
    """Where the fuse of a card stands that blew. One fuse at a time, and none that is hands-off."""
    told: dict[object, ToldOfFuse] = {}
    since: dict[object, ToldOfFuse] = {}
    problems: list[Problem] = []
    mended = ""
    for entry in (entry for entry in card.entries if entry.struck is None):
        for texts, works in ((entry.dead, False), (entry.works, True)):
            for text in texts:
                its = _of_a_fuse(circuit, text, works, problems)
                if its is None:
                    continue
                other = next((one.name for one in told.values() if one.name != its.name), "")
                if other:
                    problems.append(problem_of(_one_at_a_time(other), text))
                else:
                    (since if mended else told)[its.said] = its
        if entry.mended is not None:
            mended, since = entry.mended.value, {}
    if all(its.works for its in told.values()):
        return BlownStanding(problems=tuple(problems))
    return BlownStanding(_stage(told, since, mended), tuple(told.values()), mended, tuple(problems))


def _stage(told: dict[object, ToldOfFuse], since: dict[object, ToldOfFuse], mended: str) -> BlownStage:
    if not mended:
        return "open"
    blew = {said for said, its in told.items() if not its.works}
    if any(not its.works for its in since.values()):
        return "not-repaired"
    return "repaired" if blew <= {said for said, its in since.items() if its.works} else "mended"


def _of_a_fuse(circuit: Circuit, text: Text, works: bool, problems: list[Problem]) -> ToldOfFuse | None:
    try:
        its = written_fuse(circuit, text.value, works)
    except WrongUse:
        return None  # told with what is dead
    if its is not None and not circuit.hands_off.may_touch(its.name):
        wrong = WrongUse(
            f"{its.name} is hands-off: nothing is tested there.", "The maker's procedure, by somebody licensed."
        )
        problems.append(problem_of(wrong, text))
        return None
    return its


def _one_at_a_time(fuse: str) -> WrongUse:
    return WrongUse("One fuse that blew at a time.", f"{fuse} is on this card: begin another one for this.")


def is_a_fuse(circuit: Circuit, text: str) -> bool:
    """Whether what is said to be dead, or to work, is a fuse."""
    try:
        return written_fuse(circuit, text, False) is not None
    except WrongUse:
        return False
