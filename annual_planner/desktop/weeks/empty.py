"""What stands in the drawing's place while there is nothing to draw."""

from __future__ import annotations

from typing import TYPE_CHECKING

from annual_planner.desktop.weeks.seen import Seen

if TYPE_CHECKING:
    from annual_planner.desktop.weeks.page import WeeksPage

AHEAD = "in the coming twelve months"


def say_empty(page: WeeksPage, seen: Seen) -> None:
    """Show the drawing, or why there is none and the one thing to do next."""
    blank, count = page.blank, len(seen.shown.lines)
    drawn = bool(seen.shown.lanes.bars)
    for part in (*page.area.scales.values(), page.about):
        part.setVisible(drawn)
    if drawn:
        page.front.setCurrentWidget(page.area)
        return
    page.front.setCurrentWidget(blank)
    if seen.fault is not None:
        blank.show_state(
            "The weeks can't be planned yet",
            f"{seen.fault.said} {seen.fault.remedy}",
            "Set up the shop",
            page.set_up_shop,
        )
        page.strip.put_away()
    elif not seen.airplanes:
        why = "Annuals of your airplanes stand here against bays and weeks."
        blank.show_state("No airplane yet", why, "To the fleet", lambda: page.goes.emit("fleet", "airplanes"))
    elif not count:
        why = "Why each airplane is left out stands below."

        blank.show_state(
            f"No annual comes due {AHEAD}",
            why,
            "Show them",
            lambda: page.lists.show_part(page.lists.left_out),
        )
    else:
        why = f"{count} annual{' comes' if count == 1 else 's come'} due {AHEAD}."
        blank.show_state("Nothing has a week yet", why, "Propose the weeks", page.proposing.start)
