"""What an hour of one person costs: a field that saves itself when it is left."""

from __future__ import annotations

from decimal import Decimal

from PySide6.QtCore import QObject

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.fields import TextField
from annual_planner.desktop.shop.part import Failed
from annual_planner.desktop.shop.seen import ShopSeen
from annual_planner.desktop.typed import read_decimal
from annual_planner.records.edits import Changed
from annual_planner.records.people import ChangePerson, check_cost
from annual_planner.trade.said import said_amount

KEY = "cost_per_hour"
HINT = "in the shop's own money; empty: the table's figure"


def read_cost(text: str) -> Decimal:
    """What an hour of somebody costs, in the shop's own money. Raises Refused."""
    cost = read_decimal(text, "amount")
    check_cost(cost)
    return cost


def cost_field() -> TextField:
    """The field for what an hour of somebody costs; it may stay empty."""
    return TextField(KEY, "An hour costs", read_cost, hint=HINT, letters=10)


class PersonCost(QObject):
    """The field of the person whose hours are shown; hidden for the shop itself."""

    def __init__(self, desk: Desk, failed: Failed) -> None:
        super().__init__()
        self.desk = desk
        self.field = cost_field()
        self._failed = failed
        self._who: int | None = None
        self._saw: Decimal | None = None
        self._shown = ""
        self.field.left.connect(self._left)
        self.field.show_field(shown=False)

    def show(self, seen: ShopSeen, person_id: int | None) -> None:
        """Show what is written down for this person; what is being typed for them is left alone."""
        person = next((each for each in seen.people if each.person_id == person_id), None)
        self.field.show_field(person is not None)
        if person is None:
            self._who = None
            return
        usual = seen.hour_costs.get(person.person_id)
        self.field.hint = HINT if usual is None else f"{said_amount(usual.amount)} when empty, {usual.source}"
        typing = self._who == person_id and (self.field.line.text() != self._shown or self.field.at_fault)
        self._who, self._saw = person_id, person.cost_per_hour
        if not typing:
            self._shown = "" if self._saw is None else f"{self._saw:.2f}"
            self.field.put(self._shown)
            self.field.say(self.field.hint)
        self.field.editor.setEnabled(self.desk.who.person.may_edit)

    def _left(self) -> None:
        if self._who is None or not self.field.check():
            return
        wants, typed, who = self.field.value(), self.field.line.text(), self._who
        if wants == self._saw:
            return

        def done(_changed: Changed) -> None:
            if self._who == who:
                self._shown = typed

        edit = ChangePerson(who, {KEY: self._saw}, {KEY: wants})
        self.desk.jobs.write(edit, self, done, self._failed)
