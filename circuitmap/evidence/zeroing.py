"""When a meter was zeroed: what is read right after that shares one zero, and a smaller one than a meter's has at any
time."""

from dataclasses import dataclass, field, replace

from circuitmap.evidence.meters import ZEROED_FOR, Meter, meter_named, zero_at_least, zeroed_in_place


@dataclass
class Zeroing:
    """How often each kind of meter was zeroed, and at which minute of the card's clock last."""

    times: dict[str, int] = field(default_factory=dict)
    last: dict[str, float | None] = field(default_factory=dict)

    def zeroed(self, meter: Meter, now: float | None) -> None:
        self.times[meter.kind] = self.times.get(meter.kind, 0) + 1
        self.last[meter.kind] = now

    def of(self, meter: Meter, now: float | None) -> Meter:
        """The meter as it reads now. Where the card has no clock, it was zeroed just before."""
        known = meter_named(meter.kind)
        zero = known.zero
        if meter.kind in self.times:
            at = self.last[meter.kind]
            if at is None or now is None or now - at <= ZEROED_FOR:
                zero = min(zero, zeroed_in_place(known))
        return zero_at_least(replace(meter, zero=zero, zeroed=self.times.get(meter.kind, 0)))
