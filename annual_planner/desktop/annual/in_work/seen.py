"""What is read for the cards in work: how far each is, and the open one whole."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.library.shelf import Library
    from annual_planner.planning.card_in_work import CardInWork
    from annual_planner.records.standing import Standing
    from annual_planner.store.doing_rows import DoingLine, StretchLine
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class InWorkSeen:
    """The cards of a package as far as they are, the open card, its signatures, time left running."""

    lines: tuple[DoingLine, ...]
    card: CardInWork | None
    signatures: tuple[Standing, ...]
    forgotten: tuple[StretchLine, ...]


def read_in_work(
    work: Work, package_id: int, card_id: int | None, library: Library, at: datetime
) -> InWorkSeen:
    """Read it in a fixed number of queries, whatever the size of the package."""
    from annual_planner.planning.card_in_work import card_in_work
    from annual_planner.records.standing import signatures_on
    from annual_planner.store.card_reads import doing_lines, left_open, open_stretches

    lines = doing_lines(work, package_id)
    forgotten = left_open(open_stretches(work, package_id=package_id), at)
    if card_id is None or card_id not in {line.card_id for line in lines}:
        return InWorkSeen(lines, None, (), forgotten)
    card = card_in_work(work, card_id, library, at.date(), at=at)
    return InWorkSeen(lines, card, signatures_on(work, "work_card", [card_id])[card_id], forgotten)


def scanned_number(typed: str, package: str) -> int:
    """The card number in what was scanned or typed: '7', or 'AP-2026-014/7' from the code on the paper.

    Refused where it is no number, or the paper belongs to another package.
    """
    of, slash, number = typed.strip().rpartition("/")
    if slash and of.casefold() != package.casefold():
        raise Refused(f"That paper belongs to package {of}.", f"This is {package}; open that annual first.")
    digits = number.strip().removeprefix("#")
    if not (digits.isascii() and digits.isdecimal()):
        raise Refused("That is no card number.", f"Type a number such as 7, or scan the code ({package}/7).")
    return int(digits)
