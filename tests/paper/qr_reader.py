"""A reader of small QR codes, apart from the library that draws them (ISO/IEC 18004, from memory)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

Matrix = Sequence[Sequence[bool]]
BLOCKS = {1: (1, 16), 2: (1, 28), 3: (1, 44), 4: (2, 64), 5: (2, 86)}
"""Version → blocks and data bytes at level M."""
LETTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
MASKS = (
    lambda r, c: (r + c) % 2,
    lambda r, c: r % 2,
    lambda r, c: c % 3,
    lambda r, c: (r + c) % 3,
    lambda r, c: (r // 2 + c // 3) % 2,
    lambda r, c: r * c % 2 + r * c % 3,
    lambda r, c: (r * c % 2 + r * c % 3) % 2,
    lambda r, c: ((r + c) % 2 + r * c % 3) % 2,
)


def read_code(matrix: Matrix) -> str:
    """Read the text of a code of level M without damage; `matrix`: dark modules, no quiet zone."""
    side = len(matrix)
    places = [(8, c) for c in (0, 1, 2, 3, 4, 5, 7, 8)] + [(r, 8) for r in (7, 5, 4, 3, 2, 1, 0)]
    told = _number(matrix[r][c] for r, c in places) ^ 0b101010000010010
    assert told >> 13 == 0, "level M"
    mask = MASKS[told >> 10 & 7]
    bits = [matrix[r][c] ^ (mask(r, c) == 0) for r, c in _walk(side)]
    blocks, data = BLOCKS[(side - 17) // 4]
    words = [_number(bits[at : at + 8]) for at in range(0, data * 8, 8)]
    in_order = [word for block in range(blocks) for word in words[block::blocks]]
    return _text([bool(word >> shift & 1) for word in in_order for shift in range(7, -1, -1)])


def _number(bits: Iterator[bool] | Sequence[bool]) -> int:
    number = 0
    for bit in bits:
        number = number << 1 | bit
    return number


def _walk(side: int) -> Iterator[tuple[int, int]]:
    """Places of the data, in pairs of columns from the right, up and down by turns."""
    up = True
    for right in [*range(side - 1, 6, -2), 5, 3, 1]:
        for row in range(side - 1, -1, -1) if up else range(side):
            for column in (right, right - 1):
                if not _fixed(row, column, side):
                    yield row, column
        up = not up


def _fixed(row: int, column: int, side: int) -> bool:
    finder = (row < 9 and column < 9) or (row < 9 and column >= side - 8) or (row >= side - 8 and column < 9)
    aligned = side > 21 and abs(row - side + 7) <= 2 and abs(column - side + 7) <= 2
    return finder or aligned or 6 in (row, column)


def _text(bits: list[bool]) -> str:
    text, at = "", 0

    def take(many: int) -> int:
        nonlocal at
        at += many
        return _number(bits[at - many : at])

    while len(bits) - at >= 4 and (mode := take(4)):
        if mode == 1:
            left = take(10)
            while left:
                some = min(left, 3)
                text, left = text + f"{take((0, 4, 7, 10)[some]):0{some}d}", left - some
        elif mode == 2:
            left = take(9)
            while left > 1:
                first, second = divmod(take(11), 45)
                text, left = text + LETTERS[first] + LETTERS[second], left - 2
            text += LETTERS[take(6)] if left else ""
        elif mode == 4:
            text += bytes(take(8) for _ in range(take(8))).decode("latin-1")
        else:
            raise AssertionError(f"mode {mode}")
    return text
