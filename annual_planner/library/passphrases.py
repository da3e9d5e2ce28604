"""The list of passphrases that are guessed first, as shipped."""

from __future__ import annotations

from functools import cache

from annual_planner.library.files import shipped


@cache
def blocked_phrases() -> frozenset[str]:
    """Every line of the shipped list that isn't a remark."""
    text = shipped().joinpath("passphrases", "blocked.txt").read_text(encoding="utf-8")
    lines = (line.strip() for line in text.splitlines())
    return frozenset(line for line in lines if line and not line.startswith("#"))
