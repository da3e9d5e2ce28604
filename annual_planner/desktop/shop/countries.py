"""Countries and their parts as they are chosen: in English, with a country's own name beside it."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import QLocale

from annual_planner.library.public_holidays import countries, subdivisions


@lru_cache(maxsize=1)
def named_countries() -> tuple[tuple[str, str], ...]:
    """Every country whose public holidays are known, code and name, by name. Takes a moment: in a job."""
    return tuple(sorted(((code, country_name(code)) for code in countries()), key=lambda each: each[1]))


def country_name(code: str) -> str:
    """A country's name in English and, where it is another, in its own language; the code if it has none.

    >>> country_name("DE"), country_name("NZ")
    ('Germany (Deutschland)', 'New Zealand')
    """
    territory = QLocale.codeToTerritory(code)
    if territory == QLocale.Country.AnyCountry:
        return code
    english = QLocale.territoryToString(territory)
    own = QLocale(QLocale.Language.AnyLanguage, territory).nativeTerritoryName()
    return english if own in ("", english) else f"{english} ({own})"


def named_subdivisions(country: str) -> tuple[tuple[str, str], ...]:
    """The parts of a country that keep public holidays of their own, code and name, by name; none of none."""
    if country not in countries():
        return ()
    return tuple(sorted(subdivisions(country).items(), key=lambda each: each[1]))
