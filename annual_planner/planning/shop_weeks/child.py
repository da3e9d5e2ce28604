"""Placing visits in a child process; see `annual_planner.planning.crew.child`."""

from __future__ import annotations

from collections.abc import Mapping
from multiprocessing.connection import Connection
from typing import Any

from annual_planner.planning.crew.child import Answers, Child, Done
from annual_planner.planning.shop_weeks.visits import WeeksAsked


def _placed(pipe: Connection, asked: WeeksAsked, options: Mapping[str, Any]) -> Done:
    """Place a fleet's annuals in the shop's weeks."""
    from annual_planner.planning.shop_weeks.placing import place_visits

    return Done(place_visits(asked, cancelled=pipe.poll, **options))


class WeeksChild(Child):
    """One search for the shop's weeks; `Done` brings a Worked WeeksPlan."""

    answers: Answers = staticmethod(_placed)
