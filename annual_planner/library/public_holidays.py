"""The public holidays of countries and their parts, from the `holidays` library, which is imported on use."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from functools import lru_cache
from types import MappingProxyType

from annual_planner.library.by_key import near
from annual_planner.trade.refused import Refused
from annual_planner.trade.shop_floor import HolidaysOf

ENGLISH = ("en_US", "en_GB")
"""Languages in which a country's holidays are named, the first that is known for it; else its own."""


@lru_cache(maxsize=1)
def countries() -> Mapping[str, tuple[str, ...]]:
    """Every country that is known, by code, with the codes of its parts that keep holidays of their own."""
    import holidays

    known = holidays.list_supported_countries(include_aliases=False)
    return MappingProxyType({code: tuple(parts) for code, parts in sorted(known.items())})


@lru_cache(maxsize=16)
def subdivisions(country: str) -> Mapping[str, str]:
    """Names of a country's parts by code, the code itself where no name is known. KeyError if unknown."""
    parts = countries()[country]
    import holidays

    named: dict[str, str] = {}
    aliases: Mapping[str, str] = getattr(holidays.country_holidays(country), "subdivisions_aliases", {})
    for name, code in aliases.items():
        if not name.isupper():  # else a second code
            named.setdefault(code, name)
    return MappingProxyType({code: named.get(code, code) for code in parts})


def check_known(of: HolidaysOf) -> None:
    """Raise Refused for a country, or a part of one, whose holidays aren't known."""
    if not of.country:
        return
    if of.country not in countries():
        raise Refused(f"No public holidays are known of '{of.country}'.", _choose(of.country, countries()))
    parts = countries()[of.country]
    if of.subdivision and of.subdivision not in parts:
        raise Refused(
            f"No public holidays are known of '{of.subdivision}' in {of.country}.",
            _choose(of.subdivision, parts) if parts else "Choose the country as a whole.",
        )


def _choose(text: str, known: Iterable[str]) -> str:
    close = near(text, known)
    return f"Choose another, such as {', '.join(close)}." if close else "Choose it in the list."


def public_holidays(of: HolidaysOf, first_on: date, last_on: date) -> dict[date, str]:
    """The public holidays between two days, both counted in, by day, with their names; in order.

    Days that a country decides on year by year, or by the sight of the moon, are as that library has them.
    """
    years = range(first_on.year, last_on.year + 1)
    found = {day: name for year in years for day, name in _of_year(of, year).items()}
    return {day: found[day] for day in sorted(found) if first_on <= day <= last_on}


@lru_cache(maxsize=64)
def _of_year(of: HolidaysOf, year: int) -> Mapping[date, str]:
    """Those of one year; none of a country that is no longer known to the library."""
    if not of.country or of.country not in countries():
        return {}
    import holidays

    part = of.subdivision if of.subdivision in countries()[of.country] else None
    spoken: tuple[str, ...] = getattr(holidays, of.country).supported_languages
    language = next((each for each in ENGLISH if each in spoken), None)
    named = holidays.country_holidays(of.country, subdiv=part, years=year, language=language)
    return MappingProxyType({day: name for day, name in named.items() if day.year == year})
