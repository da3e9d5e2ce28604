"""The shop's people: what they are there, what they hold, which hours they work; and new ones."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from annual_planner.desktop.annual.held import HeldList
from annual_planner.desktop.columns import Column, spoken_day
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.fields import TextField, TicksField
from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.listing import Words
from annual_planner.desktop.shop.part import Failed, ShopPart
from annual_planner.desktop.shop.person_cost import cost_field
from annual_planner.desktop.shop.seen import ShopSeen
from annual_planner.desktop.typed import read_day
from annual_planner.planning.watched_hours import week_of
from annual_planner.records.people import ROLES, AddPerson, ChangePerson
from annual_planner.store.rows import PersonLine
from annual_planner.trade.people import Certificate, CertificateKind
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_amount
from annual_planner.trade.shop_floor import HourCost

SAYS = (
    "Mechanics work the shop's hours where they have none of their own. Helpers and owners are planned with "
    "in hours of their own alone: give an owner who comes on Saturdays those hours."
)
RATINGS = ("airframe", "powerplant")
NOBODY = Refused("Nobody is chosen.", "Choose a person in the list first.")


@dataclass(frozen=True, slots=True)
class Line:
    """A person with what follows from what is written down about them."""

    person: PersonLine
    hours: str
    usual: HourCost | None
    """What an hour costs where nothing is written down; None for who isn't planned with."""

    @property
    def cost(self) -> Decimal | None:
        """What an hour of theirs costs."""
        own = self.person.cost_per_hour
        return own if own is not None or self.usual is None else self.usual.amount

    @property
    def cost_said(self) -> str:
        """What an hour of theirs costs, and whose figure that is."""
        if self.cost is None:
            return ""
        whose = "table" if self.person.cost_per_hour is None else "own"
        return f"{whose}: {said_amount(self.cost)}"


COLUMNS: tuple[Column[Line], ...] = (
    Column("name", "Name", lambda r: r.person.name, "name", 21),
    Column("roles", "Is there as", lambda r: ", ".join(r.person.roles), "roles", 16),
    Column("holds", "Holds", lambda r: r.person.holds, "holds", 29, aside=1),
    Column("hours", "Hours", lambda r: r.hours, "hours", 21),
    Column("cost", "An hour costs", lambda r: r.cost_said, "cost", 15, by=lambda r: r.cost or 0),
)


def line_of(seen: ShopSeen, person: PersonLine) -> Line:
    """A person as the list shows them."""
    return Line(person, hours_said(seen, person), seen.hour_costs.get(person.person_id))


def hours_said(seen: ShopSeen, person: PersonLine) -> str:
    """Which hours a person is planned with, in words."""
    own = week_of(seen.place, person.person_id)
    if own:
        minutes = sum(each.to_minute - each.from_minute for each in own)
        return f"own: {minutes / 60:g} h a week"
    return "the shop's" if "mechanic" in person.roles else "none: not planned with"


class PeoplePart(ShopPart):
    """The list of people, and the form for a new one."""

    def __init__(
        self,
        desk: Desk,
        failed: Failed,
        hours_of: Callable[[int], object],
        away: Callable[[int], object],
    ) -> None:
        super().__init__(desk, "People", SAYS, failed)
        self._hours_of, self._away = hours_of, away
        self.list: HeldList[Line] = HeldList(
            desk,
            "shop-people",
            COLUMNS,
            Words(
                "people",
                "Nobody is written down",
                "Without a mechanic nothing can be laid out.",
                "Write one down",
            ),
            next_step=self.add,
        )
        self.body.addWidget(self.list, 1)
        self.list.opened.connect(lambda _place: self._of_chosen(self._hours_of))
        self.offer("Somebody new…", self.add, "Write a person down with what they hold")
        self.offer("Change…", self.change, "Another name, part in the shop or way to be reached")
        self.offer("Hours…", lambda: self._of_chosen(self._hours_of), "The chosen person's own hours")
        self.offer(
            "Is away…", lambda: self._of_chosen(self._away), "Write down when the chosen person is away"
        )

    def show_seen(self, seen: ShopSeen) -> None:
        """List everybody."""
        self.list.take([line_of(seen, each) for each in seen.people])

    def _of_chosen(self, does: Callable[[int], object]) -> None:
        line = self.list.current
        if line is None:
            self._failed(NOBODY)
        else:
            does(line.person.person_id)

    def add(self) -> None:
        """Ask for a new person."""

        def done(values: Values) -> None:
            if self._sound(form, values):
                self.write(_person(values), form.failed)

        form = Form("Somebody new", "Write them down", done, self.close_form)
        form.add(TextField("name", "Name", needed="A person needs a name."))
        form.add(_roles())
        form.add(TextField("number", "Mechanic certificate", hint="its number; empty for none", letters=16))
        form.add(TicksField("ratings", "Ratings", [("", [(each, each) for each in RATINGS])], columns=4))
        today = self.desk.today
        form.add(
            TextField(
                "until", "Inspection authorization until", lambda text: read_day(text, today),
                echo=spoken_day, letters=14,
            )
        )  # fmt: skip
        form.add(TextField("contact", "Reached at"))
        form.add(cost_field())
        self.show_form(form)

    def change(self) -> None:
        """Ask for other particulars of the chosen person; certificates stay as they were written down."""
        line = self.list.current
        if line is None:
            self._failed(NOBODY)
            return
        person = line.person
        names = ("name", "roles", "contact", "cost_per_hour")
        saw = {name: getattr(person, name) for name in names}

        def done(values: Values) -> None:
            if self._has_part(form, values):
                self.write(ChangePerson(person.person_id, saw, values), form.failed)

        form = Form(f"Change {person.name}", "Change it", done, self.close_form)
        form.add(TextField("name", "Name", needed="A person needs a name."))
        form.add(_roles())
        form.add(TextField("contact", "Reached at"))
        form.add(cost_field())
        form.put(saw)
        self.show_form(form)

    def _has_part(self, form: Form, values: Values) -> bool:
        """Say so beside the roles when none is ticked."""
        if not values["roles"]:
            form.fields["roles"].complain("Tick at least one.")
            form.fields["roles"].message.show()
        return bool(values["roles"])

    def _sound(self, form: Form, values: Values) -> bool:
        """Say beside the fields what doesn't go together."""
        if not self._has_part(form, values):
            return False
        if not values["number"].strip() and (values["ratings"] or values["until"]):
            form.fields["number"].complain(
                "Ratings and an inspection authorization stand on a mechanic certificate."
            )
            return False
        return True


def _roles() -> TicksField:
    return TicksField("roles", "Is there as", [("", [(role, role) for role in ROLES])], columns=4)


def _person(values: Values) -> AddPerson:
    number, until = values["number"].strip(), values["until"]
    held = []
    if number:
        held.append(Certificate(CertificateKind.MECHANIC, number, frozenset(values["ratings"])))
    if until is not None:
        held.append(Certificate(CertificateKind.INSPECTION_AUTHORIZATION, number, expires_on=until))
    contact, cost = values["contact"].strip(), values["cost_per_hour"]
    return AddPerson(values["name"], values["roles"], contact, tuple(held), cost)
