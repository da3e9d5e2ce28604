"""Closed days and absences: listed with the public holidays, written down and taken away."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, cast

from annual_planner.desktop.annual.held import HeldList
from annual_planner.desktop.annual.timeline.forms import sick_form
from annual_planner.desktop.columns import Column, day_text, spoken_day
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.fields import TextField
from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.listing import Words
from annual_planner.desktop.shop.holidays_of import HolidaysOfForm
from annual_planner.desktop.shop.part import Failed, ShopPart
from annual_planner.desktop.shop.seen import ShopSeen
from annual_planner.desktop.typed import read_day
from annual_planner.planning.job_hands import person_key
from annual_planner.records.shop import AddDaysOff, RemoveDaysOff
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.desktop.annual.page import AnnualPage

SAYS = (
    "Days when the shop is closed and when somebody is away. Public holidays are closed days without being "
    "written down, those of the country and the part of it that are chosen here."
)
HOLIDAY = "public holiday"


@dataclass(frozen=True, slots=True)
class OffLine:
    """Some days off; `days_off_id` None for a public holiday."""

    days_off_id: int | None
    who: str
    first_on: date
    last_on: date
    why: str

    @property
    def days(self) -> int:
        """How many days, both ends counted."""
        return (self.last_on - self.first_on).days + 1


COLUMNS: tuple[Column[OffLine], ...] = (
    Column("who", "Who", lambda r: r.who, "who", 24),
    Column("first", "From", lambda r: day_text(r.first_on), "first", 14, by=lambda r: r.first_on),
    Column("last", "To", lambda r: day_text(r.last_on), "last", 14, by=lambda r: r.last_on),
    Column("days", "Days", lambda r: str(r.days), "days", 7, right=True, by=lambda r: r.days),
    Column("why", "Why", lambda r: r.why, "why", 34),
)


def off_lines(seen: ShopSeen, today: date) -> list[OffLine]:
    """What is still to come, by day."""
    written = (
        OffLine(each.days_off_id, seen.who(each.person_id), each.first_on, each.last_on, each.why)
        for each in seen.place.days_off
        if each.last_on >= today
    )
    holidays = (
        OffLine(None, "The shop", day, day, f"{HOLIDAY}: {name}") for day, name in seen.holidays.items()
    )
    return sorted((*written, *holidays), key=lambda each: (each.first_on, each.who))


class DaysOffPart(ShopPart):
    """The list of days off, whose public holidays are among them, and the forms that add to it."""

    def __init__(self, desk: Desk, failed: Failed) -> None:
        super().__init__(desk, "Closed days and absences", SAYS, failed)
        self.list: HeldList[OffLine] = HeldList(
            desk,
            "shop-off",
            COLUMNS,
            Words("days off", "No days off are written down", "All open days count."),
        )
        self.holidays_of = HolidaysOfForm(desk, failed)
        self.body.addWidget(self.holidays_of)
        self.body.addWidget(self.list, 1)
        self.offer("Shop closed…", self.close_shop, "Write down days when the shop is closed")
        self.offer("Somebody is away…", self.somebody_away, "Write down an absence")
        self.offer("Take away", self.take_away, "Take the chosen days off away")

    def show_seen(self, seen: ShopSeen) -> None:
        """List what is to come, and whose public holidays are in it."""
        self.holidays_of.show_seen(seen)
        self.list.take(off_lines(seen, self.desk.today))

    def close_shop(self) -> None:
        """Ask from when to when the shop is closed."""

        def done(values: Values) -> None:
            first, last = values["first"], values["last"] or values["first"]
            if last < first:
                form.fields["last"].complain("The last day is before the first. Give the later one here.")
                return
            self.write(AddDaysOff(None, first, last, values["why"]), form.failed)

        form = Form("The shop is closed", "Write it down", done, self.close_form)
        form.add(self._day("first", "From", "Say the first day."))
        form.add(self._day("last", "To, if longer"))
        form.add(TextField("why", "Why"))
        self.show_form(form)

    def _day(self, key: str, words: str, needed: str = "") -> TextField:
        today = self.desk.today
        return TextField(
            key, words, lambda text: read_day(text, today), echo=spoken_day, needed=needed, letters=14
        )

    def somebody_away(self, person_id: int | None = None) -> None:
        """Ask who is away, in the form of the plan."""
        names = self._names()
        if not names:
            self._failed(
                Refused("Nobody is written down yet.", "Write people down in the part People first.")
            )
            return
        form = sick_form(cast("AnnualPage", self), names)  # it asks of a page what every part has too
        if person_id is not None:
            form.fields["who"].put(person_id)
        self.show_form(form)

    def _names(self) -> Mapping[str, str]:
        return {person_key(each.person_id): each.name for each in self.seen.people} if self.seen else {}

    def take_away(self) -> None:
        """Take the chosen days off away."""
        line = self.list.current
        if line is None:
            self._failed(Refused("No days off are chosen.", "Choose them in the list first."))
        elif line.days_off_id is None:
            self._failed(
                Refused(
                    f"{day_text(line.first_on)} is a {HOLIDAY}.",
                    "It can't be taken away alone. Choose whose public holidays the shop keeps, or none.",
                )
            )
        else:
            self.write(RemoveDaysOff(line.days_off_id))
