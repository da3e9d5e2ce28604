"""Cards of a package that are done, as closing finds them."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

from annual_planner.store.packages import card_lines
from annual_planner.store.session import Fleet
from annual_planner.store.writing import add, change
from annual_planner.trade.cards import Phase
from tests.fleets import TODAY

AT = datetime(2026, 5, 4, 15, 0, tzinfo=UTC)


def do_every_card(fleet: Fleet, package_id: int, who_does: Callable[[str], int]) -> None:
    """Do every card that is in, with the figures of the engine run; `who_does`: a person's id by the doer."""
    with fleet.work("a test") as work:
        for card in card_lines(work, package_id):
            if not card.included:
                continue
            done = {"state": "done", "done_by_id": who_does(card.doer), "done_on": TODAY}
            change(work, "work_card", card.card_id, {}, done)
            if card.phase == Phase.RUN_UP:
                for each in card.content["measurements"]:  # type: ignore[attr-defined]
                    result = {"measurement": each["name"], "value": 1.0, "read_at": AT}
                    add(work, "card_result", {"card_id": card.card_id, **result})
