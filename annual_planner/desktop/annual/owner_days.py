"""The owner's days by the plan, as rich text: cautions before what is done on each."""

from __future__ import annotations

import html
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from annual_planner.desktop.annual.card_text import cautions_html
from annual_planner.desktop.colours import Colours

if TYPE_CHECKING:
    from annual_planner.desktop.annual.seen import Shown
    from annual_planner.library.shelf import Library
    from annual_planner.planning.owner_days import OwnerDay, OwnerPiece
    from annual_planner.store.session import Work

NOTHING = "The plan of the work has nothing for the owner."


def read_owner_days(work: Work, shown: Shown, library: Library) -> tuple[OwnerDay, ...] | None:
    """The owner's days by the plan that is kept; None where nothing is laid out."""
    from annual_planner.planning.owner_days import kept_owner_days

    return kept_owner_days(work, shown.view, library)


def owner_days_html(days: Sequence[OwnerDay] | None, inks: Colours) -> Iterator[str]:
    """Each day with its cautions, times, cards and the authority; nothing while nothing is laid out."""
    if days is None:
        return
    yield "<p style='font-size:large;margin-bottom:0'><b>Which day, by the plan of the work</b></p>"
    said = "It may move. The mechanic says on the day what is done, and may stop it." if days else NOTHING
    yield f"<p style='margin-top:2px;color:{inks.faint}'>{said}</p>"
    for day in days:
        head = f"{day.day:%A} {day.day.day} {day.day:%B %Y}: {day.hours:g} h"
        yield f"<p style='margin:12px 0 4px 0'><b>{head}</b></p>"
        yield cautions_html(day.cautions, inks)
        yield from map(_piece_html, day.pieces)


def _piece_html(piece: OwnerPiece) -> str:
    title, authority = html.escape(piece.title), html.escape(piece.authority)
    return (
        f"<p style='margin:6px 0 0 0'>{piece.starts:%H:%M}–{piece.ends:%H:%M}  {title} "
        f"(card {piece.card_number})<br><i>{authority}</i></p>"
    )
