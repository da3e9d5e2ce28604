"""Library: card templates, the scope of an annual, requirements, cautions, rules, engines and plugs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Generic, TypeVar

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QSplitter,
    QTabWidget,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from annual_planner.desktop import library_columns as columns
from annual_planner.desktop.columns import Column
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.library_details import Details
from annual_planner.desktop.listing import Listing, Words
from annual_planner.desktop.page import AskWhy, Page
from annual_planner.desktop.source import HeldSource
from annual_planner.desktop.widgets import label
from annual_planner.trade.coverage import Covered, coverage, scope_checked
from annual_planner.trade.working import Working

if TYPE_CHECKING:
    from annual_planner.library.shelf import Library
    from annual_planner.store.session import Work

R = TypeVar("R")
EVERY = "Any airplane: every card that looks at it"
MOST_AIRPLANES = 500
"""Of which the scope can be checked here; each airplane's own annual checks it anyway."""
TABS = ("cards", "coverage", "requirements", "cautions", "rules", "engines", "plugs", "conditions")


class Section(QSplitter, Generic[R]):
    """A list of the library and, beside it, everything about the chosen row."""

    def __init__(
        self,
        desk: Desk,
        what: str,
        of: Sequence[Column[R]],
        detail: Callable[[R], str],
        *,
        states: Sequence[str] = (),
        state_of: Callable[[R], str] | None = None,
        nothing: str = "The library's files hold none; a shop can add files of its own.",
    ) -> None:
        super().__init__(Qt.Orientation.Horizontal)
        self.setAccessibleName(f"{what.capitalize()} and details")
        self.setChildrenCollapsible(False)
        self._detail = detail
        self.source: HeldSource[R] = HeldSource(of, state_of=state_of)
        said = Words(what, f"No {what}", nothing)
        self.listing: Listing[R] = Listing(desk, f"library {what}", of, self.source, said, states=states)
        self.text = QTextBrowser()
        self.text.setOpenLinks(False)
        self.text.setAccessibleName(f"Details of the chosen row of {what}")
        self.addWidget(self.listing)
        self.addWidget(self.text)
        self.setStretchFactor(0, 3)
        self.setStretchFactor(1, 2)
        self.listing.answered.connect(self.listing.choose_first)
        self.listing.pointed.connect(lambda _id: self.draw())
        self.listing.table.dataChanged.connect(self.draw)
        desk.theme.changed.connect(self.draw)

    def take(self, rows: Sequence[R]) -> None:
        """Show these rows, the first of them chosen."""
        self.source.rows = list(rows)
        self.listing.ask()

    def draw(self) -> None:
        """Write the details of the chosen row."""
        row = self.listing.current
        self.text.setHtml(self._detail(row) if row is not None else "")


class LibraryPage(Page):
    """Lists in tabs; nothing is edited here: the files of the library are the shop's to change."""

    place = "library"
    title = "Library"
    listens = frozenset({"aircraft"})

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._library: Library | None = None
        self._features: frozenset[str] | None = None
        self._wanted = ""
        self.tabs = QTabWidget()
        self.tabs.setDocumentMode(True)
        self.tabs.tabBar().setDrawBase(False)
        for widget in (self.tabs, self.tabs.tabBar()):
            widget.setAccessibleName("Parts of the library")
        self.cards = Section(desk, "cards", columns.CARD_COLUMNS, lambda c: self._details().of_card(c))
        self.requirements = Section(
            desk, "requirements", columns.REQUIREMENT_COLUMNS, lambda r: self._details().of_requirement(r)
        )
        self.cautions = Section(
            desk, "cautions", columns.CAUTION_COLUMNS, lambda c: self._details().of_caution(c)
        )
        self.rules = Section(desk, "rules", columns.RULE_COLUMNS, lambda r: self._details().of_rule(r))
        self.engines = Section(
            desk, "engine types", columns.ENGINE_COLUMNS, lambda e: self._details().of_engine(e)
        )
        self.plug_types = Section(
            desk, "plug types", columns.PLUG_COLUMNS, lambda p: self._details().of_plug_type(p)
        )
        self.conditions = Section(
            desk, "plug conditions", columns.CONDITION_COLUMNS, lambda c: self._details().of_condition(c)
        )
        self.scope = Section(
            desk, "items", columns.SCOPE_COLUMNS, lambda c: self._details().of_item(c),
            states=("covered", "not covered", "does not apply"), state_of=columns.covered_word,
        )  # fmt: skip
        self.airplane = QComboBox()
        self.airplane.setAccessibleName("Airplane for which the scope is checked")
        self.airplane.view().setAccessibleName("Airplanes")
        self.airplane.addItem(EVERY, -1)
        self.checked = label("", section=True)
        self._lay_out()
        self.tabs.currentChanged.connect(lambda _place: self.moved.emit())
        self.airplane.currentIndexChanged.connect(self._ask_features)
        self._why = self.action("&Why is the scope covered?", self._show_scope_working, drawing="why")

    def _lay_out(self) -> None:
        scope = QWidget()
        scope.setAccessibleName("Scope of an annual")
        column = QVBoxLayout(scope)
        column.setContentsMargins(0, 6, 0, 0)
        row = QHBoxLayout()
        row.addWidget(label("Checked for", faint=True))
        row.addWidget(self.airplane)
        row.addWidget(self.checked, 1)
        column.addLayout(row)
        column.addWidget(self.scope, 1)
        self.tabs.addTab(self.cards, "Cards")
        self.tabs.addTab(scope, "Scope of an annual")
        self.tabs.addTab(self.requirements, "Requirements")
        self.tabs.addTab(self.cautions, "Cautions")
        self.tabs.addTab(self.rules, "Rules")
        self.tabs.addTab(self.engines, "Engine types")
        self.tabs.addTab(self.plug_types, "Plug types")
        self.tabs.addTab(self.conditions, "Plug conditions")
        self.body.addWidget(self.tabs, 1)

    # -- what the window asks of a page -------------------------------------------------------------

    def ask(self) -> None:
        """Have the library read, and the airplanes' features with which the scope is checked."""
        self.desk.with_library(self, self._take, self.failed)
        self.desk.jobs.read(_names_of_all, self, self._take_airplanes, self.failed, topic="names")
        self._ask_features()

    @property
    def sections(self) -> tuple[Section[object], ...]:
        """The lists in the order of the tabs."""
        return (
            self.cards, self.scope, self.requirements, self.cautions, self.rules,
            self.engines, self.plug_types, self.conditions,
        )  # type: ignore[return-value]  # fmt: skip

    @property
    def shown(self) -> Section[object]:
        """The list in front."""
        return self.sections[self.tabs.currentIndex()]

    def show_subject(self, subject: object) -> None:
        """A tab ('cards', 'coverage' …) or the key of a card."""
        if subject in TABS:
            self.tabs.setCurrentIndex(TABS.index(str(subject)))
            return
        self.tabs.setCurrentIndex(0)
        self._wanted = str(subject)
        self._point_to_wanted()

    @property
    def subject(self) -> object:
        """The tab in front."""
        return TABS[self.tabs.currentIndex()]

    def search_here(self) -> None:
        """Search the list in front."""
        self.shown.listing.search.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def focus_here(self) -> None:
        """The keys act on the list in front."""
        self.shown.listing.view.setFocus(Qt.FocusReason.OtherFocusReason)

    def why(self) -> AskWhy | Working | None:
        """The working of the scope, where one airplane is chosen."""
        return self._scope_working()

    # -- inside ------------------------------------------------------------------------------------------

    def _take(self, library: Library) -> None:
        self._library = library
        self.cards.take(sorted(library.cards, key=lambda card: card.phase.order))
        self.requirements.take(library.requirements)
        self.cautions.take(library.cautions)
        self.rules.take(library.rules.clauses)
        self.engines.take(library.engines)
        self.plug_types.take(library.plug_types)
        self.conditions.take(library.conditions)
        read_on = library.rules.read_on
        self.tell_under(
            f"Rules last read {columns_day(read_on)}; they change: look them up before relying on them."
        )
        self._check_scope()
        self._point_to_wanted()

    def _take_airplanes(self, airplanes: Sequence[tuple[int, str]]) -> None:
        chosen = self.airplane.currentData()
        self.airplane.blockSignals(True)
        self.airplane.clear()
        self.airplane.addItem(EVERY, -1)
        for aircraft_id, name in airplanes:
            self.airplane.addItem(name, aircraft_id)
        self.airplane.setCurrentIndex(max(0, self.airplane.findData(chosen)))
        self.airplane.blockSignals(False)

    def _ask_features(self) -> None:
        aircraft_id = self.airplane.currentData()
        if aircraft_id is None or aircraft_id < 0:
            self._take_features(None)
        else:
            self.desk.jobs.read(
                lambda work: _features(work, aircraft_id),
                self,
                self._take_features,
                self.failed,
                topic="features",
            )

    def _take_features(self, features: frozenset[str] | None) -> None:
        self._features = features
        self._check_scope()

    def _check_scope(self) -> None:
        library = self._library
        if library is None:
            return
        features = self._features
        rows = for_any(library) if features is None else coverage(library.items, library.cards, features)
        missing = sum(not each.met for each in rows)
        self.checked.setText(
            f"{missing} of {len(rows)} items have no card"
            if missing
            else f"All {len(rows)} items are answered"
        )
        self._why.setEnabled(features is not None)
        titles = {card.key: card.title for card in library.cards}
        self.scope.take([replace(each, cards=tuple(titles[key] for key in each.cards)) for each in rows])

    def _scope_working(self) -> Working | None:
        library, features = self._library, self._features
        if library is None or features is None:
            return None
        return scope_checked(library.items, library.cards, features).working

    def _show_scope_working(self) -> None:
        working = self._scope_working()
        if working is not None:
            self.wants_working.emit(working)

    def _point_to_wanted(self) -> None:
        keys = [card.key for card in self.cards.source.rows]
        if self._wanted in keys:
            self.cards.listing.point_to(keys.index(self._wanted))
            self._wanted = ""

    def _details(self) -> Details:
        library = self._library
        cautions = {caution.key: caution for caution in library.cautions} if library else {}
        features = {feature.key: feature.title for feature in library.features} if library else {}
        return Details(self.desk.theme.colours, cautions, features)


def for_any(library: Library) -> tuple[Covered, ...]:
    """Every item with all cards that look at it, whatever the airplane has."""
    return tuple(
        Covered(
            item,
            tuple(card.key for card in library.cards if item.id in card.covers),
            item.never_because,
        )
        for item in library.items
    )


def columns_day(day: object) -> str:
    """A day of the rules' reading in words; 'on an unknown day' where none is written."""
    from datetime import date

    from annual_planner.desktop.columns import day_text

    return day_text(day) if isinstance(day, date) else "on an unknown day"


def _names_of_all(work: Work) -> list[tuple[int, str]]:
    from annual_planner.store import fleet_reads

    ids = fleet_reads.fleet_ids(work, order="registration")[:MOST_AIRPLANES]
    lines = fleet_reads.fleet_lines(work, ids)
    return [(line.aircraft_id, f"{line.registration}  {line.maker} {line.model}") for line in lines]


def _features(work: Work, aircraft_id: int) -> frozenset[str]:
    from annual_planner.store import fleet_reads

    return frozenset(fleet_reads.aircraft_sheet(work, aircraft_id).features)
