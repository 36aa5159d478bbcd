"""The night of job 0433, made up: `python night_0433.py` writes 0433-night.csv beside it, always the same (numpy only).

The van falls asleep in two steps. The towing control wakes by its own clock, as it should; and at no fixed distance it
wakes the body network, because it is wet.
"""

from datetime import datetime, timedelta
from pathlib import Path

import numpy as np

SEED = 433
APART, BEGAN, SAMPLES = 10, datetime(2031, 11, 4, 17, 0), 5_160
FLOOR = 0.038
WET = ((7_860, 780), (14_230, 840), (17_900, 760), (25_410, 910), (33_050, 800), (38_600, 850), (46_720, 790))
"""Seconds after the first sample, and how long."""


def night() -> str:
    random = np.random.RandomState(SEED)
    amps = np.full(SAMPLES, FLOOR)
    for until, more in ((360, 4.1), (660, 0.85), (1_080, 1.62)):
        amps[: until // APART] += more
    for at in range(5_400, SAMPLES * APART, 7_200):
        amps[at // APART : (at + 70) // APART] += 0.09
    for at, lasts in WET:
        amps[at // APART : (at + lasts) // APART] += 1.62
    amps = np.round(amps + random.normal(0.0, 0.002, SAMPLES), 3)
    rows = (f"{BEGAN + timedelta(seconds=APART * n):%Y-%m-%d %H:%M:%S},{its:.3f}" for n, its in enumerate(amps))
    return "\n".join(("zero before: 0.001 A", "zero after: -0.003 A", "time,battery (A)", *rows)) + "\n"


if __name__ == "__main__":
    (Path(__file__).parent / "0433-night.csv").write_text(night(), newline="\n")
