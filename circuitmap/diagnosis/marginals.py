"""The chance of each part over all explanations it occurs in, alone or with another."""

from collections.abc import Iterable, Sequence


def chance_of_each(explanations: Sequence[Iterable[str]], weights: Sequence[float]) -> dict[str, float]:
    """Parts with their probabilities, likeliest first, then by name; weights need not add up to 1."""
    total = sum(weights)
    chance: dict[str, float] = {}
    for parts, weight in zip(explanations, weights, strict=True):
        for part in set(parts):
            chance[part] = chance.get(part, 0.0) + weight / total
    return dict(sorted(chance.items(), key=lambda item: (-round(item[1], 12), item[0])))
