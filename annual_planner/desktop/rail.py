"""The narrow rail of places at the left, and at its foot the person at the window."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QFont, QFontMetrics, QResizeEvent
from PySide6.QtWidgets import QButtonGroup, QFrame, QMenu, QSizePolicy, QToolButton, QVBoxLayout

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.icons import icon
from annual_planner.desktop.places import Place, open_to
from annual_planner.desktop.sheet import RAIL_TEXT
from annual_planner.desktop.who import ROLES, Person, Role

if TYPE_CHECKING:
    from annual_planner.store.rows import PersonLine

ROLE_WORDS: dict[Role, str] = {"mechanic": "Mechanic", "owner": "Owner", "manager": "Shop manager"}


class Rail(QFrame):
    """One button for each place, in the order of the work."""

    chosen = Signal(str)

    def __init__(self, desk: Desk, places: Sequence[Place]) -> None:
        super().__init__()
        self.setObjectName("rail")
        self.setAccessibleName("Places")
        self._desk = desk
        self._places = tuple(places)
        self._buttons: dict[str, QToolButton] = {}
        self._group = QButtonGroup(self)
        self._people: tuple[PersonLine, ...] = ()
        self.person = self._button("person", "")
        self._menu = QMenu(self)
        self._menu.setAccessibleName("Who is at the window")
        self._menu.aboutToShow.connect(self._fill)
        self._lay_out(places)
        self._show_places()
        desk.theme.changed.connect(self._draw)
        desk.who.changed.connect(self._name)
        desk.who.changed.connect(self._show_places)
        desk.who.named.connect(self._name)
        self._draw()

    def _lay_out(self, places: Sequence[Place]) -> None:
        column = self._column = QVBoxLayout(self)
        for number, place in enumerate(places, start=1):
            made = self._button(place.name, place.on_rail)
            made.setAccessibleName(place.title)
            made.setCheckable(True)
            made.setToolTip(f"{place.tip} (Ctrl+{number})")
            made.clicked.connect(partial(self.chosen.emit, place.name))
            self._group.addButton(made)
            self._buttons[place.name] = made
            column.addWidget(made)
        column.addStretch(1)
        self.person.setMenu(self._menu)
        self.person.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.person.setToolTip("Who is at the window: each sees the place made for them first")
        column.addWidget(self.person)

    def _button(self, name: str, text: str) -> QToolButton:
        made = QToolButton()
        made.setObjectName(f"rail-{name}")
        made.setText(text)
        made.setAccessibleName(text)
        made.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextUnderIcon)
        made.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        return made

    def _show_places(self) -> None:
        for place in self._places:
            self._buttons[place.name].setVisible(open_to(place, self._desk.who.person.role))

    def show_place(self, name: str) -> None:
        """Mark the place that is shown."""
        if name in self._buttons:
            self._buttons[name].setChecked(True)

    def take_people(self, people: Sequence[PersonLine]) -> None:
        """Learn who there is in the fleet."""
        self._people = tuple(people)
        person = self._desk.who.person
        first = next((line for line in people if person.role in line.roles), None)
        if first is not None and not person.name and person.may_edit:
            self._desk.who.learn(Person(person.role, first.person_id, first.name))

    def fill_person_menu(self) -> QMenu:
        """The menu of people, filled."""
        self._fill()
        return self._menu

    def _fill(self) -> None:
        self._menu.clear()
        for role in ROLES:
            self._menu.addSection(ROLE_WORDS[role])
            named = [Person(role, p.person_id, p.name) for p in self._people if role in p.roles]
            for person in named or [Person(role)]:
                choice = self._menu.addAction(person.name or f"{ROLE_WORDS[role]}, not named")
                choice.setCheckable(True)
                choice.setChecked(person == self._desk.who.person)
                choice.triggered.connect(partial(self._desk.who.pick, person))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave the drawings out where large text has no room for both."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        line = self._desk.theme.sizes.line
        lines = sum(made.text().count("\n") + 1 for made in (*self._buttons.values(), self.person))
        needed = line * (lines + 2.6 * (len(self._buttons) + 1))
        style = Qt.ToolButtonStyle.ToolButtonTextUnderIcon
        if needed > self.height() > 0:
            style = Qt.ToolButtonStyle.ToolButtonTextOnly
        for made in (*self._buttons.values(), self.person):
            made.setToolButtonStyle(style)
        roomy = style == Qt.ToolButtonStyle.ToolButtonTextUnderIcon
        self._column.setSpacing(2 if roomy else 0)
        self._column.setContentsMargins(0, 8 if roomy else 0, 0, 4 if roomy else 0)
        self._set_low(not roomy)

    def _set_low(self, low: bool) -> None:
        """Words alone stand closer, so that all of them are seen whole."""
        if bool(self.property("low")) != low:
            self.setProperty("low", low)
            for made in (*self._buttons.values(), self.person):
                made.style().unpolish(made)
                made.style().polish(made)

    def _draw(self) -> None:
        inks = self._desk.theme.colours
        side = self._desk.theme.sizes.of(1.55)
        for name, made in [*self._buttons.items(), ("person", self.person)]:
            made.setIcon(icon(name, inks.ink, side=side))
            made.setIconSize(QSize(side, side))
            made.setMinimumHeight(round(self._desk.theme.sizes.target))
        self.setFixedWidth(max(self._words_width(), round(self._desk.theme.sizes.target * 1.6)))
        self._name()

    def _words_width(self) -> int:
        """Room for the widest word of a place, whole."""
        words = QFont(self.font())
        words.setPixelSize(round(self._desk.theme.sizes.line * RAIL_TEXT))
        words.setBold(True)
        lines = [line for place in self._places for line in place.on_rail.split("\n")]
        widest = max(QFontMetrics(words).horizontalAdvance(line) for line in lines)
        return widest + self._desk.theme.sizes.of(0.75)

    def _name(self) -> None:
        person = self._desk.who.person
        first = person.name.split(" ")[0] if person.name else ""
        role = ROLE_WORDS[person.role]
        self.person.setText(f"{first}\n{role.split()[-1].capitalize()}" if first else role)
        self.person.setAccessibleName(f"Person: {person.name or 'not named'}, {role}")
