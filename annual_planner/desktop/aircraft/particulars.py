"""One airplane's particulars, changed in place: each field saves itself when it is left."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal
from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QVBoxLayout, QWidget

from annual_planner.desktop.columns import hours_text
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.fields import ChoiceField, Field, Group, TextField, TicksField
from annual_planner.desktop.form import Form, Scrolled
from annual_planner.desktop.typed import read_count, read_decimal
from annual_planner.records.edits import Changed, Edit
from annual_planner.store.rows import AircraftSheet, PersonLine
from annual_planner.trade.cards import Feature
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.library.shelf import Library

Values = dict[str, Any]
Write = Callable[[Edit, QObject, Callable[[Changed], None], Callable[[Exception], None]], object]

CATEGORIES = (
    ("standard", "standard"),
    ("experimental", "experimental"),
    ("light-sport", "light-sport"),
    ("primary", "primary"),
    ("provisional", "provisional"),
)
USES = (
    ("hire", "Carries persons for hire"),
    ("instruction", "Given with instruction for hire"),
    ("ifr", "Flown under instrument flight rules"),
)
COUNTS = ("engines", "cylinders", "plugs", "wheels")
EARLIEST_YEAR = 1903


def read_year(text: str, this_year: int) -> int:
    """A year an airplane can have been built in. Raises Refused."""
    year = read_count(text, "year")
    if not EARLIEST_YEAR <= year <= this_year:
        raise Refused(f"{year} can't be right.", f"Type a year from {EARLIEST_YEAR} to {this_year}.")
    return year


def own_fields(form: Form, this_year: int) -> None:
    """Add the fields that say which airplane it is."""
    form.add(
        TextField(
            "registration",
            "Registration",
            read_registration,
            needed="Every airplane has a registration.",
            letters=12,
        )
    )
    form.add(TextField("maker", "Maker", needed="Say who built it."))
    form.add(TextField("model", "Model", needed="Say which model it is."))
    form.add(TextField("serial", "Serial number", needed="Directives go by the serial number."))
    form.add(TextField("year_built", "Year built", lambda text: read_year(text, this_year), letters=8))
    form.add(ChoiceField("category", "Category", CATEGORIES))
    form.add(
        TicksField(
            "uses",
            "Flown",
            [("", USES)],
            columns=1,
            hint="Requirements for hire, instruction and instrument flight follow from this.",
        )
    )


def read_registration(text: str) -> str:
    """A registration without spaces, in capitals. Raises Refused."""
    made = "".join(text.split()).upper()
    if not 2 <= len(made) <= 10 or not made.replace("-", "").isalnum():
        raise Refused(f"‘{text}’ is no registration.", "Type letters and figures, such as N012MH.")
    return made


def keeping_fields(form: Form) -> None:
    """Add the fields that say whose it is and where it stands."""
    form.add(ChoiceField("owner_id", "Owner", [(None, "not written down")]))
    form.add(TextField("base", "Based at", letters=26))
    form.add(
        TextField(
            "stated_hours_per_month",
            "Flown a month (h)",
            lambda text: read_decimal(text, "hours"),
            hint="The owner's own figure, used until there are readings.",
            letters=8,
        )
    )


def count_fields(form: Form) -> None:
    """Add how many of each thing there are; quantities on the cards follow from them."""
    for word in COUNTS:
        hint = "Quantities on the cards follow from these." if word == "engines" else ""
        form.add(TextField(word, word.capitalize(), partial(read_count, what=word), letters=6, hint=hint))


def feature_groups(features: Sequence[Feature]) -> list[Group]:
    """Features under their groups, in the order of the library."""
    groups: dict[str, list[tuple[str, str]]] = {}
    for feature in features:
        groups.setdefault(feature.group.capitalize(), []).append((feature.key, feature.title))
    return list(groups.items())


def owner_choices(people: Sequence[PersonLine]) -> list[tuple[object, str]]:
    """Who can be its owner: those who are owners first."""
    ranked = sorted(people, key=lambda person: ("owner" not in person.roles, person.name))
    return [(None, "not written down"), *((person.person_id, person.name) for person in ranked)]


def values_of(sheet: AircraftSheet) -> Values:
    """The particulars as the fields show them."""
    stated = sheet.stated_hours_per_month
    return {
        "registration": sheet.registration,
        "maker": sheet.maker,
        "model": sheet.model,
        "serial": sheet.serial,
        "year_built": sheet.year_built,
        "category": sheet.category,
        "uses": sheet.uses,
        "owner_id": sheet.owner_id,
        "base": sheet.base,
        "stated_hours_per_month": stated,
        "notes": sheet.notes,
        **{word: sheet.counts.get(word) for word in COUNTS},
    }


class Particulars(QWidget):
    """The particulars of one airplane."""

    def __init__(self, desk: Desk, write: Write) -> None:
        super().__init__()
        self.setAccessibleName("Particulars")
        self._desk = desk
        self._write = write
        self._sheet: AircraftSheet | None = None
        self.form = Form(
            "Which airplane, whose, and how it is used",
            says="Each field saves itself when you leave it.",
            below=True,
        )
        own_fields(self.form, desk.today.year)
        keeping_fields(self.form)
        count_fields(self.form)
        self.form.add(TextField("notes", "Notes", letters=60))
        self._column = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._column.addWidget(self.form, 1)
        inner = QWidget()
        inner.setObjectName("scrolled")
        inner.setAccessibleName("Particulars")
        inner.setLayout(self._column)
        self._column.setContentsMargins(0, 0, 6, 0)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 6, 0, 0)
        whole.addWidget(Scrolled(inner))
        self._features: TicksField | None = None
        for field in self.form.fields.values():
            self._follow(field)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Side by side where there is room, else one below the other."""
        super().resizeEvent(event)
        wide = event.size().width() > self._desk.theme.sizes.of(58)
        way = QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        self._column.setDirection(way)

    def take(self, sheet: AircraftSheet, people: Sequence[PersonLine]) -> None:
        """Show an airplane; a field somebody is typing in, or that was not taken, keeps what was typed."""
        other = self._sheet is None or self._sheet.aircraft_id != sheet.aircraft_id
        self._sheet = sheet
        owner = self.form.fields["owner_id"]
        if isinstance(owner, ChoiceField):
            owner.offer(owner_choices(people))
        for key, value in values_of(sheet).items():
            field = self.form.fields[key]
            typing = field.editor.hasFocus() and isinstance(field, TextField) and field.line.isModified()
            if other or not (typing or field.at_fault):
                self._show(field, value)
        if self._features is not None:
            self._features.put(sheet.features)
        may = self._desk.who.person.may_edit
        for field in self.form.fields.values():
            field.editor.setEnabled(may)

    def take_library(self, library: Library) -> None:
        """Offer the features that the library knows."""
        if self._features is not None:
            return
        form = Form("Equipment and build", says="Cards and requirements follow from what is ticked here.")
        self._features = TicksField("features", "", feature_groups(library.features), columns=2)
        form.add(self._features)
        self._column.addWidget(form)
        self._follow(self._features)
        self._features.editor.setEnabled(self._desk.who.person.may_edit)
        if self._sheet is not None:
            self._features.put(self._sheet.features)

    def _show(self, field: Field, value: object) -> None:
        field.put(hours_text(value) if isinstance(value, Decimal) else value)
        field.say(field.hint)

    def _follow(self, field: Field) -> None:
        field.left.connect(lambda: self._left(field))

    def _left(self, field: Field) -> None:
        """Save what was changed in the field that was left."""
        sheet = self._sheet
        if sheet is None or not field.check():
            return
        saw, wants = self._difference(sheet, field)
        if saw == wants:
            return
        from annual_planner.records.aircraft import ChangeAircraft

        self._write(
            ChangeAircraft(sheet.aircraft_id, saw, wants),
            self,
            lambda _c: None,
            lambda error: self._refused(field, error),
        )

    def _difference(self, sheet: AircraftSheet, field: Field) -> tuple[Values, Values]:
        value = field.value()
        if field.key in COUNTS:
            counts = {word: count for word, count in sheet.counts.items() if word != field.key}
            if value is not None:
                counts[field.key] = value
            return {"counts": dict(sheet.counts)}, {"counts": counts}
        if field.key == "features":
            unknown = tuple(key for key in sheet.features if key not in self._features_known())
            return {"features": sheet.features}, {"features": (*value, *unknown)}
        return {field.key: values_of(sheet)[field.key]}, {field.key: value}

    def _features_known(self) -> set[str]:
        return set(self._features.boxes) if self._features is not None else set()

    def _refused(self, field: Field, error: Exception) -> None:
        if isinstance(error, Refused):
            field.complain(f"{error.said} {error.remedy}".strip())
        else:
            field.complain("This could not be saved. Try again.")
