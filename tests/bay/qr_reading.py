"""A QR code read back, written from the standard (ISO/IEC 18004, from memory): for versions 1 to 6, level M, without
mending: what is shown has no errors."""

from collections.abc import Callable, Iterator, Sequence

BLOCKS = {1: (1, 16), 2: (1, 28), 3: (1, 44), 4: (2, 32), 5: (2, 43), 6: (4, 27)}
"""For each version how many blocks, and the bytes of data in each."""
MASKS: tuple[Callable[[int, int], bool], ...] = (
    lambda y, x: (y + x) % 2 == 0,
    lambda y, x: y % 2 == 0,
    lambda y, x: x % 3 == 0,
    lambda y, x: (y + x) % 3 == 0,
    lambda y, x: (y // 2 + x // 3) % 2 == 0,
    lambda y, x: y * x % 2 + y * x % 3 == 0,
    lambda y, x: (y * x % 2 + y * x % 3) % 2 == 0,
    lambda y, x: ((y + x) % 2 + y * x % 3) % 2 == 0,
)
_FORMAT_MASK = 0b101010000010010
_FORMAT_PLACES = [*((8, x) for x in (0, 1, 2, 3, 4, 5, 7, 8)), *((y, 8) for y in (7, 5, 4, 3, 2, 1, 0))]
_LEVEL_M, _BYTES = 0b00, 0b0100


def read_back(modules: Sequence[Sequence[bool]]) -> str:
    """The text in a code; `modules` are its rows without the quiet zone, True where dark."""
    size = len(modules)
    version = (size - 17) // 4
    assert size == 17 + 4 * version and all(len(row) == size for row in modules), "a square of a size that there is"
    for y, x in ((0, 0), (0, size - 7), (size - 7, 0)):
        assert all(modules[y][x : x + 7]) and modules[y + 3][x + 3] and not modules[y + 1][x + 1], "a finder pattern"
    written = _number(modules[y][x] for y, x in _FORMAT_PLACES) ^ _FORMAT_MASK
    assert written >> 13 == _LEVEL_M
    mask = MASKS[written >> 10 & 0b111]
    bits = [modules[y][x] ^ mask(y, x) for y, x in _way(size, version)]
    blocks, each = BLOCKS[version]
    mixed = [_number(bits[n : n + 8]) for n in range(0, 8 * blocks * each, 8)]
    data = [byte for block in range(blocks) for byte in mixed[block::blocks]]
    stream = [bool(byte >> n & 1) for byte in data for n in range(7, -1, -1)]
    assert _number(stream[:4]) == _BYTES
    many = _number(stream[4:12])
    return bytes(_number(stream[12 + 8 * n : 20 + 8 * n]) for n in range(many)).decode("utf-8")


def _way(size: int, version: int) -> Iterator[tuple[int, int]]:
    """The modules that carry data, in the order in which they are filled: two columns at a time, up and down."""
    upwards = True
    for right in range(size - 1, 0, -2):
        column = right if right > 6 else right - 1  # the column of the timing pattern is passed over
        for y in range(size - 1, -1, -1) if upwards else range(size):
            for x in (column, column - 1):
                if not _is_pattern(y, x, size, version):
                    yield y, x
        upwards = not upwards


def _is_pattern(y: int, x: int, size: int, version: int) -> bool:
    finder = (y < 9 and x < 9) or (y < 9 and x >= size - 8) or (y >= size - 8 and x < 9)
    aligning = version > 1 and abs(y - (size - 7)) <= 2 and abs(x - (size - 7)) <= 2
    return finder or aligning or y == 6 or x == 6


def _number(bits: Iterator[bool] | Sequence[bool]) -> int:
    found = 0
    for bit in bits:
        found = found << 1 | bit
    return found
