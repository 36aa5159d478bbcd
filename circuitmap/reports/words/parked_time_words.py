"""How long a parked vehicle lasts, in words."""

from math import isinf

from circuitmap.quantities import Band


def parked_time_words(hours: Band) -> str:
    """`about 2 days`, `9 to 15 hours`, `at most 1.8 hours`, `15 days or more`, `more than 3 months`."""
    if hours.low > 24 * 90:
        return "more than 3 months"
    if hours.high < 1.0:
        return "less than an hour"
    unit, factor = ("hours", 1.0) if hours.high < 48 else ("days", 24.0)
    low, high = hours.low / factor, min(hours.high, 24 * 365.0) / factor
    if hours.low <= 0.0:
        return f"at most {float(f'{high:.2g}'):g} {unit}"
    if isinf(hours.high):
        return f"{float(f'{low:.2g}'):g} {unit} or more"
    if f"{low:.2g}" == f"{high:.2g}":
        return f"about {float(f'{low:.2g}'):g} {unit}"
    return f"{float(f'{low:.2g}'):g} to {float(f'{high:.2g}'):g} {unit}"
