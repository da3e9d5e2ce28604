"""Whose public holidays the shop keeps: a country, and a part of it; each choice saves itself."""

from __future__ import annotations

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.fields import SearchField
from annual_planner.desktop.form import Form
from annual_planner.desktop.shop.part import Failed
from annual_planner.desktop.shop.seen import ShopSeen
from annual_planner.records.edits import Changed
from annual_planner.records.public_holidays import SetPublicHolidays
from annual_planner.trade.shop_floor import HolidaysOf

NO_COUNTRY = ("", "None: the shop keeps no public holidays")
WHOLE_COUNTRY = ("", "What the whole country keeps")


class HolidaysOfForm(Form):
    """Two fields that are searched as one types: the country and, where it has any, its parts."""

    def __init__(self, desk: Desk, failed: Failed) -> None:
        super().__init__("Public holidays", below=True)
        self.desk = desk
        self._failed = failed
        self._saw = HolidaysOf()
        self._offered: dict[str, list[tuple[str, str]]] = {}
        self._wanted: HolidaysOf | None = None
        """What is on its way to the fleet."""
        self.country = SearchField("country", "Country")
        self.part = SearchField("part", "State or province")
        for field in (self.country, self.part):
            self.add(field)
        self.country.left.connect(self._country_left)
        self.part.left.connect(self._part_left)

    def show_seen(self, seen: ShopSeen) -> None:
        """Show what is kept; what is being typed is left alone."""
        kept = self._saw = seen.place.holidays_of
        self._show(self.country, [NO_COUNTRY, *seen.countries], kept.country)
        self._show(self.part, [WHOLE_COUNTRY, *seen.subdivisions], kept.subdivision)
        self.part.show_field(shown=bool(seen.subdivisions))
        days = len(seen.holidays)
        self.country.hint = f"{days} days in the next 12 months, in the list" if days else ""
        for field in (self.country, self.part):
            if not field.at_fault:
                field.say(field.hint)
            field.editor.setEnabled(self.desk.who.person.may_edit)

    def _show(self, field: SearchField, choices: list[tuple[str, str]], value: str) -> None:
        typed = field.line.text() if field.line.isModified() or field.at_fault else None
        if self._offered.get(field.key) != choices:  # some hundred countries
            self._offered[field.key] = choices
            field.offer(choices)
        field.put(value)
        if typed is not None:
            field.box.setEditText(typed)

    def _country_left(self) -> None:
        country = self.country.value()
        if country != self._saw.country:
            self._write(HolidaysOf(country))

    def _part_left(self) -> None:
        part = self.part.value()
        if part != self._saw.subdivision:
            self._write(HolidaysOf(self._saw.country, part))

    def _write(self, wants: HolidaysOf) -> None:
        if wants == self._wanted:
            return
        self._wanted = wants

        def done(_changed: Changed) -> None:
            self._wanted = None

        def failed(error: Exception) -> None:
            self._wanted = None
            self._failed(error)

        self.desk.jobs.write(SetPublicHolidays(self._saw, wants), self, done, failed)
