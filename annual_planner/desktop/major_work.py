"""The question whether work is a major repair or alteration, which decides who may approve it."""

from __future__ import annotations

from annual_planner.desktop.fields import ChoiceField

CHOICES = ((False, "no"), (True, "major repair or alteration"))
HINT = "Major: on approved data, approved by an inspection authorization, with Form 337."


def major_field() -> ChoiceField:
    """'no' first; what follows from the other is said below. Source: 14 CFR 43.9(d), 65.95(a)(1)."""
    return ChoiceField("major", "Major work", CHOICES, hint=HINT)
