"""What is fuzzed, and the inputs to begin with: the notation and the cards of the sample vehicles."""

from collections.abc import Callable
from functools import cache
from pathlib import Path
from random import Random

from tests.fuzzing.card_lines import fuzz_card_line
from tests.fuzzing.merging import fuzz_merge
from tests.fuzzing.reading import fuzz_card, fuzz_notation, fuzz_reading
from tests.fuzzing.sharing import fuzz_share
from tests.fuzzing.tidying import fuzz_tidy

TARGETS: dict[str, Callable[[bytes], None]] = {
    "notation": fuzz_notation,
    "card": fuzz_card,
    "card-line": fuzz_card_line,
    "reading": fuzz_reading,
    "merge": fuzz_merge,
    "tidy": fuzz_tidy,
    "share": fuzz_share,
}
"""Each takes any bytes and raises for a law that is broken."""

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
LONGEST = 400
"""Bytes of an input: most slips are short, and short ones are quick."""


@cache
def corpus() -> tuple[bytes, ...]:
    """Pieces of the samples, and readings as they are typed."""
    pieces = [b"BAT=0.46A", b"F22=1.6mV", b"CAB.F40=draws", b"F22=0,7A"]
    for path in sorted((*SAMPLES.glob("*/*.circuit"), *SAMPLES.glob("*/jobs/*.yaml"))):
        data = path.read_bytes()
        pieces += [data[at : at + LONGEST] for at in range(0, min(len(data), 4 * LONGEST), LONGEST)]
    return tuple(pieces)


def mutated(random: Random, seeds: tuple[bytes, ...]) -> bytes:
    """Random bytes, or a piece of the corpus with a few bytes changed, left out, doubled or taken from another."""
    if random.random() < 0.4:
        return random.randbytes(random.randint(0, LONGEST))
    data = bytearray(random.choice(seeds))
    for _ in range(random.randint(0, 8)):
        at = random.randint(0, len(data))
        match random.randint(0, 3):
            case 0:
                data[at:at] = random.randbytes(random.randint(1, 4))
            case 1:
                del data[at : at + random.randint(1, 12)]
            case 2:
                data[at:at] = data[at : at + random.randint(1, 40)]
            case _:
                other = random.choice(seeds)
                start = random.randint(0, len(other))
                data[at:at] = other[start : start + random.randint(1, 40)]
    return bytes(data[: 2 * LONGEST])
