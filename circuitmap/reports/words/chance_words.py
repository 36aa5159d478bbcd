"""Probabilities and weights of evidence as people say them."""

from collections.abc import Sequence
from math import floor


def chance(probability: float) -> str:
    """`over 99 in 100`, `19 in 20`, `9 in 10` .. `1 in 10`, `1 in 20`, `under 1 in 50`."""
    if probability > 0.99:
        return "over 99 in 100"
    if probability >= 0.925:
        return "19 in 20"
    if probability >= 0.075:
        return f"{max(1, round(10 * probability))} in 10"
    return "1 in 20" if probability >= 0.02 else "under 1 in 50"


def weight(decibans: float) -> str:
    """`+++` .. `+`, `0`, `-` .. `---`: `0` below 1, stronger from 5 and from 10 on."""
    size = abs(decibans)
    if size < 1.0:
        return "0"
    return ("+" if decibans > 0 else "-") * (1 if size < 5.0 else 2 if size <= 10.0 else 3)


def chances(probabilities: Sequence[float]) -> list[str]:
    """The same for outcomes one of which happens: tenths that add up as the probabilities do."""
    if any(not 0.075 <= p < 0.925 for p in probabilities):
        return [chance(p) for p in probabilities]
    tenths = [max(1, floor(10 * p)) for p in probabilities]
    short = min(round(10 * sum(probabilities)), 10) - sum(tenths)
    by_rest = sorted(range(len(tenths)), key=lambda n: tenths[n] - 10 * probabilities[n])
    for n in by_rest[: max(short, 0)]:
        tenths[n] += 1
    return [f"{its} in 10" for its in tenths]
