"""The page of the shop's weeks: drawing, lists, and a panel for moves, forms and bundling."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent, QAction, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QMenu, QSplitter, QStackedWidget, QVBoxLayout, QWidget

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.form import Form, Scrolled
from annual_planner.desktop.page import AskWhy, Page
from annual_planner.desktop.parts import RoomForPart
from annual_planner.desktop.weeks.area import DrawingArea
from annual_planner.desktop.weeks.beside import Beside
from annual_planner.desktop.weeks.doings import Doings
from annual_planner.desktop.weeks.drawing import spoken
from annual_planner.desktop.weeks.empty import say_empty
from annual_planner.desktop.weeks.lists import Lists
from annual_planner.desktop.weeks.moving import Moving
from annual_planner.desktop.weeks.proposing import Proposing
from annual_planner.desktop.weeks.room import TIGHT, DrawnAbove
from annual_planner.desktop.weeks.seen import Seen, Shown, read_seen
from annual_planner.desktop.weeks.words import said_plan
from annual_planner.desktop.widgets import ActionButton, Blank, button, label
from annual_planner.planning.shop_weeks.kept import visit_lines
from annual_planner.planning.shop_weeks.lanes import lanes_of
from annual_planner.planning.shop_weeks.tried import Tried
from annual_planner.trade.working import Worked, Working

if TYPE_CHECKING:
    from annual_planner.planning.shop_weeks.kept import VisitLine
    from annual_planner.trade.bundling import Bundle


VISIT_ACTIONS = ("move", "pin", "release", "together", "annual", "airplane")
WISH_ACTIONS = ("change_days", "remove_days")


class WeeksPage(Page):
    """Annuals of the fleet over the coming twelve months, against bays and weeks."""

    place = "weeks"
    title = "Shop weeks"
    listens = frozenset({"visit", "calendar", "aircraft", "due", "requirement", "package", "card", "person"})

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.seen: Seen | None = None
        self.shown: Shown | None = None
        self._wanted: int | None = None
        self._in_window = False
        self.proposing: Proposing = Proposing(self)
        self.moving = Moving(self)
        self.area = DrawingArea(desk)
        self.drawing = self.area.drawing
        self.said, self.told, self.about = label(""), label("", faint=True), label("", faint=True)
        self.lists: Lists = Lists(desk)
        self.beside = Beside(desk)
        self.blank = Blank()
        self._fill()
        self.doings = Doings(self)
        before: QWidget = list(self.area.scales.values())[-1]
        for action in (self.doings.move, self.doings.together):
            made = ActionButton(action)
            self._row.addWidget(made)
            QWidget.setTabOrder(before, made)
            before = made
        self._row.addWidget(self.cancel_button)
        self._connect()
        self.doings.enable(False)
        desk.theme.changed.connect(self._fit)

    # -- putting together ----------------------------------------------------------------------------

    def _fill(self) -> None:
        row = self._row = FlowRow()
        self.cancel_button = button(
            "Cancel the search", self.proposing.cancel, tip="The last good plan stays"
        )
        for each in self.area.scales.values():
            row.addWidget(each)
        self.cancel_button.hide()
        self.front = QStackedWidget()
        self.front.setAccessibleName("Bays and weeks, or why there are none")
        self.front.addWidget(self.area)
        self.front.addWidget(self.blank)
        self.split = DrawnAbove(self.front, self.lists, self.area.height_of_all)
        self.split.setAccessibleName("Drawing and lists")
        self.split.addWidget(self.front)
        self.split.addWidget(self._below())
        for text in (self.said, self.told, self.about):
            text.setWordWrap(True)
        self.told.hide()
        whole = QWidget()
        whole.setObjectName("scrolled")
        whole.setAccessibleName("The weeks")
        column = QVBoxLayout(whole)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.said)
        column.addLayout(row)
        column.addWidget(self.told)
        column.addWidget(self.about)
        column.addWidget(self.split, 1)
        RoomForPart(self.lists, self.desk.theme)
        self.body.addWidget(Scrolled(whole))

    def _below(self) -> QWidget:
        below = QSplitter(Qt.Orientation.Horizontal)
        below.setAccessibleName("Lists and what stands beside them")
        below.setChildrenCollapsible(False)
        below.addWidget(self.lists)
        below.addWidget(self.beside)
        below.setStretchFactor(0, 3)
        below.setStretchFactor(1, 2)
        return below

    def _connect(self) -> None:
        self.drawing.pointed.connect(self.choose)
        self.drawing.placed.connect(self.moving.ask)
        self.drawing.released.connect(lambda _key: self.doings.let_go())
        self.drawing.put_back.connect(self.moving.put_back)
        self.lists.visits.pointed.connect(self._listed)
        self.lists.visits.opened.connect(lambda _place: self.drawing.setFocus())
        self.lists.visits.fill_menu = partial(self._fill_menu, VISIT_ACTIONS)
        self.lists.wishes.fill_menu = partial(self._fill_menu, WISH_ACTIONS)
        self.lists.wishes.pointed.connect(lambda _place: self.doings.follow())
        self.lists.currentChanged.connect(lambda _at: self.doings.follow())
        self.beside.filled.connect(self._fit)
        self.beside.emptied.connect(self._emptied)
        self.beside.wants_why.connect(self._show_working)
        self.beside.keeps.connect(self.moving.keep)
        self.beside.puts_back.connect(self.moving.put_back)

    def _fill_menu(self, names: Sequence[str], menu: QMenu, _row_id: int) -> None:
        for name in names:
            action = getattr(self.doings, name)
            if action.isEnabled():
                menu.addAction(action)

    # -- what the window asks --------------------------------------------------------------------------

    def ask(self) -> None:
        """Read the plan and the question again."""
        today = self.desk.today
        if not self.proposing.running:
            self.show_told("")
        self.desk.jobs.read(
            lambda work: read_seen(work, today), self, self._take, self.failed, topic="seen",
            says="Reading the weeks",
        )  # fmt: skip

    def _take(self, seen: Seen) -> None:
        self.seen = seen
        self.lists.take(seen)
        self.say_fault()
        self._show(seen.shown)
        say_empty(self, seen)
        self.doings.enable(True)

    def _show(self, shown: Shown) -> None:
        self.moving.put_back()
        chosen = self.drawing.chosen if self._wanted is None else self._wanted
        self._wanted = None
        self.shown = shown
        self.drawing.take(shown.lanes, self.desk.today)
        self.split.fit()
        self.lists.take_plan(shown, chosen)
        self._point(shown.line(chosen) if chosen is not None else None)
        self.said.setText(said_plan(shown, self.proposing.bound_of(shown)))

    def tell(self, said: str) -> None:
        """Say quietly what became of a search, a move or a pin; to the ear too."""
        self.show_told(said)
        self.announce(said)

    def show_told(self, said: str) -> None:
        """Show what becomes of a search, a move or a pin; it takes no room while there is nothing to say."""
        self.told.setText(said)
        self.told.setVisible(bool(said))

    def announce(self, said: str) -> None:
        """Say something to a screen reader."""
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, said))

    def say_fault(self) -> None:
        """Say in one line why the weeks can't be planned as things stand, if they can't."""
        if self.seen is not None and self.seen.fault is not None:
            self.strip.refuse(self.seen.fault)

    def set_up_shop(self) -> None:
        """Open the window's set-up of the shop: hours, bays, people."""
        action = self.window().findChild(QAction, "shop")
        if isinstance(action, QAction):
            action.trigger()

    def show_subject(self, subject: object) -> None:
        """Choose the visit of the airplane with this id."""
        text = str(subject) if subject is not None else ""
        if text.isdigit():
            self._wanted = int(text)
            if self.shown is not None:
                self.choose(int(text))
            if self.stale and self.isVisible():
                self.refresh()

    @property
    def subject(self) -> object:
        """The airplane whose visit is chosen."""
        return self.drawing.chosen

    @property
    def aircraft_here(self) -> int | None:
        """The airplane whose visit is chosen."""
        return self.drawing.chosen

    def search_here(self) -> None:
        """Search the list of visits."""
        self.lists.show_part(self.lists.visits)
        self.lists.visits.search.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.lists.visits.search.selectAll()

    def focus_here(self) -> None:
        """The keys act on the drawing, or on the list while nothing is drawn."""
        shown = self.drawing if self.drawing.isVisibleTo(self) else self.lists.visits.view
        shown.setFocus(Qt.FocusReason.OtherFocusReason)

    def why(self) -> AskWhy | Working | None:
        """The working of what is shown beside the lists, of the chosen visit's week, or of the plan."""
        from annual_planner.planning.shop_weeks.placing import told_plan, why_there

        if self.moving.tried is not None:
            return self.moving.tried.moved.working
        if self.beside.bundle is not None:
            return self.beside.bundle
        shown, key = self.shown, self.drawing.chosen
        if shown is None or shown.put is None:
            return None
        if key is not None and shown.line(key) is not None:
            return why_there(shown.put.asked, shown.put.plan, key).working
        found = self.proposing.bound_of(shown) or told_plan(shown.put.asked, shown.put.plan)
        return found.working

    def _show_working(self) -> None:
        working = self.why()
        if working is not None:
            self.wants_working.emit(working)

    def showEvent(self, event: QShowEvent) -> None:
        """Once in a window: a search ends with it."""
        super().showEvent(event)
        closed = getattr(self.window(), "closed", None)
        if closed is not None and not self._in_window:
            self._in_window = True
            closed.connect(self.proposing.search.drop)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the room out anew."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        """A narrow window holds the lists or what stands beside them; a low one the drawing as a tab."""
        self.split.set_tight(self.height() < self.desk.theme.sizes.of(TIGHT))
        wide = self.width() > self.desk.theme.sizes.of(50)
        self.beside.setMinimumWidth(self.desk.theme.sizes.of(25) if wide else 0)
        self.lists.setVisible(wide or self.beside.isHidden())

    def _emptied(self) -> None:
        self._fit()
        self.focus_here()

    # -- choosing ----------------------------------------------------------------------------------------

    @property
    def line(self) -> VisitLine | None:
        """The chosen visit."""
        key = self.drawing.chosen
        return self.shown.line(key) if self.shown is not None and key is not None else None

    def choose(self, key: int) -> None:
        """Choose an airplane's visit in the drawing and in the list."""
        line = self.shown.line(key) if self.shown is not None else None
        if line is not None:
            self._point(line)
            self.lists.choose(key)

    def _listed(self, place: int) -> None:
        line = self.lists.line_at(place)
        if line is not None and line.key != self.drawing.chosen:
            self._point(line)

    def _point(self, line: VisitLine | None) -> None:
        if (line.key if line is not None else None) != self.drawing.chosen:
            self.moving.put_back()
        self.drawing.choose(line)
        self.about.setText(spoken(line) if line is not None else "Choose a visit to see its lawful window.")
        self.area.scroll_to_chosen()
        self.doings.follow()
        self.moved.emit()

    def show_running(self, *, on: bool) -> None:
        """Offer to cancel while a search runs."""
        self.cancel_button.setVisible(on)
        self.doings.follow()

    # -- beside the lists --------------------------------------------------------------------------------

    def show_move(self, tried: Tried) -> None:
        """Show what a move costs, and dashed where everything would be."""
        if self.shown is None or self.shown.put is None:
            return
        asked = self.shown.put.asked
        was = {bar.line.key: (bar.lane, bar.first_on) for bar in self.shown.lanes.bars}
        bars = lanes_of(asked, visit_lines(asked, tried.plan, {}), self.desk.today).bars
        self.drawing.show_tried(
            tried.monday, [bar for bar in bars if was.get(bar.line.key) != (bar.lane, bar.first_on)]
        )
        self.beside.show_move(tried)
        self.doings.follow()

    def hide_move(self) -> None:
        """Put the panel away, and the bars back."""
        self.drawing.forget_move()
        self.beside.hide_move()

    def show_together(self) -> None:
        """Work out which items of the chosen airplane to do together, from the start of its visit."""
        line, desk = self.line, self.desk
        if line is None:
            return
        start_on = line.placed.first_on or desk.today

        def work(_progress: object) -> Worked[Bundle]:
            from annual_planner.planning.bundled import bundle_of_aircraft

            library = desk.library()
            with desk.jobs.fleet.reading() as reading:
                return bundle_of_aircraft(reading, line.key, library, start_on)

        def done(bundle: Worked[Bundle]) -> None:
            self.moving.put_back()
            self.beside.show_together(line.registration, bundle)

        desk.jobs.long(work, self, done, self.failed, topic="together", says="Weighing what to do together")

    def open_form(self, form: Form) -> None:
        """Show a form beside the lists."""
        self.moving.put_back()
        self.strip.put_away()
        self.beside.show_form(form)
