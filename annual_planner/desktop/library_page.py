"""Library: card templates, the scope of an annual, requirements, cautions, rules, engines and plugs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any, NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QComboBox,
    QVBoxLayout,
    QWidget,
)

from annual_planner.desktop import library_columns as columns
from annual_planner.desktop.columns import Column
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.library_details import Details
from annual_planner.desktop.page import AskWhy, Page
from annual_planner.desktop.parts import TabsLater, offer_turning
from annual_planner.desktop.widgets import label
from annual_planner.desktop.with_details import HeldPart
from annual_planner.trade.coverage import Covered, coverage, scope_checked
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Working

if TYPE_CHECKING:
    from annual_planner.desktop.ask_rule import AskRule
    from annual_planner.desktop.listing import AnyListing
    from annual_planner.library.shelf import Library
    from annual_planner.store.session import Work

EVERY = "Any airplane: every card that looks at it"
ASK = "ask"
"""The tab on which a rule is asked; a subject that begins with it and a colon names a question."""
UNANSWERED = ("The question isn't answered yet.", "Fill in the facts and press Answer.")
MOST_AIRPLANES = 500
"""Of which the scope can be checked here; each airplane's own annual checks it anyway."""


class Tab(NamedTuple):
    """One list of the library: the words on its tab, what it lists, and how a row is told in full."""

    name: str
    words: str
    what: str
    columns: Sequence[Column[Any]]
    told: Callable[[Details, Any], str]
    states: Sequence[str] = ()
    state_of: Callable[[Any], str] | None = None


TABS = (
    Tab("cards", "Cards", "cards", columns.CARD_COLUMNS, Details.of_card),
    Tab(
        "coverage", "Scope of an annual", "items", columns.SCOPE_COLUMNS, Details.of_item,
        ("covered", "not covered", "does not apply"), columns.covered_word,
    ),
    Tab("requirements", "Requirements", "requirements", columns.REQUIREMENT_COLUMNS, Details.of_requirement),
    Tab("cautions", "Cautions", "cautions", columns.CAUTION_COLUMNS, Details.of_caution),
    Tab("rules", "Rules", "rules", columns.RULE_COLUMNS, Details.of_rule),
    Tab("engines", "Engine types", "engine types", columns.ENGINE_COLUMNS, Details.of_engine),
    Tab("plugs", "Plug types", "plug types", columns.PLUG_COLUMNS, Details.of_plug_type),
    Tab("conditions", "Plug conditions", "plug conditions", columns.CONDITION_COLUMNS, Details.of_condition),
)  # fmt: skip


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
        self._rows: dict[str, Sequence[Any]] = {}
        self._sections: dict[str, HeldPart[Any]] = {}
        self._asked: AskRule | None = None
        self.tabs = TabsLater("Parts of the library")
        self.tabs.tabBar().setDrawBase(False)
        self.airplane = QComboBox()
        self.airplane.setAccessibleName("Airplane for which the scope is checked")
        self.airplane.view().setAccessibleName("Airplanes")
        self.airplane.addItem(EVERY, -1)
        self.checked = label("", section=True)
        for tab in TABS:
            make = self._make_scope if tab.name == "coverage" else self._make
            self.tabs.add_later(tab.name, tab.words, partial(make, tab))
        self.tabs.add_later(ASK, "Ask a rule", self._make_asked)
        self.tabs.build_front()
        self.body.addWidget(self.tabs, 1)
        self.tabs.turned.connect(self.tabs.build_front)
        self.tabs.turned.connect(self.moved)
        self.airplane.currentIndexChanged.connect(self._ask_features)
        offer_turning(self, self.tabs)
        self._why = self.action("&Why is the scope covered?", self._show_scope_working, drawing="why")

    # -- the lists, each made when it is first looked at or asked for ----------------------------------

    def _make(self, tab: Tab) -> HeldPart[Any]:
        made: HeldPart[Any] = HeldPart(
            self.desk,
            tab.what,
            tab.columns,
            lambda row: tab.told(self._details(), row),
            states=tab.states,
            state_of=tab.state_of,
        )
        self._sections[tab.name] = made
        if tab.name in self._rows:
            made.take(self._rows[tab.name])
        else:
            made.say(f"Reading {tab.what} …")
        return made

    def _make_scope(self, tab: Tab) -> QWidget:
        made = QWidget()
        made.setAccessibleName("Scope of an annual")
        column = QVBoxLayout(made)
        column.setContentsMargins(0, 6, 0, 0)
        row = FlowRow()
        for part in (label("Checked for", faint=True), self.airplane, self.checked):
            row.addWidget(part)
        column.addLayout(row)
        column.addWidget(self._make(tab), 1)
        return made

    def _make_asked(self) -> AskRule:
        from annual_planner.desktop.ask_rule import AskRule

        made = self._asked = AskRule(self.desk)
        made.wants_working.connect(self.wants_working)
        made.answered.connect(self._take_unanswered_back)
        self.adopt(made.doings, "", made)
        return made

    @property
    def asked(self) -> AskRule:
        """Where a rule is asked."""
        self.tabs.get(ASK)
        assert self._asked is not None, "made with its tab"
        return self._asked

    def section(self, name: str) -> HeldPart[Any]:
        """The list of that tab."""
        self.tabs.get(name)
        return self._sections[name]

    @property
    def shown(self) -> HeldPart[Any]:
        """The list in front and its details; not where a rule is asked."""
        return self.section(self.tabs.name_in_front)

    @property
    def _asks(self) -> bool:
        return self.tabs.name_in_front == ASK

    def _show(self, name: str, rows: Sequence[Any]) -> None:
        self._rows[name] = rows
        if self.tabs.is_made(name):
            self.section(name).take(rows)

    # -- what the window asks of a page -------------------------------------------------------------

    def ask(self) -> None:
        """Have the library read, and the airplanes' features with which the scope is checked."""
        self.desk.with_library(self, self._take, self._unread)
        self.desk.jobs.read(_names_of_all, self, self._take_airplanes, self.failed, topic="names")
        self._ask_features()

    def show_subject(self, subject: object) -> None:
        """A tab ('cards', 'coverage' …), a question ('ask:locator-battery-use') or the key of a card."""
        tab, _, question = str(subject).partition(":")
        if tab == ASK and question:
            self.tabs.setCurrentIndex(self.tabs.index_of(ASK))
            self.asked.point_to(question)
            return
        if subject in self.tabs.names:
            self.tabs.setCurrentIndex(self.tabs.index_of(str(subject)))
            return
        self.tabs.setCurrentIndex(self.tabs.index_of("cards"))
        self._wanted = str(subject)
        self._point_to_wanted()

    @property
    def subject(self) -> object:
        """The tab in front."""
        return self.tabs.name_in_front

    def search_here(self) -> None:
        """Search the list in front."""
        here: AnyListing = self.asked.listing if self._asks else self.shown.listing
        here.search.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def focus_here(self) -> None:
        """The keys act on the list in front."""
        if self._asks:
            self.asked.focus_here()
        else:
            self.shown.listing.view.setFocus(Qt.FocusReason.OtherFocusReason)

    def why(self) -> AskWhy | Working | None:
        """The working of the answer in front, else of the scope, where one airplane is chosen."""
        return self.asked.working if self._asks else self._scope_working()

    def why_not(self) -> tuple[str, str]:
        """What is said where there is no working, and what to do."""
        return UNANSWERED if self._asks else super().why_not()

    def _take_unanswered_back(self) -> None:
        if self.strip.text == " ".join(UNANSWERED):
            self.strip.put_away()

    # -- inside ------------------------------------------------------------------------------------------

    def _unread(self, error: Exception) -> None:
        """Say on every list why it is empty; nothing else here depends on the library."""
        said, why = "The library could not be read", "Nothing was lost."
        if isinstance(error, Refused):
            said, why = error.said, error.remedy
        for section in self._sections.values():
            section.say(said, why, "Try again", self.refresh)

    def _take(self, library: Library) -> None:
        self._library = library
        self._show("cards", sorted(library.cards, key=lambda card: card.phase.order))
        self._show("requirements", library.requirements)
        self._show("cautions", library.cautions)
        self._show("rules", library.rules.clauses)
        self._show("engines", library.engines)
        self._show("plugs", library.plug_types)
        self._show("conditions", library.conditions)
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
        self._show(
            "coverage", [replace(each, cards=tuple(titles[key] for key in each.cards)) for each in rows]
        )

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
        keys = [card.key for card in self._rows.get("cards", ())]
        if self._wanted in keys:
            self.section("cards").listing.point_to(keys.index(self._wanted))
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
