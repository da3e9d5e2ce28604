"""What is made safe before air goes into a cylinder, and ticked before a reading is written down."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SafetyStep:
    """One thing to be made sure of, and why."""

    key: str
    text: str
    why: str


SAFETY_STEPS = (
    SafetyStep(
        "switches_off",
        "Magneto switches off, keys out, grounds of both magnetos proved; mixture and fuel off, leads off the"
        " plugs",
        "A propeller that is turned by the air may start a hot engine.",
    ),
    SafetyStep(
        "propeller_live",
        "The propeller is treated as live: nobody stands in its arc but the one who holds the blade firmly,"
        " before air goes in and until it is out again; gauges are read from outside the arc",
        "Off top center, pressure in a cylinder swings the blade with great force.",
    ),
    SafetyStep(
        "release_word",
        "Two people; the one at the blade gives every word. Words are agreed for air on, air off and letting"
        " go, and nothing is done before they are said and answered",
        "Whoever holds the blade must know when the pressure comes and goes.",
    ),
    SafetyStep(
        "feet_and_brakes",
        "Brakes set and wheels chocked, feet where a swinging blade can't pull them in",
        "The one who holds the blade must not slip, nor the airplane roll.",
    ),
    SafetyStep(
        "covered",
        "Gloves, long sleeves, eye protection: the test can't wait until exhaust and heads are cool",
        "Hot metal burns, and air under pressure throws what is loose.",
    ),
)
"""In the order in which they are done; window and paper show these words and no others. Common practice, no
source; the maker's instructions come first."""


def steps_open(ticked: Iterable[str]) -> tuple[SafetyStep, ...]:
    """The steps that are not ticked yet, in order.

    >>> [step.key for step in steps_open(["switches_off", "release_word"])]
    ['propeller_live', 'feet_and_brakes', 'covered']
    """
    done = set(ticked)
    return tuple(step for step in SAFETY_STEPS if step.key not in done)
