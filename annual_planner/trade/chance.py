"""What chance alone would do to a few readings: Kendall's count of steps up and down, and Student's t."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache


@dataclass(frozen=True, slots=True)
class Kendall:
    """Pairs of readings that rise less pairs that fall, and the exact two-sided chance of so much or more."""

    steps: int
    chance: float


def kendall(values: Sequence[float]) -> Kendall:
    """Kendall's S of values in their order, with its exact chance if every order were as likely.

    Equal values count as neither up nor down. Fewer than 2 values: ValueError.
    Source: Kendall, rank correlation (from memory); the exact distribution is counted.

    >>> kendall([76, 75, 72, 71])
    Kendall(steps=-6, chance=0.08333333333333333)
    """
    if len(values) < 2:
        raise ValueError(f"kendall needs at least 2 values, not {len(values)}")
    steps = sum(
        (later > earlier) - (later < earlier)
        for place, earlier in enumerate(values)
        for later in values[place + 1 :]
    )
    ties = tuple(sorted(Counter(values).values()))
    return Kendall(steps, _chance(abs(steps), ties))


@lru_cache(maxsize=256)
def _chance(at_least: int, ties: tuple[int, ...]) -> float:
    """Share of all orders whose count is so far from none, for values that occur so many times each."""
    falls = _orders_by_falls(ties)
    pairs = len(falls) - 1  # pairs of unequal values; S = pairs - 2 * falling pairs
    extreme = sum(orders for falling, orders in enumerate(falls) if abs(pairs - 2 * falling) >= at_least)
    return extreme / sum(falls)


def _orders_by_falls(ties: tuple[int, ...]) -> list[int]:
    """How many orders have 0, 1, 2 … falling pairs: the coefficients of a q-multinomial."""
    orders = [1]
    placed = 0
    for count in ties:
        for number in range(1, count + 1):
            placed += 1
            orders = _divided(_multiplied(orders, placed), number)
    return orders


def _multiplied(orders: list[int], length: int) -> list[int]:
    """Multiply by 1 + q + … + q^(length-1)."""
    product = [0] * (len(orders) + length - 1)
    for falling, count in enumerate(orders):
        for more in range(length):
            product[falling + more] += count
    return product


def _divided(orders: list[int], length: int) -> list[int]:
    """Divide by 1 + q + … + q^(length-1); here it always goes without rest."""
    rest = list(orders)
    quotient = []
    for falling in range(len(orders) - length + 1):
        quotient.append(rest[falling])
        for more in range(length):
            rest[falling + more] -= quotient[-1]
    return quotient


def one_way_chance(readings: int) -> float:
    """Chance that so many readings all go one way though nothing changes, two-sided: 2/n!.

    >>> one_way_chance(4)
    0.08333333333333333
    """
    return 2 / math.factorial(readings)


@lru_cache(maxsize=256)
def student_t(confidence: float, freedom: int) -> float:
    """Student's t that a two-sided interval of this confidence (0 to 1) needs, for whole degrees of freedom.

    Raises ValueError outside of those.

    Source: the finite series of Abramowitz and Stegun 26.7.3 and 26.7.4 (from memory), turned by halving.

    >>> round(student_t(0.9, 4), 4)
    2.1318
    """
    if not (0 < confidence < 1 and freedom >= 1):
        raise ValueError(f"no t for confidence {confidence} with {freedom} degrees of freedom")
    low, high = 0.0, math.pi / 2
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if _within(middle, freedom) < confidence else (low, middle)
    return math.tan((low + high) / 2) * math.sqrt(freedom)


def _within(angle: float, freedom: int) -> float:
    """Chance that t is within ±sqrt(freedom) × tan(angle)."""
    cosine, sine = math.cos(angle), math.sin(angle)
    odd = freedom % 2
    term, total = (cosine, 0.0) if odd else (1.0, 0.0)
    for number in range(1 + odd, freedom, 2):
        total += term
        term *= cosine * cosine * number / (number + 1)
    return 2 / math.pi * (angle + sine * total) if odd else sine * total
