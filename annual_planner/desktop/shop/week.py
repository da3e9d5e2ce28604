"""The week of the shop and of each person: seven fields, saved as each is left."""

from __future__ import annotations

from functools import partial

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.fields import ChoiceField, TextField
from annual_planner.desktop.form import Form
from annual_planner.desktop.shop.part import Failed, ShopPart
from annual_planner.desktop.shop.person_cost import PersonCost
from annual_planner.desktop.shop.seen import ShopSeen
from annual_planner.desktop.shop.typed_hours import Minutes, read_hours, said_hours, said_total
from annual_planner.desktop.widgets import label
from annual_planner.planning.watched_hours import unwatched_days, week_of
from annual_planner.records.edits import Changed
from annual_planner.records.shop import WEEKDAYS, SetOpenHours
from annual_planner.store.shop_reads import OpenStretch
from annual_planner.trade.refused import Refused

SATURDAY = 5
USUAL_SATURDAY: tuple[Minutes, ...] = ((8 * 60, 12 * 60),)
SAYS = (
    "When the shop is open, the hours of those who work other hours than the shop, and what an hour of each "
    "costs. Each field saves itself when it is left."
)
Week = tuple[OpenStretch, ...]


class WeekPart(ShopPart):
    """Hours: whose they are, a field for each weekday, and what follows from them."""

    def __init__(self, desk: Desk, failed: Failed) -> None:
        super().__init__(desk, "Hours", SAYS, failed)
        self.whose = ChoiceField("whose", "Hours of", [(None, "The shop")])
        self.days = Form("Hours of the week")
        self.fields = tuple(self._day(number, name) for number, name in enumerate(WEEKDAYS))
        self.follows = label("")
        self.follows.setWordWrap(True)
        self._saw: Week = ()
        self._shown = [""] * len(WEEKDAYS)
        self._writing = False
        head = Form("Whose hours")
        head.add(self.whose)
        self.cost = PersonCost(desk, failed)
        head.add(self.cost.field)
        self.body.addWidget(head)
        self.body.addWidget(self.days)
        self.body.addWidget(self.follows)
        self.body.addStretch(1)
        self.whose.edited.connect(lambda: self.show_person(self.whose.value()))
        self.offer(
            "Monday's hours to Friday", self.copy_monday, "Write Monday's hours into the days to Friday"
        )
        self.offer(
            "Saturdays only", self.saturdays_only, "The chosen person works on Saturdays and on no other day"
        )
        self.offer("As the shop", self.as_the_shop, "Take the chosen person's own hours away")

    def _day(self, number: int, name: str) -> TextField:
        field = TextField(str(number), name, read_hours, echo=said_total, letters=30)
        field.left.connect(partial(self._left, number))
        self.days.add(field)
        return field

    # -- showing

    def show_seen(self, seen: ShopSeen) -> None:
        """Offer everybody; show the chosen one's week and cost, what is being typed left alone."""
        here = self.whose.value()
        self.whose.offer([(None, "The shop"), *((each.person_id, each.name) for each in seen.people)])
        if self.whose.value() != here:
            self._shown = [""] * len(WEEKDAYS)
        self._show_week()
        self.cost.show(seen, self.whose.value())

    def show_person(self, person_id: int | None) -> None:
        """Show the week of this person, or of the shop."""
        self.whose.put(person_id)
        for field in self.fields:
            field.put("")
        self._shown = [""] * len(WEEKDAYS)
        self.days.clear_faults()
        self._show_week()
        if self.seen is not None:
            self.cost.show(self.seen, person_id)

    def _show_week(self) -> None:
        if self.seen is None:
            return
        if not self._writing:
            self._saw = week_of(self.seen.place, self.whose.value())
        for number, field in enumerate(self.fields):
            text = said_hours(_on(self._saw, number))
            if field.line.text() == self._shown[number] and not field.at_fault:
                field.put(text)
                self._shown[number] = text
                field.check()
            field.editor.setEnabled(self.desk.who.person.may_edit)
        self.follows.setText(self._what_follows(self.seen))

    def _what_follows(self, seen: ShopSeen) -> str:
        """What these hours mean for the plan, in words."""
        who = self.whose.value()
        if who is None:
            return "" if self._saw else "▲ The shop has no hours yet: nothing can be laid out or placed."
        if not self._saw:
            works = who in seen.mechanics
            usual = (
                "Works whenever the shop is open."
                if works
                else "Isn't planned with: no hours are written down."
            )
            return f"No hours of their own. {usual}"
        alone = () if who in seen.mechanics else unwatched_days(seen.place, who, seen.mechanics)
        if not alone:
            return ""
        days = ", ".join(WEEKDAYS[day] for day in alone)
        return (
            f"▲ {days}: no mechanic is in the shop all that time. Then only what needs no supervision is "
            "planned with them."
        )

    # -- saving

    def _left(self, number: int) -> None:
        if self.fields[number].line.text() != self._shown[number]:
            self.save()

    def save(self) -> None:
        """Write down every day that can be read; one at fault stays as it was, with its message beside it."""
        if self._writing or self.seen is None:
            return
        wants = tuple(each for number in range(len(WEEKDAYS)) for each in self._typed(number))
        if set(wants) != set(self._saw):
            self._write(wants)

    def _typed(self, number: int) -> Week:
        field = self.fields[number]
        if not field.check():
            return tuple(each for each in self._saw if each.weekday == number)
        who = self.whose.value()
        return tuple(OpenStretch(who, number, *minutes) for minutes in field.value() or ())

    def _write(self, wants: Week) -> None:
        who, texts = self.whose.value(), [field.line.text() for field in self.fields]
        self._writing = True

        def done(_changed: Changed) -> None:
            self._writing = False
            if self.whose.value() == who:
                self._saw, self._shown = wants, texts
                self.save()  # what was typed meanwhile
            else:
                self._show_week()

        def failed(error: Exception) -> None:
            self._writing = False
            self._failed(error)

        self.desk.jobs.write(SetOpenHours(who, self._saw, wants), self, done, failed)

    # -- quick ways

    def copy_monday(self) -> None:
        """Write Monday's hours into Tuesday to Friday."""
        for field in self.fields[1:5]:
            field.put(self.fields[0].line.text())
        self.save()

    def saturdays_only(self) -> None:
        """Let the chosen person work on Saturdays alone, while the shop is open then."""
        if self.whose.value() is None:
            self._failed(
                Refused("The shop itself is chosen.", "Choose the person who comes on Saturdays first.")
            )
            return
        assert self.seen is not None, "people are offered once they were read"
        hours = _on(week_of(self.seen.place, None), SATURDAY) or USUAL_SATURDAY
        for number, field in enumerate(self.fields):
            field.put(said_hours(hours) if number == SATURDAY else "")
        self.save()

    def as_the_shop(self) -> None:
        """Take the chosen person's own hours away."""
        if self.whose.value() is None:
            self._failed(
                Refused("The shop itself is chosen.", "Choose the person who works the shop's hours first.")
            )
            return
        for field in self.fields:
            field.put("")
        self.save()


def _on(week: Week, day: int) -> tuple[Minutes, ...]:
    return tuple((each.from_minute, each.to_minute) for each in week if each.weekday == day)
