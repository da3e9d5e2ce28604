"""The part itself: reads a package's plan and shows it drawn, as lists and in sentences."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtWidgets import QPushButton, QScrollArea, QSplitter, QVBoxLayout, QWidget

from annual_planner.desktop.annual.timeline.asking import Asking
from annual_planner.desktop.annual.timeline.chances import Chances
from annual_planner.desktop.annual.timeline.drawing import Drawing
from annual_planner.desktop.annual.timeline.lists import Lists
from annual_planner.desktop.annual.timeline.pinning import Pinning
from annual_planner.desktop.annual.timeline.replanning import Replanning
from annual_planner.desktop.annual.timeline.seen import Plan, Seen, read_seen
from annual_planner.desktop.annual.timeline.sending import Sending
from annual_planner.desktop.annual.timeline.words import chance_said, plan_said
from annual_planner.desktop.annual.timeline.writing_down import WritingDown
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.widgets import Blank, button, label
from annual_planner.planning.crew.open_time import said_moment
from annual_planner.planning.timeline import BY
from annual_planner.records.edits import Changed, Edit
from annual_planner.trade.working import Step, Working

if TYPE_CHECKING:
    from annual_planner.desktop.annual.page import AnnualPage

LISTENS = frozenset({"layout", "calendar", "card", "package", "person", "work"})


class Timeline(QWidget):
    """Who does what and when in one annual."""

    offers = Signal()
    """What can be done here has changed."""

    def __init__(self, page: AnnualPage) -> None:
        super().__init__()
        self.setAccessibleName("Who and when")
        self.page, self.desk = page, page.desk
        self.seen: Seen | None = None
        self.plan: Plan | None = None
        self.package_id: int | None = None
        self._then: Callable[[], object] | None = None
        self.drawing: Drawing = Drawing(self.desk.theme)
        self.said, self.chance, self.told = label("", section=True), label("", faint=True), label("")
        self.asking: Asking = Asking()
        self.replanning: Replanning = Replanning(self)
        self.pinning: Pinning = Pinning(self)
        self.writing_down: WritingDown = WritingDown(self)
        self.sending: Sending = Sending(self)
        self.chances: Chances = Chances(self.desk, self)
        self.writing_down.follow(self.chances)
        self.part_buttons = self._part_buttons()
        self.lists: Lists = Lists(self.desk, self.writing_down.add_part, self.part_buttons)
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        self.blank = Blank()
        self.area = QScrollArea()
        self.area.setWidgetResizable(True)
        self.area.setAccessibleName("Plan of the work, drawn")
        self.area.setWidget(self.drawing)
        for bar in (self.area.horizontalScrollBar(), self.area.verticalScrollBar()):
            bar.valueChanged.connect(self.drawing.update)  # names and days stay in view
        split = QSplitter(Qt.Orientation.Vertical)
        split.setAccessibleName("Drawing and lists")
        for shown in (self.blank, self.area, self.lists):
            split.addWidget(shown)
        split.setChildrenCollapsible(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 8, 0, 0)
        column.addLayout(self._buttons())
        for text in (self.said, self.chance, self.told):
            text.setWordWrap(True)
            column.addWidget(text)
        column.addWidget(self.asking)
        column.addWidget(split, 1)
        self._running(False)
        self.tell("")

    def _buttons(self) -> FlowRow:
        search, note, out = self.replanning, self.writing_down, self.sending
        self.lay_button = button(
            "Lay out", search.lay_out, tip="Lay the work out on people and days", leading=True
        )
        self.stop_button = button("Stop here", search.stop, tip="Take the best plan found so far")
        self.cancel_button = button("Cancel", search.cancel, tip="Back to the last good plan")
        self.ways = {by: self._way(by) for by in BY}
        self.edit_buttons = (
            button("Promise a date…", note.promise, tip="Promise the owner a day, with its chance"),
            button("Somebody is away…", note.somebody_away, tip="Days on which a person can't work"),
        )
        row = FlowRow()
        for each in (
            self.lay_button,
            self.stop_button,
            self.cancel_button,
            *self.ways.values(),
            *self.edit_buttons,
            button("Calendars…", out.save_calendars, tip="Save a calendar file for each person"),
            button("Paper…", out.save_paper, tip="Save the plan as a PDF"),
            button("Why?", self.why, tip="Why the chosen card can't be earlier"),
        ):
            row.addWidget(each)
        return row

    def _part_buttons(self) -> tuple[QPushButton, ...]:
        note = self.writing_down
        return (
            button("Await a part…", note.add_part, tip="A part is ordered: which, and when it comes"),
            button("Part on another day…", note.change_part_day, tip="The chosen part comes on another day"),
            button("It is here", note.part_is_here, tip="The chosen awaited part has come"),
        )

    def _way(self, by: str) -> QPushButton:
        made = button(f"By {by}", lambda: self.show_by(by), chip=True)
        made.setCheckable(True)
        made.setChecked(by == "person")
        return made

    def _connect(self) -> None:
        self.desk.jobs.changed.connect(self._changed)
        self.drawing.pointed.connect(self.lists.choose)
        self.drawing.pointed.connect(lambda _job: self.offers.emit())
        self.drawing.looked_at.connect(self._bring_into_view)
        self.lists.cards.pointed.connect(self._listed_chosen)
        self.replanning.turned.connect(self._running)
        self.chances.found.connect(self._say_chance)
        self.chances.outdated.connect(
            lambda: self.chance.setText("The plan is older than what is known now: lay out anew.")
        )

    # -- reading and writing

    def take_package(self, package_id: int) -> None:
        """Show that package."""
        if package_id != self.package_id:
            self.seen = self._then = None
            self.replanning.drop()
            self.tell("")
            self.pinning.drop()
            self.writing_down.forget()
        self.package_id = package_id
        self.ask()

    def ask(self) -> None:
        """Read the plan and the question again."""
        package_id, desk = self.package_id, self.desk
        if package_id is not None:
            desk.jobs.read(
                lambda work: read_seen(work, package_id, desk.library(), desk.today),
                self,
                self._take,
                self.page.failed,
            )

    def when_read(self, then: Callable[[], object], *, anew: bool = False) -> None:
        """Do something as soon as the package is read; `anew`: after the reading that is on its way."""
        if self.seen is not None and not anew:
            then()
        else:
            self._then = then

    def write(self, edit: Edit, then: Callable[[], object] | None = None) -> None:
        """Write an edit down, then do something; a refusal is said at the top of the page."""

        def done(_changed: Changed) -> None:
            if then is not None:
                then()

        self.desk.jobs.write(edit, self, done, self.page.failed)

    def _changed(self, kinds: frozenset[str]) -> None:
        if kinds & LISTENS:
            self.ask()

    def _take(self, seen: Seen) -> None:
        if seen.package_id != self.package_id:
            return
        self.seen = seen
        if self.pinning.trial is not None:
            self.pinning.drop()  # what is tried was tried on what is known no more
        self.lists.offer_parts(self.desk.who.person.may_edit)
        self.lists.parts.take(seen.parts)
        if seen.fault is not None:
            self.page.strip.refuse(seen.fault)
        for each in (*self.edit_buttons, *self.part_buttons):
            each.setVisible(self.desk.who.person.may_edit)
        if not self.replanning.running:
            self.show_plan(seen.plan)
            self._running(False)
        then, self._then = self._then, None
        if then is not None:
            then()

    # -- showing

    def show_plan(self, plan: Plan | None) -> None:
        """Show a plan drawn, as lists and in words; None shows what to do first."""
        self.plan = plan
        bars = plan.bars if plan is not None else ()
        self.blank.setVisible(not bars)
        for part in (self.area, *self.ways.values()):
            part.setVisible(bool(bars))
        self.lists.setVisible(bool(bars) or bool(self.lists.parts.held.rows))
        if not bars:
            self._say_empty(searching=False)
        self.drawing.take(bars, self.drawing.by)
        self._give_room()
        self.lists.take(bars)
        self._say()
        self.offers.emit()

    def _say_empty(self, *, searching: bool) -> None:
        """Say why nothing is drawn; who may lay out is offered it."""
        if searching:
            self.blank.show_state("Laying the work out …", "The first plan is shown as soon as it is found.")
        elif not self.desk.who.person.may_edit:
            self.blank.show_state(
                "The work isn't laid out yet",
                "Once the shop has laid it out, its days and people stand here.",
            )
        else:
            self.blank.show_state(
                "The work isn't laid out yet",
                "Each card gets a person and a time: by rules at once, then better ones as they are found.",
                "Lay out",
                self.replanning.lay_out,
            )

    def _give_room(self) -> None:
        """Show all rows of the drawing where they are few; the lists keep the rest."""
        of = self.desk.theme.sizes.of
        self.area.setMinimumHeight(min(self.drawing.sizeHint().height() + of(1.5), of(15)))

    def _bring_into_view(self, box: QRectF) -> None:
        at, of = box.center().toPoint(), self.desk.theme.sizes.of
        self.area.ensureVisible(at.x(), at.y(), of(11), of(3))

    def _say(self) -> None:
        seen, plan = self.seen, self.plan
        promised = seen.promised_on if seen is not None else None
        self.said.setText(plan_said(plan.laid if plan is not None else None, promised))
        self.chance.setText("")
        self.chances.forget()
        if seen is not None and seen.asked is not None and plan is not None and not self.replanning.running:
            self.chances.ask(seen.asked.problem, plan.laid)

    def _say_chance(self) -> None:
        if self.chances.likely is not None:
            self.chance.setText(chance_said(self.chances.likely.value))

    def _running(self, on: bool) -> None:
        had_keys = any(each.hasFocus() for each in (self.lay_button, self.stop_button, self.cancel_button))
        self.lay_button.setText("Re-plan" if self.seen is not None and self.seen.kept else "Lay out")
        self.lay_button.setVisible(not on and self.desk.who.person.may_edit)
        self.stop_button.setVisible(on)
        self.cancel_button.setVisible(on)
        self._say_empty(searching=on)
        if had_keys:
            (self.stop_button if on else self.lay_button).setFocus(Qt.FocusReason.OtherFocusReason)
        self.offers.emit()

    def tell(self, said: str) -> None:
        """Say what just happened; nothing takes no room."""
        self.told.setText(said)
        self.told.setVisible(bool(said))

    # -- choosing and moving

    def move_card(self, by: timedelta) -> None:
        """Move the chosen card by open time; the keys then act on the drawing."""
        self.drawing.setFocus()
        self.drawing.shift(by)

    def show_by(self, by: str) -> None:
        """Put the bars in rows by person, zone or card."""
        for key, chip in self.ways.items():
            chip.setChecked(key == by)
        self.drawing.take(self.plan.bars if self.plan is not None else (), by)
        self._give_room()

    def _listed_chosen(self, place: int) -> None:
        job = self.lists.job_at(place)
        if job is not None:
            self.drawing.choose(job)
            self.offers.emit()

    def why(self) -> None:
        """Show why the chosen card can't be earlier, with the critical chain; else the chances."""
        working = self.working()
        if working is not None:
            self.page.wants_working.emit(working)

    def working(self) -> Working | None:
        """The chain that binds the plan; the chosen card's own reasons stand first."""
        if self.plan is None or self.plan.bound is None:
            return None
        working, bar = self.plan.bound.working, self.drawing.bar
        if bar is None:
            likely = self.chances.likely
            return likely.working if likely is not None else working
        said = f"'{bar.title}' can't begin before {said_moment(bar.starts)}"
        own = Step(said, bar.waits or "nothing holds it back")
        return replace(working, steps=(own, *working.steps))
