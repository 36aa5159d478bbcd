"""The part that leads, and a step to do there: whoever is sent to a part is told what to do at it."""

from collections.abc import Container, Sequence

import numpy as np

from circuitmap.diagnosis.explaining.listing import Listed
from circuitmap.diagnosis.explaining.shares import Shares
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.next_test.handling import Action
from circuitmap.diagnosis.next_test.planned import LEAST_TOLD, PlannedTest

LIKELY = 0.5
"""From this probability of what the case is about on, there is an answer, and a step at the part that leads."""
TIED = 0.98
"""A part with this share of the first one's probability is level with it: then no part leads."""
LEAVES_ONLY = 0.85
"""If a part has this probability after an outcome, the outcome leaves only that part (judgement)."""


def leading_fault(listed: Listed, faults: Sequence[Fault], by_part: Shares, by_about: Shares) -> Fault | None:
    """The likeliest fault of the part that leads; None while nothing is likelier than not, or while several parts are
    level. The shares are those of the explanations by part and by what they are about."""
    about, share = by_about.largest(listed.weights)
    if share < LIKELY:
        return None
    masses = by_part.masses(by_about.only(about, listed.weights))
    first, *others = np.argsort(-masses, kind="stable").tolist()
    if others and masses[others[0]] >= TIED * masses[first]:
        return None
    return likeliest_fault(listed, faults, by_part, first)


def likeliest_fault(listed: Listed, faults: Sequence[Fault], by_part: Shares, number: int) -> Fault:
    """The likeliest fault of a part, given by its number among those with shares."""
    part = by_part.known[number]
    n = int(np.argmax(by_part.only(part, listed.weights)))
    both = (int(listed.first[n]), int(listed.second[n]))
    return next(faults[number] for number in both if number >= 0 and faults[number].part == part)


def goes_to(action: Action, lead: Fault) -> bool:
    """Whether something is done at the part that leads: it is unplugged, pulled, or measured there."""
    names = {lead.part} | ({lead.contact} if lead.has("coil-volts") else set())
    if lead.has("its-place"):
        names |= {lead.about, lead.place}
    takes = action.takes_out and (action.about in names or bool(names & set(action.parts)))
    if action.doing == "input-volts" and lead.has("inputs") and not lead.pin:
        return action.parts[0] in lead.others
    if action.doing == "load-volts" and lead.partly:
        return action.about in lead.owners
    return takes or (action.doing in ("relay-volts", "clamp", "at-the-post") and bool(names & set(action.parts)))


def settles(test: PlannedTest, lead: Fault) -> bool:
    """Whether a test is made at the part that leads, or one of its outcomes leaves only that part."""
    left = any(
        branch.part == lead.part and branch.then >= LEAVES_ONLY and branch.probability >= LEAST_TOLD
        for branch in test.branches
    )
    return left or goes_to(test.action, lead)


def only_repeats(test: PlannedTest, lead: Fault, shown: Container[str]) -> bool:
    """Whether a step can only show what is known: something behind a fuse draws, the fuse was read, and it would be
    pulled to see as much go."""
    told = [branch for branch in test.branches if branch.probability >= LEAST_TOLD]
    read = all(name in shown for name in test.action.parts)
    return len(told) < 2 and lead.has("its-place") and test.action.doing == "pull-fuses" and read


def with_one_more(choices: Sequence[PlannedTest], test: PlannedTest, most: int) -> list[PlannedTest]:
    """Adds a choice; if there are `most` already, of those after the first the one gives way that tells least and is
    not the only one with nothing unplugged."""
    if len(choices) < most:
        return [*choices, test]
    gentle = [n for n, one in enumerate(choices) if not one.action.is_invasive]
    others = [n for n in range(1, len(choices)) if gentle != [n] or not test.action.is_invasive]
    goes = min(others, key=lambda n: (round(choices[n].bits, 2), -n))
    return [*(one for n, one in enumerate(choices) if n != goes), test]
