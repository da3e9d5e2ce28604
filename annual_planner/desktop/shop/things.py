"""Bays and shared equipment with their counts."""

from __future__ import annotations

from annual_planner.desktop.annual.held import HeldList
from annual_planner.desktop.columns import Column
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.fields import ChoiceField, TextField
from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.listing import Words
from annual_planner.desktop.shop.part import Failed, ShopPart
from annual_planner.desktop.shop.seen import ShopSeen
from annual_planner.desktop.typed import read_count
from annual_planner.records.shop import AddShopThing, ChangeShopThing, RemoveShopThing
from annual_planner.store.shop_reads import ShopThing
from annual_planner.trade.refused import Refused

SAYS = (
    "Bays in which airplanes stand, and equipment that cards share. What isn't written down here is taken to "
    "be there whenever it is needed."
)
KINDS = (("bay", "Bay"), ("equipment", "Equipment"))
OFTEN_SHARED = ("jacks", "borescope", "differential compression tester", "run-up place")
Line = tuple[ShopThing, str]


def _count(text: str) -> int:
    count = read_count(text, "number")
    if count < 1:
        raise Refused("None of it can't be shared.", "Type how many there are, 1 or more; or remove it.")
    return count


COLUMNS: tuple[Column[Line], ...] = (
    Column("kind", "Kind", lambda r: r[0].kind, "kind", 12),
    Column("name", "Name", lambda r: r[0].name, "name", 32),
    Column("count", "How many", lambda r: str(r[0].count), "count", 12, right=True, by=lambda r: r[0].count),
    Column("cards", "Cards that ask for it", lambda r: r[1], width=40),
)


class ThingsPart(ShopPart):
    """The list of bays and equipment, and the form that adds to it and changes it."""

    def __init__(self, desk: Desk, failed: Failed) -> None:
        super().__init__(desk, "Bays and equipment", SAYS, failed)
        self.list: HeldList[Line] = HeldList(
            desk,
            "shop-things",
            COLUMNS,
            Words("things", "No bay is written down", "Without a bay no annual can be placed.", "Add a bay"),
            next_step=self.add,
        )
        self.body.addWidget(self.list, 1)
        self.list.opened.connect(lambda _place: self.change())
        self.offer("Add…", self.add, "Write down a bay or a piece of equipment")
        self.offer("Change…", self.change, "Another name or number for the chosen one")
        self.offer("Remove", self.remove, "Take the chosen one away")

    def show_seen(self, seen: ShopSeen) -> None:
        """List them, equipment with what its name stands for on cards."""
        things = [each for each in seen.place.things if each.kind != "room"]
        self.list.take([(each, _asked_for(seen, each)) for each in things])

    def add(self) -> None:
        """Ask for a new one."""

        def done(values: Values) -> None:
            self.write(AddShopThing(values["kind"], values["name"], values["count"]), form.failed)

        form = self._form("Bay or equipment", "Add it", done)
        has_bay = self.seen is not None and any(each.kind == "bay" for each in self.seen.place.things)
        form.put({"kind": "equipment" if has_bay else "bay", "count": 1})
        self.show_form(form)

    def change(self) -> None:
        """Ask for another name or number of the chosen one."""
        line = self.list.current
        if line is None:
            self._failed(Refused("Nothing is chosen.", "Choose a bay or equipment in the list first."))
            return
        thing = line[0]
        saw = {"kind": thing.kind, "name": thing.name, "count": thing.count}

        def done(values: Values) -> None:
            wants = {**values, "name": values["name"].strip()}
            self.write(ChangeShopThing(thing.thing_id, saw, wants), form.failed)

        form = self._form(f"Change {thing.name}", "Change it", done)
        form.put(saw)
        self.show_form(form)

    def remove(self) -> None:
        """Take the chosen one away."""
        line = self.list.current
        if line is None:
            self._failed(Refused("Nothing is chosen.", "Choose a bay or equipment in the list first."))
        else:
            self.write(RemoveShopThing(line[0].thing_id))

    def _form(self, title: str, verb: str, done: object) -> Form:
        form = Form(title, verb, done, self.close_form)  # type: ignore[arg-type]  # a function of values
        form.add(ChoiceField("kind", "Kind", KINDS))
        often = ", ".join(OFTEN_SHARED)
        form.add(TextField("name", "Name", needed="Give it a name.", hint=f"Cards ask for {often}."))
        form.add(TextField("count", "How many", _count, needed="Type how many there are.", letters=6))
        return form


def _asked_for(seen: ShopSeen, thing: ShopThing) -> str:
    if thing.kind != "equipment":
        return ""
    tools = seen.asked_for(thing.name)
    return (
        "; ".join(f"{tool}, {cards} cards" for tool, cards in tools.items())
        or "no card asks for it by this name"
    )
