"""The page of one work package."""

from __future__ import annotations

from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from annual_planner.desktop.annual.annual_tabs import AnnualTabs
from annual_planner.desktop.annual.cards_tab import CardsInOrder
from annual_planner.desktop.annual.chooser import chooser
from annual_planner.desktop.annual.doings import Doings
from annual_planner.desktop.annual.items_tab import WhatGoesIn
from annual_planner.desktop.annual.late_parts import LateParts
from annual_planner.desktop.annual.plan import start_plan
from annual_planner.desktop.annual.seen import Shown, read_packages, read_shown
from annual_planner.desktop.annual.when_doings import WhenDoings
from annual_planner.desktop.annual.who_and_when import WhoAndWhen
from annual_planner.desktop.annual.why import why_here
from annual_planner.desktop.columns import day_text
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.form import Form, Scrolled
from annual_planner.desktop.listing import Listing
from annual_planner.desktop.page import AskWhy, Page
from annual_planner.desktop.parts import RoomForPart, offer_turning
from annual_planner.desktop.widgets import Blank, label
from annual_planner.store.rows import PackageLine
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Working

PLAN = "plan:"
"""Before the id of an airplane: an annual is to be planned for it."""
UNREAD = ("The annual could not be read", "Nothing was lost.")


class AnnualPage(Page):
    """One work package in the order of the work, or the list of packages."""

    place = "annual"
    title = "Annual"
    listens = frozenset((
        "package", "card", "aircraft", "reading", "requirement", "compliance", "due", "discrepancy", "person",
    ))  # fmt: skip

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.package_id: int | None = None
        self.shown: Shown | None = None
        self._choosing = False
        self._wanted_card: int | None = None
        self.heading.setWordWrap(True)
        self.about = label("", faint=True)
        self.about.setWordWrap(True)
        self.body.addWidget(self.about)
        self.items = WhatGoesIn(desk, self.failed)
        self.cards = CardsInOrder(desk)
        self.when = WhoAndWhen(self)
        self.late = LateParts(desk, self)
        self.tabs = AnnualTabs(
            desk,
            (
                ("items", self.items, "What goes in"),
                ("cards", self.cards, "Cards"),
                ("when", self.when, "Who and when"),
                ("in work", self.late.in_work_part, "In work"),
                ("closing", self.late.closing_part, "Closing"),
            ),
        )
        self.blank = Blank()
        self.chooser = chooser(desk, lambda: self.goes.emit("fleet", "airplanes"))
        self.drawer: Scrolled | None = None
        self._stack = QStackedWidget()
        self._fill()
        self.doings = Doings(self)
        self.when_doings = WhenDoings(self)
        offer_turning(self, self.tabs)
        self._offer(False)
        self._connect()

    def _show_card(self, card_id: int) -> None:
        """Go to a card in the order of the work."""
        if self.shown is None:
            return
        self.tabs.show_part(self.cards)
        places = {card.card_id: place for place, card in enumerate(self.shown.every_card)}
        if card_id in places:
            self.cards.listing.point_to(places[card_id])

    # -- putting together --------------------------------------------------------------------------

    def _fill(self) -> None:
        shown = QWidget()
        shown.setAccessibleName("The annual")
        self._column = QVBoxLayout(shown)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(self.tabs, 1)
        self._annual = Scrolled(shown)
        RoomForPart(self.tabs, self.desk.theme)
        self._stack.setAccessibleName("An annual, or the list of annuals")
        for part in (self.blank, self.chooser, self._annual):
            self._stack.addWidget(part)
        self.body.addWidget(self._stack)

    def _connect(self) -> None:
        self.chooser.opened.connect(self._open)
        self.tabs.turned.connect(self._look_at_paper)
        self.tabs.turned.connect(self.doings.follow)
        self.tabs.turned.connect(self.when_doings.follow)
        self.when.offers.connect(self.when_doings.follow)
        self.items.wants_why.connect(lambda: self._ask_why())
        self.cards.detail.wants_why.connect(lambda: self._ask_why())
        self.tabs.said.connect(self.strip.say)
        self.late.wants_working.connect(self.wants_working)
        self.late.wants_discrepancy.connect(lambda each: self.goes.emit("discrepancies", each))
        self.late.wants_card.connect(self._show_card)
        self.late.made.connect(self.adopt)
        self.desk.who.changed.connect(self.tabs.order)

    def _offer(self, on: bool) -> None:
        """Allow what needs an annual, or forbid it."""
        for doings in (self.doings, self.when_doings):
            doings.enable(on)

    def _ask_why(self) -> None:
        asked = self.why()
        if asked is not None:
            self.wants_working.emit(asked)

    # -- what the window asks ------------------------------------------------------------------------

    def ask(self) -> None:
        """Read the package again, or the list of packages."""
        owner_id = self.desk.who.person.sees_owner_id
        self.desk.jobs.read(
            lambda work: read_packages(work, owner_id),
            self,
            self._take_packages,
            self.failed,
            topic="packages",
        )
        if self.package_id is None:
            return
        package_id, today, desk = self.package_id, self.desk.today, self.desk
        if self.shown is None:
            self.blank.show_state("Reading the annual …")
            self._stack.setCurrentWidget(self.blank)
        self.desk.jobs.read(
            lambda work: read_shown(work, package_id, desk.library(), today, owner_id),
            self,
            self._take,
            self._gone,
            topic="shown",
        )

    def show_subject(self, subject: object) -> None:
        """Show the package with this id; 'list' shows all of them, 'plan:7' plans one for airplane 7.

        A package's id and a card's open that card in work.
        """
        if subject == "list":
            self.choose()
        elif isinstance(subject, str) and subject.startswith(PLAN):
            self.start_plan(int(subject.removeprefix(PLAN)))
        elif isinstance(subject, list):
            self._open_in_work(*subject)
        elif isinstance(subject, int) and subject != self.package_id:
            self._open_package(subject)
        if self.stale and self.isVisible():
            self.refresh()

    def _open_package(self, package_id: int) -> None:
        self.close_form()
        self.strip.put_away()
        self.package_id, self.shown, self._choosing = package_id, None, False
        self.tabs.setCurrentIndex(0)
        self.moved.emit()
        self.stale = True

    def _open_in_work(self, package_id: int, card_id: int) -> None:
        """Open a card in work, now or once its package is read."""
        self._wanted_card = card_id
        if package_id != self.package_id:
            self._open_package(package_id)
        elif self.shown is not None:
            self._open_wanted()

    def _open_wanted(self) -> None:
        card_id, self._wanted_card = self._wanted_card, None
        if card_id is not None:
            self.tabs.show_part(self.late.in_work_part)
            self.late.in_work.open_card(card_id)

    def start_plan(self, aircraft_id: int) -> None:
        """Ask when the annual of that airplane is to start."""
        from annual_planner.store.fleet_reads import registration_of

        def open_form(registration: str) -> None:
            start_plan(self, aircraft_id, registration, self.show_subject, self.choose)

        self.choose()
        if not self.desk.who.person.may_edit:
            return
        self.desk.jobs.read(
            lambda work: registration_of(work, aircraft_id), self, open_form, self.failed, topic="plan"
        )

    @property
    def subject(self) -> object:
        """The package's id."""
        return self.package_id

    @property
    def aircraft_here(self) -> int | None:
        """The airplane whose annual is shown."""
        return self.shown.view.aircraft.aircraft_id if self.shown is not None else None

    def focus_here(self) -> None:
        """Put the keys on the list that is shown."""
        if self._stack.currentWidget() is self.chooser:
            self.chooser.view.setFocus()
        elif self.drawer is None and isinstance(self.tabs.part, QWidget):
            part = self.tabs.part
            listing = getattr(part, "listing", None)
            (listing.view if isinstance(listing, Listing) else part).setFocus()

    def why(self) -> AskWhy | Working | None:
        """Why an item goes in, who may do a card, or why the cards stand in their order."""
        return why_here(self) if self._stack.currentWidget() is self._annual else None

    def search_here(self) -> None:
        """Put the cursor in the search field of the part that is shown."""
        if self._stack.currentWidget() is self.chooser:
            self.chooser.search.setFocus()
            return
        listing = getattr(self.tabs.part, "listing", None)
        if not isinstance(listing, Listing):
            self.tabs.show_part(self.cards)
            listing = self.cards.listing
        listing.search.setFocus()
        listing.search.selectAll()

    # -- showing ---------------------------------------------------------------------------------------

    def choose(self) -> None:
        """Show the list of packages."""
        self.close_form()
        self._choosing = True
        self.package_id = self.shown = None
        self.moved.emit()
        self._show_list()
        if self.isVisible():
            self.refresh()

    def _show_list(self) -> None:
        self.heading.setText("Annuals")
        self.about.hide()
        self._stack.setCurrentWidget(self.chooser)
        self._offer(False)

    def _open(self, place: int) -> None:
        self.show_subject(self.chooser.held.rows[place].package_id)

    def _take_packages(self, lines: list[PackageLine]) -> None:
        self.chooser.take(lines)
        if self.package_id is not None or self.drawer is not None:
            return
        alone = len(lines) == 1 and self.desk.who.person.role != "manager" and not self._choosing
        if alone:
            self.show_subject(lines[0].package_id)
        else:
            self._show_list()

    def _gone(self, error: Exception) -> None:
        if self.package_id is None:
            return  # meanwhile the list was asked for, as after taking the package away
        if not isinstance(error, Refused) or error.passing:
            if self.shown is None:
                said = UNREAD if not isinstance(error, Refused) else (error.said, error.remedy)
                self.blank.show_state(*said, "Try again", self.refresh)
            self.failed(error)
            return
        self.package_id = self.shown = None
        self._show_list()
        self.failed(error)

    def _take(self, shown: Shown) -> None:
        if shown.view.package.package_id != self.package_id:
            return  # meanwhile the list, or another package, was asked for
        self.shown = shown
        package = shown.view.package
        self.heading.setText(f"{package.registration}  {package.title}")
        self.about.setText(about(package))
        self.about.show()
        for part in (self.items, self.cards, self.when, self.tabs, self.late):
            part.take(shown)
        self._stack.setCurrentWidget(self._annual)
        self._offer(True)
        self._open_wanted()

    def _look_at_paper(self) -> None:
        if self.tabs.name_in_front == "preview":
            self.tabs.preview.make()

    # -- forms -----------------------------------------------------------------------------------------

    def open_form(self, form: Form, *, whole: bool = False) -> None:
        """Show a form above the parts, or in their place."""
        self.close_form()
        self.strip.put_away()
        self.drawer = Scrolled(form, snug=not whole, kept=not whole)
        self._column.insertWidget(0, self.drawer, 1 if whole else 0)
        self.tabs.setVisible(not whole and self.shown is not None)
        self._stack.setCurrentWidget(self._annual)
        self._annual.verticalScrollBar().setValue(0)
        form.start()

    def close_form(self) -> None:
        """Put the form away."""
        drawer, self.drawer = self.drawer, None
        if drawer is not None:
            self._column.removeWidget(drawer)
            drawer.hide()
            drawer.deleteLater()
            self.tabs.show()
            self._stack.setCurrentWidget(self._annual if self.shown is not None else self.chooser)
            self.cards.listing.view.setFocus()


def about(package: PackageLine) -> str:
    """How far the package is, when it starts and how much it is, in a line."""
    return "  ·  ".join(
        (
            package.state,
            f"starts {day_text(package.start_on)}",
            f"{package.cards} cards",
            f"{package.hours_likely:.1f} h likely",
            f"package {package.number}",
        )
    )
