"""Short forms beside the lists: another week, and days that are wished for or blocked."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from annual_planner.desktop.columns import day_text
from annual_planner.desktop.fields import ChoiceField, TextField
from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.typed import read_day, said_day
from annual_planner.records.edits import Edit

if TYPE_CHECKING:
    from annual_planner.desktop.weeks.page import WeeksPage
    from annual_planner.desktop.weeks.seen import WishLine
    from annual_planner.planning.shop_weeks.kept import VisitLine

WISHED, BLOCKED = "wished", "blocked"
ALL = "all"
"""The whole shop, in place of an airplane."""


def monday_of(day: date) -> date:
    """The Monday of a day's week."""
    return day - timedelta(days=day.weekday())


def week_form(page: WeeksPage, line: VisitLine) -> Form:
    """Ask for another week; what that costs is shown before it is kept."""
    today = page.desk.today

    def read(text: str) -> date:
        return monday_of(read_day(text, today))

    def done(values: Values) -> None:
        page.beside.put_away()
        page.moving.ask(line.key, values["on"])

    form = Form(
        f"{line.registration}: another week",
        "See what it costs",
        done,
        page.beside.put_away,
        "Any day of the week will do. What the move costs is shown before it is kept.",
        below=True,
    )
    field = form.add(
        TextField(
            "on",
            "A day of that week",
            read,
            echo=lambda monday: f"week of {day_text(monday)}",
            needed="Name a day of the week it shall come in.",
            letters=14,
        )
    )
    field.put(line.week_on.isoformat() if line.week_on is not None else "")
    return form


def days_form(page: WeeksPage, aircraft_id: int | None, wish: WishLine | None) -> Form:
    """Ask for days an owner wishes for or can't spare, or on which the shop is closed."""

    def done(values: Values) -> None:
        last = values["last"] or values["first"]
        edit = _edit({**values, "last": last}, wish)
        if edit is None:
            page.beside.put_away()
        else:
            page.desk.jobs.write(edit, page, lambda _changed: page.beside.put_away(), form.failed)

    form = Form(
        "Other days" if wish is not None else "Wished or blocked days",
        "Write it down",
        done,
        page.beside.put_away,
        "The plan stands until you propose anew; then no annual is put on blocked days.",
        below=True,
    )
    if wish is None:
        seen = page.seen
        names = seen.airplanes if seen is not None else ()
        form.add(ChoiceField("aircraft", "Whose", [*names, (ALL, "the shop is closed")]))
        form.fields["aircraft"].put(aircraft_id)
    if wish is None or wish.aircraft_id is not None:
        kinds = [(BLOCKED, "can't be spared"), (WISHED, "wished for")]
        form.add(
            ChoiceField("kind", "What", kinds, hint="Days on which the shop is closed are always blocked.")
        )
    form.add(_day(page, "first", "From", "Say the first day."))
    form.add(_day(page, "last", "To, if longer"))
    form.add(TextField("why", "Why", letters=30))
    if wish is not None:
        kept = {"first": wish.first_on.isoformat(), "last": wish.last_on.isoformat(), "why": wish.why}
        form.put({**kept, **({"kind": BLOCKED if wish.blocked else WISHED} if "kind" in form.fields else {})})
    return form


def _day(page: WeeksPage, key: str, words: str, needed: str = "") -> TextField:
    today = page.desk.today
    return TextField(key, words, lambda text: read_day(text, today), echo=said_day, needed=needed, letters=14)


def _edit(values: dict[str, Any], wish: WishLine | None) -> Edit | None:
    """The edit that writes it down; None when nothing is different."""
    from annual_planner.records.shop import AddDaysOff
    from annual_planner.records.visits import ChangeWish, WishDays

    first, last, why = values["first"], values["last"], values["why"]
    if wish is None and values["aircraft"] == ALL:
        return AddDaysOff(None, first, last, why)
    blocked = values.get("kind") == BLOCKED
    if wish is None:
        return WishDays(values["aircraft"], first, last, blocked=blocked, why=why)
    after = {"first_on": first, "last_on": last, "blocked": blocked, "why": why}
    saw = {name: getattr(wish, name) for name in after}
    return ChangeWish(_row_of(wish), saw, after) if after != saw else None


def removal(wish: WishLine) -> Edit:
    """The edit that takes such days away."""
    from annual_planner.records.shop import RemoveDaysOff
    from annual_planner.records.visits import RemoveWish

    row_id = _row_of(wish)
    return RemoveDaysOff(row_id) if wish.aircraft_id is None else RemoveWish(row_id)


def _row_of(wish: WishLine) -> int:
    """The row behind days that somebody wrote down."""
    assert wish.row_id is not None, "no public holiday is changed or taken away"
    return wish.row_id
