"""Which of several tries says most, and whether it says all."""

from circuitmap.jobs.against_limit import against_limit
from circuitmap.jobs.limits import Limits
from circuitmap.jobs.trying import TryVerdict


def goes_on(one: TryVerdict, limits: Limits) -> bool:
    """Whether too much is still drawn with it out, there or at another battery: proven or not, it is not all there
    is."""
    return any(against_limit(its, limits.at(its.place)) == "above" for its in (one.after, *one.elsewhere))


def leading_of(tries: tuple[TryVerdict, ...], limits: Limits) -> TryVerdict | None:
    proven = [one for one in tries if one.verdict == "proven"]
    ends = [one for one in proven if not goes_on(one, limits)]
    involved = [one for one in tries if one.verdict == "involved"]
    return next((found[-1] for found in (ends, involved, proven) if found), None)
