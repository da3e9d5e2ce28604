"""Reading a measurement as it is typed: its number, its unit, and whether it is within the card's limits."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

YES = frozenset({"yes", "y", "ok", "pass", "passed", "good"})
NO = frozenset({"no", "n", "fail", "failed"})
LONGEST = 200
"""Letters that a result in words may have."""

_NUMBER = re.compile(r"^([+-]?(?:[0-9]+[.,]?[0-9]*|[.,][0-9]+))\s*(.*)$")
_LARGEST = Decimal(1_000_000_000)

_EXACT: dict[tuple[str, str], Decimal] = {
    ("mm", "in"): 1 / Decimal("25.4"),
    ("cm", "in"): 1 / Decimal("2.54"),
    ("in-lb", "ft-lb"): 1 / Decimal(12),
    ("ft-lb", "in-lb"): Decimal(12),
    ("m", "ft"): 1 / Decimal("0.3048"),
    ("kg", "lb"): 1 / Decimal("0.45359237"),
    ("min", "s"): Decimal(60),
    ("ω", "mω"): Decimal(1000),
    ("ω", "kω"): 1 / Decimal(1000),
    ("mv", "v"): 1 / Decimal(1000),
    ("ma", "a"): 1 / Decimal(1000),
}
"""Exact by definition of the units; what isn't here is to be read in the card's own unit."""

_SAME = {"inch": "in", "inches": "in", '"': "in", "lbs": "lb", "r.p.m.": "rpm", "ohm": "ω", "ohms": "ω",
         "kohm": "kω", "sec": "s", "percent": "%", "volts": "v", "amps": "a", "f": "°f", "degrees": "deg",
         "°": "deg", "lb-in": "in-lb", "lb-ft": "ft-lb", "quarts": "qt", "feet": "ft"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Result:
    """One result: a number in the card's unit, or words where none is asked for or none could be taken."""

    value: Decimal | None
    text: str
    unit: str
    within: bool | None
    """Whether it is within the limits; None where there are none, or for words."""

    @property
    def says(self) -> str:
        """The answer in a word."""
        return {True: "within limits", False: "OUT of limits", None: "no limits on the card"}[self.within]


def read_result(
    typed: str, unit: str, low: Decimal | None = None, high: Decimal | None = None
) -> Worked[Result]:
    """Read what was typed: '72', '72 psi', '0,018', 'yes', or words. Limits belong to the range.

    A number with another unit is converted where that is exact. Refused for nothing, for a unit that isn't
    the card's, and for a number out of all measure.
    """
    text = " ".join(typed.split())
    if not text or len(text) > LONGEST:
        raise Refused("Nothing was read." if not text else "That is too long for a result.", _how(unit))
    number = _NUMBER.match(text)
    if number is None:
        return _in_words(text, unit)
    value, steps = _in_unit(_decimal(number.group(1)), number.group(2), unit)
    within = _within(value, low, high)
    reading = Result(value, text, unit, within)
    return Worked(reading, _working(reading, low, high, steps))


def _how(unit: str) -> str:
    return f"Write a number, such as '72 {unit}'." if unit else "Write a number, yes, no or a few words."


def _decimal(typed: str) -> Decimal:
    value = Decimal(typed.replace(",", "."))
    if abs(value) > _LARGEST:
        raise Refused(f"{typed} can't be a reading.", "Look at the gauge and at the keys again.")
    return value


def _plain(unit: str) -> str:
    small = (
        unit.strip().lower().replace("ohm", "ω") if unit.strip().lower() == "mohm" else unit.strip().lower()
    )
    return _SAME.get(small, small)


def _in_unit(value: Decimal, given: str, unit: str) -> tuple[Decimal, tuple[Step, ...]]:
    here, there = _plain(given), _plain(unit)
    if not here or here == there:
        return value, ()
    factor = _EXACT.get((here, there))
    if factor is None:
        raise Refused(f"The card asks for {unit or 'a plain number'}, not '{given}'.", _how(unit))
    turned = (value * factor).quantize(Decimal("0.0001")).normalize()
    return turned, (Step(f"{value} {given} × {factor:.6g}", f"{turned:f} {unit}"),)


def _within(value: Decimal, low: Decimal | None, high: Decimal | None) -> bool | None:
    if low is None and high is None:
        return None
    return (low is None or value >= low) and (high is None or value <= high)


def _in_words(text: str, unit: str) -> Worked[Result]:
    """Words instead of a number: yes and no are told apart, other words stand as they are."""
    word = text.lower()
    plain = "yes" if word in YES else "no" if word in NO else text
    reading = Result(None, plain, unit, None)
    note = Step("No number was read", "words are kept as they stand; no limit is applied")
    return Worked(reading, Working("Reading", plain, (Input("typed", text),), (note,)))


def _working(reading: Result, low: Decimal | None, high: Decimal | None, steps: tuple[Step, ...]) -> Working:
    assert reading.value is not None, "words have no limits"
    limits = limits_said(low, high, reading.unit)
    return Working(
        title="Reading against the card's limits",
        result=f"{reading.value:f} {reading.unit}: {reading.says}".replace(" :", ":"),
        inputs=(
            Input("typed", reading.text),
            Input("limits", limits or "none on the card", source="the card"),
        ),
        steps=(*steps, *_compared(reading.value, low, high)),
        rules=(Rule("the card's measurement", "A limit itself is within."),),
    )


def _compared(value: Decimal, low: Decimal | None, high: Decimal | None) -> list[Step]:
    steps = []
    if low is not None:
        steps.append(Step(f"{value:f} ≥ {low:f}", "yes" if value >= low else "no"))
    if high is not None:
        steps.append(Step(f"{value:f} ≤ {high:f}", "yes" if value <= high else "no"))
    return steps


def limits_said(low: Decimal | None, high: Decimal | None, unit: str) -> str:
    """Limits in words; empty where there are none.

    >>> limits_said(Decimal(60), None, "psi")
    'at least 60 psi'
    """
    if low is not None and high is not None:
        said = f"{low:f} to {high:f}" if low != high else f"{low:f}"
    elif low is not None:
        said = f"at least {low:f}"
    elif high is not None:
        said = f"at most {high:f}"
    else:
        return ""
    return f"{said} {unit}".strip()


def measurement_titles(name: str, per: str, count: int) -> tuple[str, ...]:
    """What each taking of a measurement is called: the name, or 'Reading at 80 psi, cylinder 3'."""
    return (name,) if count <= 1 else tuple(f"{name}, {per} {n}" for n in range(1, count + 1))
