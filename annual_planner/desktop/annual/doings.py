"""What can be done on the page of one annual."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu

from annual_planner.desktop.annual.forms import OwnCardForm, start_form
from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.page_doings import PageAction, PageDoings, always
from annual_planner.records.edits import Changed, Edit

if TYPE_CHECKING:
    from annual_planner.desktop.annual.page import AnnualPage
    from annual_planner.library.shelf import Library


class Doings(PageDoings):
    """Actions of the page. Each edit goes through the one writer and can be taken back."""

    list: QAction
    own: QAction
    start: QAction
    take_up: QAction
    drop: QAction
    airplane: QAction
    plugs: QAction
    order: QAction
    remove: QAction
    paper: QAction
    filled: QAction
    switch: QAction

    def __init__(self, page: AnnualPage) -> None:
        super().__init__(page, ACTIONS)
        self.page = page
        page.cards.listing.fill_menu = self._card_menu
        page.items.listing.fill_menu = self._item_menu
        page.cards.listing.pointed.connect(self.follow)

    def turn(self) -> None:
        """Turn the switch of the chosen row."""
        page = self.page
        if page.tabs.part is page.items:
            page.items.toggle()
        elif page.tabs.part is page.cards:
            page.cards.toggle()

    def _card_menu(self, menu: QMenu, _place: int) -> None:
        page = self.page
        card = page.cards.current
        if card is not None and page.desk.who.person.may_edit:
            toggle = menu.addAction("Leave it out" if card.included else "Take it in")
            toggle.triggered.connect(page.cards.detail.toggle)
            if card.origin == "own":
                menu.addAction(self.drop)
        if self.about_plugs:
            menu.addAction(self.plugs)
        menu.addAction("Why?").triggered.connect(page.cards.detail.wants_why)

    def _item_menu(self, menu: QMenu, _place: int) -> None:
        page = self.page
        if page.desk.who.person.may_edit and page.items.current is not None:
            menu.addAction(page.items.switch.text()).triggered.connect(page.items.toggle)
        menu.addAction("Why?").triggered.connect(page.items.wants_why)

    # -- edits -----------------------------------------------------------------------------------------

    def _write(self, edit: Edit, form: Form | None) -> None:
        def done(changed: Changed) -> None:
            if form is not None and changed.made_id is not None:
                self.page.cards.choose(changed.made_id)
                self.page.refresh()
            self.page.close_form()

        self.page.desk.jobs.write(edit, form or self.page, done, form.failed if form else self.page.failed)

    def start_own_card(self) -> None:
        """Open the form for a card of one's own."""
        page, shown = self.page, self.page.shown
        if shown is None:
            return

        def done(values: Values) -> None:
            from annual_planner.planning.own_cards import AddOwnCard

            hours = (values["low"], values["likely"], values["high"])
            edit = AddOwnCard(
                shown.view.package.package_id,
                values["title"],
                values["zone"],
                values["phase"],
                values["kind"],
                hours,
                values["note"],
                major=values["major"],
            )
            self._write(edit, form)

        form = OwnCardForm(shown, done, page.close_form)
        page.tabs.show_part(page.cards)
        page.open_form(form, whole=True)

    def start_start(self) -> None:
        """Open the form for another start."""
        page, shown = self.page, self.page.shown
        if shown is None:
            return

        def done(values: Values) -> None:
            page.desk.with_library(form, lambda library: self._set_start(form, values, library), form.failed)

        form = start_form(shown, page.desk.today, done, page.close_form)
        page.open_form(form)

    def _set_start(self, form: Form, values: Values, library: Library) -> None:
        from annual_planner.planning.start import SetStart

        shown = self.page.shown
        if shown is not None:
            package = shown.view.package
            self._write(SetStart(package.package_id, package.start_on, values["start_on"], library), form)

    def start_taking_up(self) -> None:
        """Take up what has become due, or was found, since the package was planned."""
        page = self.page
        page.desk.with_library(page, self._take_up, page.failed)

    def _take_up(self, library: Library) -> None:
        from annual_planner.planning.take_up import TakeUp

        page, shown = self.page, self.page.shown
        if shown is None:
            return

        def done(_changed: Changed) -> None:
            page.strip.say("What is new was taken up; its cards come behind the last.", "Undo takes it back.")

        page.desk.jobs.write(TakeUp(shown.view.package.package_id, library), page, done, page.failed)

    def remove_card(self) -> None:
        """Take the chosen card of one's own out."""
        from annual_planner.planning.own_cards import RemoveCard

        card = self.page.cards.current
        if self.page.tabs.part is self.page.cards and card is not None:
            self._write(RemoveCard(card.card_id), None)

    def remove_package(self) -> None:
        """Take the whole package away; Undo brings it back."""
        from annual_planner.planning.packages import RemovePackage

        page, package_id = self.page, self.page.package_id
        if package_id is None:
            return

        def done(_changed: Changed) -> None:
            page.choose()
            page.strip.say("The package was taken away.", "Undo brings it back.")

        page.desk.jobs.write(RemovePackage(package_id), page, done, page.failed)

    # -- going -------------------------------------------------------------------------------------------

    def to_airplane(self) -> None:
        """Go to the airplane."""
        if self.page.shown is not None:
            self.page.goes.emit("aircraft", self.page.shown.view.aircraft.aircraft_id)

    @property
    def on_cards(self) -> bool:
        """The cards are the part that is shown; elsewhere the key means something else."""
        return self.on and self.page.tabs.part is self.page.cards

    @property
    def about_plugs(self) -> bool:
        """The chosen card is about plugs or compression."""
        card = self.page.cards.current if self.on else None
        return card is not None and ("plug" in card.key or "compression" in card.key)

    def to_plugs(self) -> None:
        """Go to the engine the chosen card is about."""
        card, shown = self.page.cards.current, self.page.shown
        if card is not None and shown is not None:
            engine = card.content.get("engine")
            position = engine if isinstance(engine, int) and engine > 0 else 1
            self.page.goes.emit("plugs", [shown.view.aircraft.aircraft_id, position])

    def to_paper(self) -> None:
        """Look at the paper."""
        self.page.tabs.show_part(self.page.tabs.preview)
        self.page.tabs.preview.setFocus()

    def read_filled(self) -> None:
        """Read what was filled in on a copy of a package."""
        from annual_planner.desktop.annual.filled_dialog import ask_filled_copy

        ask_filled_copy(self.page)

    def why_order(self) -> None:
        """Show why the cards stand in their order."""
        if self.page.shown is not None:
            self.page.wants_working.emit(self.page.shown.view.order_working)


ACTIONS: tuple[PageAction[Doings], ...] = (
    PageAction(
        "list",
        "&All annuals",
        lambda doings: doings.page.choose(),
        "Show the list of annuals",
        "Ctrl+L",
        "open",
        button=True,
        when=always,
    ),
    PageAction(
        "own",
        "Add &card…",
        Doings.start_own_card,
        "Add a card of your own",
        "Ctrl+Shift+C",
        "add",
        button=True,
        edits=True,
    ),
    PageAction(
        "start",
        "Change &start…",
        Doings.start_start,
        "Start the visit on another day",
        "Ctrl+Shift+T",
        drawing="due",
        edits=True,
    ),
    PageAction(
        "take_up",
        "Take &up what is new",
        Doings.start_taking_up,
        "Weigh what has become due since it was planned, and make cards for that and for new discrepancies",
        "Ctrl+Shift+J",
        drawing="add",
        edits=True,
    ),
    PageAction(
        "drop",
        "Take own card &out",
        Doings.remove_card,
        "Take the chosen card of your own out; other cards are left out by Space",
        "Del",
        "remove",
        edits=True,
        when=lambda doings: doings.on_cards,
    ),
    PageAction(
        "airplane",
        "Open the a&irplane",
        Doings.to_airplane,
        "Go to the airplane of this annual",
        "Ctrl+Shift+V",
        drawing="aircraft",
    ),
    PageAction(
        "plugs",
        "Open plu&gs and cylinders",
        Doings.to_plugs,
        "Go to the plugs and the compression of the engine the chosen card is about",
        "Ctrl+Shift+Y",
        "plugs",
        when=lambda doings: doings.about_plugs,
    ),
    PageAction(
        "order",
        "Wh&y this order?",
        Doings.why_order,
        "Why the cards stand in this order",
        "Ctrl+Shift+Q",
        drawing="why",
    ),
    PageAction(
        "remove",
        "&Take the package away",
        Doings.remove_package,
        "Take a package away that is still being planned; Undo brings it back",
        "Ctrl+Shift+Del",
        "remove",
        edits=True,
    ),
    PageAction(
        "paper",
        "Print pre&view",
        Doings.to_paper,
        "See the paper before it is saved or printed",
        "Ctrl+P",
        "print",
        button=True,
        leading=True,
    ),
    PageAction(
        "filled",
        "Read a &filled copy…",
        Doings.read_filled,
        "See what stands in a filled copy of a package, then record all of it or nothing",
        "Ctrl+Shift+F",
        drawing="open",
        edits=True,
        when=always,
    ),
    PageAction(
        "switch",
        "&Decide otherwise",
        Doings.turn,
        "Do the chosen thing now or leave it; take the chosen card in or leave it out (Space)",
        "Ctrl+J",
        drawing="tick",
        edits=True,
    ),
)
