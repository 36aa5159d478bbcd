"""What is read once more, with the meter zeroed, before anything else: all that follows would rest on its zero."""

from circuitmap.diagnosis.seen.netting import Netted, account_of
from circuitmap.diagnosis.seen.shared_zero import shared_zero

MORE_THAN_A_SLIP = 0.8
"""Below this chance of a draw a total above what is normal is read again first (judgement: some minutes, where one
total in five was a slip)."""
MUCH_OF_IT = 0.1
"""From this share of the total on, equal zeros change what there is to find (judgement)."""


def read_first(nets: Netted, something_wrong: float, normal_up_to: float) -> tuple[str, ...]:
    """The places that show the same small current, and the total with them; or the total alone, where it is above
    `normal_up_to` A and nothing bears it out. None that was read twice."""
    account = account_of(nets)
    if account is None:
        return ()
    totals = [reading.place for reading in nets.totals]
    zero = shared_zero(nets)
    if zero is not None and zero.amps * len(zero.places) >= MUCH_OF_IT * account.total:
        if zero.drop:
            return zero.read_so  # the total was read by another meter
        again = (*zero.places, *(place for place in totals if place not in zero.places))
        return again if nets.read_twice.isdisjoint(zero.places) else ()
    if something_wrong >= MORE_THAN_A_SLIP or account.found > account.error:
        return ()
    beyond = (r.place for r in nets.totals if (r.amps or 0.0) > normal_up_to + r.half_step + r.zero)
    return tuple(place for place in beyond if place not in nets.read_twice)
