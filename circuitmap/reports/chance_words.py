"""Probabilities and weights of evidence as people say them."""


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
    """`+++` .. `+`, `0`, `-` .. `---`: below 1 nothing, from 5 and from 10 stronger."""
    size = abs(decibans)
    if size < 1.0:
        return "0"
    return ("+" if decibans > 0 else "-") * (1 if size < 5.0 else 2 if size <= 10.0 else 3)
