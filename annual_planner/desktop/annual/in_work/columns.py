"""Columns of the cards in work."""

from __future__ import annotations

from annual_planner.desktop.columns import Column, hours_text
from annual_planner.store.doing_rows import DoingLine
from annual_planner.trade.card_states import STATES


def found(line: DoingLine) -> str:
    """What asks for attention on it."""
    said = [
        f"{line.out_of_limits} OUT of limits" if line.out_of_limits else "",
        f"{line.open_discrepancies} open discrepanc{'y' if line.open_discrepancies == 1 else 'ies'}"
        if line.open_discrepancies
        else "",
    ]
    return ", ".join(each for each in said if each)


DOING: tuple[Column[DoingLine], ...] = (
    Column("number", "No.", lambda r: str(r.number), sort="number", width=6, right=True,
           by=lambda r: r.number),
    Column("state", "State", lambda r: r.state, sort="state", width=12, sign=lambda r: r.state,
           by=lambda r: STATES.index(r.state) if r.state in STATES else 9),
    Column("title", "Card", lambda r: r.title, sort="title", width=34),
    Column("people", "On it now", lambda r: ", ".join(r.people), sort="people", width=14, aside=4),
    Column("used", "Used (h)", lambda r: f"{r.hours_used:.2f}", sort="used", width=9, right=True,
           by=lambda r: r.hours_used, aside=3),
    Column("likely", "Likely (h)", lambda r: hours_text(r.hours_likely), sort="likely", width=10, right=True,
           by=lambda r: r.hours_likely, aside=1),
    Column("found", "Found", found, sort="found", width=26, aside=2),
)  # fmt: skip
