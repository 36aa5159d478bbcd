"""Which of several tries says most, and whether it says all."""

from circuitmap.jobs.against_limit import against_limit, tolerance
from circuitmap.jobs.limits import Limits
from circuitmap.jobs.trying import TryVerdict


def goes_on(one: TryVerdict, limits: Limits) -> bool:
    """Whether too much is still drawn with it out: proven or not, it is not all there is. Of two batteries that it
    joined the other one may give all of it then."""
    if against_limit(one.after, limits.at(one.place)) == "above":
        return True
    off = tolerance(one.after)
    others = (its for its in one.changes if its.place != one.place and its.place in limits.batteries)
    return any(its.after is not None and its.after - off > limits.at(its.place) for its in others)


def leading_of(tries: tuple[TryVerdict, ...], limits: Limits) -> TryVerdict | None:
    proven = [one for one in tries if one.verdict == "proven"]
    ends = [one for one in proven if not goes_on(one, limits)]
    involved = [one for one in tries if one.verdict == "involved"]
    return next((found[-1] for found in (ends, involved, proven) if found), None)
