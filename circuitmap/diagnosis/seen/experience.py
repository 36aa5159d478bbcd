"""What earlier jobs found counts towards the next one, as counts do.

A part that was the confirmed cause in n of N earlier jobs of the same platform has its odds moved by

    new share = (K p + n) / (K + N)

where p is its share of what could be wrong before anything was measured, and K is how many jobs that first judgement is
worth. This is the mean of a Beta distribution with weights K p and K (1 - p) after n of N (the rule of succession, as
in any text on Beta-Binomial counts). Jobs on other platforms speak only of the kind of part, and each counts for the
fraction `OTHER_PLATFORM` of a job. So one earlier case moves the odds but never drowns them.

Where the cause says what kind of fault it was, the kinds are moved as well, by the jobs on all platforms alike:

    new share of a kind = (K p + n) / (K + N)

the mean of a Dirichlet distribution with weights K p after n of N (as in any text on Dirichlet-multinomial counts).
"""

import re
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.fault_kinds import Kind
from circuitmap.diagnosis.seen.observed import EarlierJobs
from circuitmap.diagnosis.weighing.sightings import StateSighting
from circuitmap.wiring.platform import Platform

WORTH = 20.0
"""K: the judgement before any job is worth this many jobs (judgement)."""

OTHER_PLATFORM = 0.2
"""What a job on another platform counts for, by the kind of its part (judgement)."""

NO_PART = "wiring"
"""The kind of a fault that names no part."""

_WORD = re.compile(r"[^\s,;:]+")


class Experience(NamedTuple):
    """Counts of confirmed causes: by part on this platform, by kind of part on all others, and by kind of fault on
    all."""

    same: Mapping[str, int]
    others: Mapping[str, int]
    fault_kinds: Mapping[Kind, int] = MappingProxyType({})

    @property
    def jobs(self) -> int:
        return max(sum(self.same.values()) + sum(self.others.values()), sum(self.fault_kinds.values()))


def part_in(platform: Platform, cause: str) -> str:
    """The first part that a cause names, in full or by a unique tail written as the name is; empty if none."""
    tails: dict[str, set[str]] = {}
    for name in platform.parts:
        levels = name.split(".")
        for start in range(len(levels)):
            tails.setdefault(".".join(levels[start:]), set()).add(name)
    for word in _WORD.findall(cause):
        if word in platform.parts:
            return str(word)
        found = tails.get(word.rstrip("."), set())
        if len(found) == 1:
            return next(iter(found))
    return ""


def new_shares(shares: Mapping[str, float], kinds: Mapping[str, str], experience: Experience) -> dict[str, float]:
    """Shares of the parts (they add up to 1) after the counts; `kinds` gives each part's kind.

    First the kinds are moved by what other platforms taught, then the parts by this platform's own jobs.
    """
    by_kind: dict[str, float] = {}
    for part, share in shares.items():
        by_kind[kinds[part]] = by_kind.get(kinds[part], 0.0) + share
    heard = sum(count for kind, count in experience.others.items() if kind in by_kind) * OTHER_PLATFORM
    kind_factor = {
        kind: (WORTH * share + OTHER_PLATFORM * experience.others.get(kind, 0)) / ((WORTH + heard) * share)
        for kind, share in by_kind.items()
        if share > 0.0
    }
    moved = {part: share * kind_factor.get(kinds[part], 1.0) for part, share in shares.items()}
    seen = sum(count for part, count in experience.same.items() if part in moved)
    return {part: (WORTH * share + experience.same.get(part, 0)) / (WORTH + seen) for part, share in moved.items()}


def new_kinds(shares: Mapping[Kind, float], counts: Mapping[Kind, int]) -> dict[Kind, float]:
    """Shares of the kinds of fault (they add up to 1) after the counts; kinds that cannot be here teach nothing."""
    seen = sum(count for kind, count in counts.items() if shares.get(kind, 0.0) > 0.0)
    return {kind: (WORTH * share + counts.get(kind, 0)) / (WORTH + seen) for kind, share in shares.items()}


def experience_seen(
    experience: Experience, faults: Sequence[Fault], platform: Platform
) -> list[StateSighting[EarlierJobs]]:
    """The counts as one more line of the account: how much more, or less, often each fault's part was the cause than
    was thought before. The counts say nothing about whether anything is wrong at all."""
    if not experience.jobs or not faults:
        return []
    alone = [fault for fault in faults if not fault.of]
    part_of = {fault.part: part_in(platform, fault.part) or fault.part for fault in alone}
    kinds = {part: platform.parts[part].kind if part in platform.parts else NO_PART for part in part_of.values()}
    total = sum(fault.odds for fault in alone)
    shares: dict[str, float] = {}
    for fault in alone:
        part = part_of[fault.part]
        shares[part] = shares.get(part, 0.0) + fault.odds / total
    after = new_shares(shares, kinds, experience)
    factor_of = {part: after[part] / share if share > 0.0 else 1.0 for part, share in shares.items()}
    of_kinds: dict[Kind, float] = {}
    for fault in alone:
        of_kinds[fault.kind] = of_kinds.get(fault.kind, 0.0) + fault.odds / total
    kinds_after = new_kinds(of_kinds, experience.fault_kinds)
    kind_factor = {kind: kinds_after[kind] / share if share > 0.0 else 1.0 for kind, share in of_kinds.items()}
    factors = [
        max(factor_of[part_of[one.part]] * kind_factor.get(one.kind, 1.0) for one in fault.of or (fault,))
        for fault in faults
    ]
    highest = max(*factors, 1.0)
    chances = sorted({factor / highest for factor in factors})
    rank = {chance: n for n, chance in enumerate(chances)}
    touched = {n: rank[factor / highest] for n, factor in enumerate(factors)}
    return [StateSighting(EarlierJobs(experience.jobs), 1.0 / highest, tuple(chances), touched)]
