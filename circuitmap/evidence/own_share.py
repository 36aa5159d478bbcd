"""What a part takes itself while awake, by the sheets: that much goes with it, whatever else draws."""

from circuitmap.evidence.tries import Try
from circuitmap.wiring.parts import Load
from circuitmap.wiring.platform import Platform

OWN_SHARE = 0.5
"""Of what was drawn before, at the most, what went is a part's own share beside the draw (judgement)."""
OWN_SPREAD = 1.3
"""What a part takes is known to this factor (judgement)."""


def is_own_by_the_sheets(platform: Platform, one: Try) -> bool:
    """Whether what went in a try is no more than what all that was out takes awake, of which all is typed in, and most
    of the draw went on."""
    own = 0.0
    for name in one.out:
        part = platform.parts.get(name)
        if not isinstance(part, Load) or part.awake is None:
            return False
        own += part.awake.high
    return not one.after.change and is_no_more_than(one, own)


def is_no_more_than(one: Try, own: float) -> bool:
    """Whether what went in a try is a part of the draw only, and no more than these A within what is known of them."""
    before, after = one.before, one.after
    if before is None or before.amps is None or after.amps is None:
        return False
    went = before.amps - after.amps
    return went <= OWN_SHARE * before.amps and went <= OWN_SPREAD * own + before.half_step + after.half_step
