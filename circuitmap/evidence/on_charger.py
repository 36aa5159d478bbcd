"""Whether the battery had been on a charger for long enough when it was checked, by the card."""

from dataclasses import dataclass

CHARGED_FOR = 6.0 * 60.0
"""Minutes on a charger from which on a battery counts as charged (judgement: a night)."""
CHARGED_SINCE = 3.0 * 24.0 * 60.0
"""Minutes after which a battery that was charged no longer counts as such (judgement)."""


@dataclass
class OnCharger:
    """`on_at` and `charged_at` are minutes of the card's clock: since when the charger is on, and when one came off
    that had been on for long enough."""

    on_at: float | None = None
    charged_at: float | None = None

    def state(self, value: str, now: float | None) -> None:
        """A state of the vehicle, as written in an entry."""
        if value == "charger on" and self.on_at is None:
            self.on_at = now
        elif value == "charger off":
            if now is not None and self.on_at is not None and now - self.on_at >= CHARGED_FOR:
                self.charged_at = now
            self.on_at = None

    def had_charged(self, now: float | None) -> bool:
        return now is not None and self.charged_at is not None and now - self.charged_at <= CHARGED_SINCE
