"""How a filament's current follows the volts across it: one law for all answers that work out volts."""

LAMP_POWER = 0.55
"""A lamp's current goes as this power of the volts (memory; the filament gets hotter)."""
COLDEST = 0.05
"""Share of its nominal volts below which a filament is a resistance."""


def conductance_share(volts_share: float) -> float:
    """Its amperes per volt at a share of its nominal volts, as a share of those at the nominal ones."""
    return float(max(volts_share, COLDEST) ** (LAMP_POWER - 1))
