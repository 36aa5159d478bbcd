"""Where to probe next, when each explanation either predicts what would be found or does not.

An explanation that predicts nothing there may show any of the outcomes alike (de Kleer and Williams,
"Diagnosing multiple faults", Artificial Intelligence 32, 1987, 97-130).
"""

from collections.abc import Hashable, Mapping, Sequence

import numpy as np

from circuitmap.diagnosis.weighing.information import expected_bits


def bits_of_probe(weights: Sequence[float], predicted: Sequence[Hashable | None]) -> float:
    """Expected information in bits about which explanation holds, from looking at one place.

    `predicted` is what each explanation would have us find there; None: it does not say."""
    outcomes = list(dict.fromkeys(value for value in predicted if value is not None))
    if len(outcomes) < 2:
        return 0.0
    number = {value: n for n, value in enumerate(outcomes)}
    chances = np.full((len(weights), len(outcomes)), 1.0 / len(outcomes))
    for row, value in enumerate(predicted):
        if value is not None:
            chances[row] = 0.0
            chances[row, number[value]] = 1.0
    return float(expected_bits(np.asarray(weights, dtype=float), range(len(weights)), chances))


def best_probe(weights: Sequence[float], places: Mapping[str, Sequence[Hashable | None]]) -> tuple[str, float]:
    """The place that tells most, and how many bits; the first of equals."""
    bits = {place: bits_of_probe(weights, predicted) for place, predicted in places.items()}
    best = max(bits, key=lambda place: round(bits[place], 12))
    return best, bits[best]
