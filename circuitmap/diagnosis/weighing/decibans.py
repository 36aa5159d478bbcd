"""Weight of evidence: ten times the decimal logarithm of how much more likely one explanation makes the evidence.

A factor of 2 is 3 dB, of 10 is 10 dB (I. J. Good, "Weight of evidence: a brief survey", 1985)."""

from math import log, log10

NATS_TO_DECIBANS = 10.0 / log(10.0)


def decibans(factor: float) -> float:
    return 10.0 * log10(factor)
