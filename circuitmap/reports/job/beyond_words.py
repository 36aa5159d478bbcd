"""More than is known to flow with what was switched on, in words."""

from circuitmap.jobs.standing import JobStanding
from circuitmap.power.state import rest_position
from circuitmap.reports.words.limit_words import ampere_words, is_fine
from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.parts import Switch


def beyond_words(standing: JobStanding) -> dict[str, str]:
    """What is to be said of it: how much more, what was switched on and is known, how it is written down."""
    total = standing.total
    known = standing.limits.known_at(total.place) if total is not None else None
    if total is None or known is None or not known.switches:
        return {"more": "", "turn": "", "short": ""}
    at, parts = dict(standing.limits.stands), standing.limits.platform.parts
    rests = {n: rest_position(p) for n in known.switches if isinstance(p := parts.get(n), Switch)}
    return {
        "more": ampere_words(standing.limits.beyond_known(total), is_fine(total)),
        "turn": f"{joined([f'{n} at {at[n]}' for n in known.switches if n in at])}: {ampere_words(known.amps)}",
        "short": " ".join(f"{name} {position}" for name, position in rests.items()),
    }
