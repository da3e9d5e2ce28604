"""What is typed into the check of a plug: read freely, said back in words, never guessed at."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from annual_planner.trade.plug_check import PlugSeen
from annual_planner.trade.plugs import Condition, Damage, Verdict
from annual_planner.trade.refused import Refused

LOOKS = {
    "n": Condition.NORMAL,
    "w": Condition.WORN,
    "c": Condition.CARBON_FOULED,
    "o": Condition.OIL_FOULED,
    "l": Condition.LEAD_FOULED,
    "g": Condition.GRAPHITE_FOULED,
    "b": Condition.BRIDGED,
    "f": Condition.FUSED,
    "k": Condition.CRACKED_NOSE,
    "h": Condition.OVERHEATED,
    "m": Condition.METAL_SPRAYED,
    "u": Condition.COPPER_RUN_OUT,
    "t": Condition.FLASHOVER,
}
DAMAGE = {
    "c": Damage.CERAMIC,
    "t": Damage.THREADS,
    "b": Damage.BARREL,
    "s": Damage.CONNECTOR_SEAT,
    "h": Damage.HEXAGON,
    "e": Damage.LOOSE_ELECTRODE,
    "i": Damage.IMPACT,
}
DROPPED = "d"
DECISIONS = {"c": Verdict.CLEAN, "s": Verdict.REPLACE_SOON, "r": Verdict.REPLACE}
OPEN = float("inf")

_NUMBER = re.compile(r"[0-9]*[.,]?[0-9]+")
_OVAL = re.compile(r"([0-9.,]+)\s*[x/*]\s*([0-9.,]+)")


@dataclass(frozen=True, slots=True)
class CheckTyped:
    """One look as it was typed. `verdict`: what a person decided against what was worked out, or None."""

    seen: PlugSeen
    set_gap_in: float | None = None
    verdict: Verdict | None = None
    because: str = ""
    note: str = ""


def read_inches(text: str, what: str = "gap") -> float:
    """Inches: 17 and 0.017 are the same, since nobody writes the noughts. Refused for anything else.

    >>> read_inches("17"), read_inches(".017"), read_inches("17.5")
    (0.017, 0.017, 0.0175)
    """
    typed = text.strip().replace(",", ".")
    if not _NUMBER.fullmatch(typed):
        raise Refused(
            f"‘{text.strip()}’ is no {what}.", "Type thousandths such as 17, or inches such as 0.017."
        )
    number = float(typed)
    return round(number if number < 1 else number / 1000, 6)


def read_gaps(text: str) -> tuple[float, ...]:
    """The gap of each ground electrode, apart by blanks; none for nothing typed.

    >>> read_gaps("17 18")
    (0.017, 0.018)
    """
    return tuple(read_inches(word) for word in text.split())


def read_looks(text: str) -> tuple[Condition, ...]:
    """Conditions by their letters, in any order; nothing typed is not looked at, and refused.

    >>> [str(each) for each in read_looks("lo")]
    ['lead fouled', 'oil fouled']
    """
    letters = [each for each in text.casefold() if not each.isspace() and each != ","]
    unknown = [each for each in letters if each not in LOOKS]
    if unknown:
        raise Refused(f"‘{unknown[0]}’ stands for no condition.", looks_key())
    if not letters:
        raise Refused("What does it look like?", looks_key())
    return tuple(dict.fromkeys(LOOKS[each] for each in letters))


def looks_key() -> str:
    """The letters and what they stand for."""
    return _key({letter: condition.value for letter, condition in LOOKS.items()})


def damage_key() -> str:
    """The letters of what rejects a plug at first sight."""
    return _key({DROPPED: "dropped", **{letter: damage.value for letter, damage in DAMAGE.items()}})


def _key(words: dict[str, str]) -> str:
    return ", ".join(f"{letter} {word}" for letter, word in words.items())


def read_wear(text: str) -> PlugSeen:
    """Electrode sizes: one number, or short x long of an oval one; nothing typed is not measured."""
    typed = text.strip()
    if not typed:
        return PlugSeen()
    oval = _OVAL.fullmatch(typed)
    if oval is not None:
        short, long = (read_inches(oval[each], "size") for each in (1, 2))
        return PlugSeen(oval_in=(short, long))
    return PlugSeen(electrode_in=read_inches(typed, "size"))


def read_ohms(text: str) -> float | None:
    """Ohms: 1200, 1.2k or 'open'; nothing typed is not measured. Refused for anything else.

    >>> read_ohms("1.2k"), read_ohms("open"), read_ohms("")
    (1200.0, inf, None)
    """
    typed = text.strip().casefold().replace(",", ".")
    if not typed:
        return None
    if typed in {"open", "o"}:
        return OPEN
    thousands = typed.endswith("k")
    number = typed.removesuffix("k").strip()
    if not _NUMBER.fullmatch(number):
        raise Refused(f"‘{text.strip()}’ is no resistance.", "Type ohms such as 1200, 1.2k, or open.")
    return float(number) * (1000 if thousands else 1)


def read_damage(text: str) -> PlugSeen:
    """What rejects at first sight, by letters; d for dropped. Refused for other letters."""
    letters = [each for each in text.casefold() if not each.isspace() and each != ","]
    unknown = [each for each in letters if each not in DAMAGE and each != DROPPED]
    if unknown:
        raise Refused(f"‘{unknown[0]}’ stands for no damage.", damage_key())
    found = tuple(dict.fromkeys(DAMAGE[each] for each in letters if each != DROPPED))
    return PlugSeen(damage=found, dropped=DROPPED in letters)


def read_sparks(text: str) -> bool | None:
    """What the pressure tester said: y for a steady spark, n for none; nothing typed is not tried.

    Refused for anything else.
    """
    typed = text.strip().casefold()
    if typed not in {"", "y", "n"}:
        raise Refused(f"‘{text.strip()}’ is neither y nor n.", "y sparks steadily under pressure, n doesn't.")
    return None if not typed else typed == "y"


def read_decision(text: str) -> Verdict | None:
    """Another decision than the one worked out, by its letter; nothing typed leaves it.

    Refused for a letter that stands for none.
    """
    typed = text.strip().casefold()
    if not typed:
        return None
    if typed not in DECISIONS:
        raise Refused(
            f"‘{text.strip()}’ is no decision.", "c clean, s replace soon, r replace; empty: as said."
        )
    return DECISIONS[typed]


def seen_of(gap: str, looks: str, wear: str, ohms: str, sparks: str, damage: str) -> PlugSeen:
    """All of it together. Refused for the first thing that can't be read."""
    worn, hurt = read_wear(wear), read_damage(damage)
    return replace(
        PlugSeen(conditions=read_looks(looks), gaps_in=read_gaps(gap), resistance_ohm=read_ohms(ohms)),
        electrode_in=worn.electrode_in,
        oval_in=worn.oval_in,
        sparks_under_pressure=read_sparks(sparks),
        damage=hurt.damage,
        dropped=hurt.dropped,
    )


def typed_inches(inches: float | None) -> str:
    """Inches as they are typed: thousandths."""
    return "" if inches is None else f"{inches * 1000:g}"


def typed_looks(conditions: tuple[str, ...]) -> str:
    """Conditions as their letters."""
    return "".join(letter for letter, condition in LOOKS.items() if condition.value in conditions)


def typed_damage(damage: tuple[str, ...], *, dropped: bool) -> str:
    """Damage as its letters."""
    letters = "".join(letter for letter, each in DAMAGE.items() if each.value in damage)
    return (DROPPED if dropped else "") + letters
