"""The question whether work is a major repair or alteration, which decides who may approve it."""

from __future__ import annotations

from annual_planner.desktop.fields import ChoiceField


def major_field() -> ChoiceField:
    """'no' first; what follows from 'yes' is said with it. Source: 14 CFR 43.9(d), 65.95(a)(1)."""
    yes = "yes: on approved data, approved by an inspection authorization, Form 337"
    return ChoiceField("major", "Major repair or alteration", [(False, "no"), (True, yes)])
