"""The working behind what is pointed at on the page of one annual."""

from __future__ import annotations

from typing import TYPE_CHECKING

from annual_planner.desktop.page import AskWhy
from annual_planner.trade.working import Working

if TYPE_CHECKING:
    from annual_planner.desktop.annual.page import AnnualPage


def why_here(page: AnnualPage) -> AskWhy | Working | None:
    """Why an item goes in, who may do a card, when a thing is next due; else why the cards are so ordered."""
    shown, part = page.shown, page.tabs.part
    if shown is None:
        return None
    if part is page.items:
        return _of_item(page)
    if part is page.cards and page.cards.current is not None:
        return _of_card(page, page.cards.current.card_id)
    if part is page.late.closing_part:
        return page.late.closing.working()
    if part is page.when and page.when.made is not None:
        return page.when.made.working() or shown.view.order_working
    if page.tabs.name_in_front == "after":
        return _of_due_after(page) or shown.view.order_working
    return _of_sum(page) or shown.view.order_working


def _of_sum(page: AnnualPage) -> Working | None:
    """The hours, the quantity or the scope that the part in front shows; None for another part."""
    from annual_planner.planning import sums_working as of

    if page.shown is None:
        return None
    view, tabs, keys = page.shown.view, page.tabs, page.window().focusWidget()
    match tabs.name_in_front:
        case "hours":
            share, group = tabs.hours.shares.current, tabs.hours.hours.current
            if share is not None and tabs.hours.shares.view is keys:
                return of.share_working(view, share.name)
            return of.hours_working(view, group.doer if group is not None else "")
        case "supplies" if (need := tabs.supplies.parts.current) is not None:
            return of.part_working(view, need)
        case "coverage":
            return of.package_scope_working(view)
    return None


def _of_item(page: AnnualPage) -> AskWhy | None:
    from annual_planner.planning.explain import explain_item, explain_package

    desk, today, item, package_id = page.desk, page.desk.today, page.items.current, page.package_id
    if item is not None:
        item_id = item.item_id
        return lambda work: explain_item(work, item_id, today, desk.library())
    if package_id is None:
        return None
    return lambda work: explain_package(work, package_id, desk.library(), today)


def _of_card(page: AnnualPage, card_id: int) -> AskWhy:
    from annual_planner.planning.explain import explain_card

    desk = page.desk
    return lambda work: explain_card(work, card_id, desk.library())


def _of_due_after(page: AnnualPage) -> AskWhy | None:
    """The due point behind the chosen row: projected if it is done in the visit, with the one on record."""
    from annual_planner.planning.due_after import explain_due_after

    line, today, package_id = page.tabs.after.listing.current, page.desk.today, page.package_id
    if line is None or package_id is None:
        return None
    return lambda work: explain_due_after(work, package_id, line.requirement_id, today)
