"""The part itself: drawing, lists, the search, the promise and pins."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog, QScrollArea, QSplitter, QTabWidget, QVBoxLayout, QWidget

from annual_planner.desktop.annual.held import HeldList
from annual_planner.desktop.annual.timeline.columns import CARDS, HOURS, MOVES, PARTS, HoursLine, moment_text
from annual_planner.desktop.annual.timeline.drawing import Drawing
from annual_planner.desktop.annual.timeline.forms import part_form, promise_form, sick_form
from annual_planner.desktop.annual.timeline.out import save_calendars, save_paper
from annual_planner.desktop.annual.timeline.search import Search
from annual_planner.desktop.annual.timeline.seen import Plan, Seen, plan_seen, read_seen
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.form import Form
from annual_planner.desktop.listing import Words
from annual_planner.desktop.widgets import Blank, button, label
from annual_planner.planning.crew.laid_out import LaidOut, Moved
from annual_planner.planning.crew.likely import Finish, LikelyFinish, likely_finish, said_half_day
from annual_planner.planning.crew.problem import Pinned, Problem
from annual_planner.planning.timeline import BY, Bar, hours_by_day
from annual_planner.planning.work_plan import KeepPlan, PinCard, Promise, UnpinCard
from annual_planner.records.edits import Edit
from annual_planner.store.shop_reads import PartAwaited
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Worked, Working

if TYPE_CHECKING:
    from annual_planner.desktop.annual.page import AnnualPage

LISTENS = frozenset({"layout", "calendar", "card", "package", "person", "work"})
SECONDS = 8.0
NO_END = timedelta(weeks=8)
"""Re-planning can't be so much later than not re-planning; then the courses ran out of the calendar."""
SAMPLES, REPLANNED_SAMPLES = 800, 40


class Timeline(QWidget):
    """Who does what and when in one annual."""

    def __init__(self, page: AnnualPage) -> None:
        super().__init__()
        self.setAccessibleName("Who and when")
        self.page, self.desk = page, page.desk
        self.seen: Seen | None = None
        self.plan: Plan | None = None
        self.package_id: int | None = None
        self.likely: Worked[LikelyFinish] | None = None
        self.search = Search(self)
        self.drawing = Drawing(self.desk.theme)
        self.said, self.chance, self.told = label("", section=True), label("", faint=True), label("")
        self._make_lists()
        self._lay_out()
        self._connect()

    def _make_lists(self) -> None:
        none = "Lay out the work first."
        self.cards: HeldList[Bar] = HeldList(
            self.desk, "when-cards", CARDS, Words("cards", "Nothing is laid out", none)
        )
        self.hours: HeldList[HoursLine] = HeldList(
            self.desk, "when-hours", HOURS, Words("days", "Nobody has work yet", none)
        )
        self.moves: HeldList[Moved] = HeldList(
            self.desk,
            "when-moves",
            MOVES,
            Words("moves", "Nothing moved", "The last search kept all in place."),
        )
        self.parts: HeldList[PartAwaited] = HeldList(
            self.desk,
            "when-parts",
            PARTS,
            Words("parts", "No part is awaited", "Add what is ordered, with its day.", "Add a part"),
            next_step=self.add_part,
        )

    def _lay_out(self) -> None:
        row = FlowRow()
        self.lay_button = button(
            "Lay out", self.lay_out, tip="Lay the work out on people and days", leading=True
        )
        self.stop_button = button("Stop here", self.search.stop, tip="Take the best plan found so far")
        self.cancel_button = button("Cancel", self.cancel, tip="Back to the last good plan")
        row.addWidget(self.lay_button)
        self.ways = {by: self._way(by) for by in BY}
        others = (self.stop_button, self.cancel_button, *self.ways.values(), *self._verbs())
        for each in others:
            row.addWidget(each)
        self.blank = Blank()
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setAccessibleName("Plan of the work, drawn")
        area.setWidget(self.drawing)
        lists = QTabWidget()
        lists.setAccessibleName("The plan as lists")
        lists.setDocumentMode(True)
        named = (
            (self.cards, "Cards"),
            (self.hours, "Hours a day"),
            (self.moves, "Moved"),
            (self.parts, "Awaited parts"),
        )
        for part, words in named:
            lists.addTab(part, words)
        split = QSplitter(Qt.Orientation.Vertical)
        split.setAccessibleName("Drawing and lists")
        for shown in (self.blank, area, lists):
            split.addWidget(shown)
        split.setChildrenCollapsible(False)
        self.area = area
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 8, 0, 0)
        column.addLayout(row)
        for text in (self.said, self.chance, self.told):
            text.setWordWrap(True)
            column.addWidget(text)
        column.addWidget(split, 1)
        self._running(False)

    def _way(self, by: str) -> QWidget:
        made = button(f"By {by}", lambda: self.show_by(by), chip=True)
        made.setCheckable(True)
        made.setChecked(by == "person")
        return made

    def _verbs(self) -> tuple[QWidget, ...]:
        self.edit_buttons = (
            button("Promise a date…", self.promise),
            button("Somebody is away…", self.somebody_away),
            button("Awaited part…", self.add_part),
            button("It is here", self.part_is_here, tip="The chosen awaited part has come"),
        )
        out = (
            button("Calendars…", self.save_calendars, tip="Save a calendar file for each person"),
            button("Paper…", self.save_paper, tip="Save the plan as a PDF"),
        )
        return (
            *self.edit_buttons,
            *out,
            button("Why?", self.why, tip="Why the chosen card can't be earlier"),
        )

    def _connect(self) -> None:
        self.desk.jobs.changed.connect(self._changed)
        self.drawing.pointed.connect(self._drawn_chosen)
        self.drawing.placed.connect(self.pin)
        self.drawing.released.connect(self.unpin)
        self.cards.pointed.connect(self._listed_chosen)
        self.search.better.connect(self._better)
        self.search.done.connect(self._done)
        self.search.failed.connect(self._failed)
        self.destroyed.connect(self.search.drop)

    # -- reading

    def take_package(self, package_id: int) -> None:
        """Show that package."""
        if package_id != self.package_id:
            self.search.drop()
            self._running(False)
            self.told.setText("")
            self.moves.take([])
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

    def _changed(self, kinds: frozenset[str]) -> None:
        if kinds & LISTENS:
            self.ask()

    def _take(self, seen: Seen) -> None:
        if seen.package_id != self.package_id:
            return
        self.seen = seen
        self.parts.take(seen.parts)
        if seen.fault is not None:
            self.page.strip.refuse(seen.fault)
        for each in self.edit_buttons:
            each.setVisible(self.desk.who.person.may_edit)
        if not self.search.running:
            self._show(seen.plan)
            self._running(False)

    def _show(self, plan: Plan | None) -> None:
        self.plan = plan
        bars = plan.bars if plan is not None else ()
        self.blank.setVisible(not bars)
        self.area.setVisible(bool(bars))
        if not bars:
            self.blank.show_state(
                "The work isn't laid out yet",
                "Each card gets a person and a time: by rules at once, then better ones as they are found.",
                "Lay out",
                self.lay_out,
            )
        self.drawing.take(bars, self.drawing.by)
        self._give_room()
        self.cards.take(bars)
        self.hours.take(hours_by_day(bars))
        self._say(plan)

    def _give_room(self) -> None:
        """Show all rows of the drawing where they are few; the lists keep the rest."""
        of = self.desk.theme.sizes.of
        self.area.setMinimumHeight(min(self.drawing.sizeHint().height() + of(1.5), of(13)))

    def _say(self, plan: Plan | None) -> None:
        promised = self.seen.promised_on if self.seen is not None else None
        told = f" Promised: {promised:%a} {promised.day} {promised:%b %Y}." if promised is not None else ""
        late = {name: steps for name, steps in (plan.laid.late_steps if plan else {}).items() if steps}
        missed = " ".join(f"{name} missed by {steps / 4:g} h of work." for name, steps in late.items())
        said = f"{plan.laid.said[:1].upper()}{plan.laid.said[1:]}." if plan is not None else ""
        self.said.setText(f"{said}{told} {missed}".strip())
        self.chance.setText("")
        self.likely = None
        if (
            plan is not None
            and self.seen is not None
            and self.seen.asked is not None
            and not self.search.running
        ):
            self._ask_chance(self.seen.asked.problem, plan.laid)

    def _ask_chance(self, problem: Problem, laid: LaidOut) -> None:
        self.desk.jobs.long(
            lambda _progress: likely_finish(
                problem, laid, samples=SAMPLES, replanned_samples=REPLANNED_SAMPLES
            ),
            self,
            self._chance,
            lambda _error: self.chance.setText("The plan is older than what is known now: lay out anew."),
            topic="chance",
            says="Drawing the hours by chance",
        )

    def _chance(self, worked: Worked[LikelyFinish]) -> None:
        self.likely = worked
        alone, swapped = worked.value.nobody_replans, worked.value.with_replanning
        self.chance.setText(
            f"Likely finish if nobody re-plans: even chance by {said_half_day(alone.p50)}, four in five by"
            f" {said_half_day(alone.p80)}. With daily re-planning: {_swapped(swapped, alone)}."
        )

    # -- the search

    def lay_out(self) -> None:
        """Search for a plan; what has begun stays, and little else moves."""
        seen = self.seen
        if seen is None:
            return
        if seen.asked is None:
            if seen.fault is not None:
                self.page.strip.refuse(seen.fault)
            return
        self.page.strip.put_away()
        self.told.setText("Searching …")
        self.search.start(seen.asked.problem, SECONDS, seen.kept.plan if seen.kept is not None else None)
        self._running(True)

    def cancel(self) -> None:
        """Give the search up; the last good plan stays."""
        self.search.drop()
        self._running(False)
        self.told.setText("The search was given up; the last good plan stands.")
        self._show(self.seen.plan if self.seen is not None else None)

    def _running(self, on: bool) -> None:
        self.lay_button.setVisible(not on and self.desk.who.person.may_edit)
        self.stop_button.setVisible(on)
        self.cancel_button.setVisible(on)

    def _better(self, laid: LaidOut) -> None:
        seen = self.seen
        if seen is not None:
            self._show(plan_seen(laid, seen.names, seen.asked))
            self.told.setText(f"Searching … {laid.said}. {len(laid.moved)} cards moved.")

    def _done(self, worked: Worked[LaidOut]) -> None:
        self._running(False)
        laid = worked.value
        self.moves.take(laid.moved)
        self.told.setText(f"Kept. {len(laid.moved)} cards moved against the plan before.")
        if self.package_id is not None:
            edit = KeepPlan(self.package_id, laid, datetime.now().astimezone())
            self.desk.jobs.write(edit, self, None, self.page.failed)

    def _failed(self, said: str, remedy: str) -> None:
        self.cancel()
        self.told.setText("The last good plan stands.")
        self.page.strip.say(said, remedy)

    # -- choosing

    def show_by(self, by: str) -> None:
        """Put the bars in rows by person, zone or card."""
        for key, chip in self.ways.items():
            chip.setChecked(key == by)  # type: ignore[attr-defined]  # they are push buttons
        self.drawing.take(self.plan.bars if self.plan is not None else (), by)
        self._give_room()

    def _drawn_chosen(self, job: str) -> None:
        for place, bar in enumerate(self.cards.held.rows):
            if bar.job == job:
                self.cards.point_to(place)

    def _listed_chosen(self, place: int) -> None:
        if 0 <= place < len(self.cards.held.rows):
            self.drawing.choose(self.cards.held.rows[place].job)

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
            return self.likely.working if self.likely is not None else working
        from annual_planner.trade.working import Step

        own = Step(
            f"'{bar.title}' can't begin before {moment_text(bar.starts)}",
            bar.waits or "nothing holds it back",
        )
        return replace(working, steps=(own, *working.steps))

    # -- pins

    def pin(self, job: str, moment: datetime) -> None:
        """Work out what a card at that moment costs, then hold it there; Undo takes the pin away."""
        seen, plan = self.seen, self.plan
        bar = self.drawing.bar
        if seen is None or plan is None or seen.asked is None or bar is None or bar.card_id is None:
            self.page.strip.say("This can't be pinned.", "Choose a card of the package.")
            return
        problem, card_id = pinned(seen.asked.problem, job, moment), bar.card_id

        def done(after: LaidOut) -> None:
            before = plan.laid.finish
            self.told.setText(
                f"{bar.title} at {moment_text(moment)}: done {moment_text(after.finish)} instead of"
                f" {moment_text(before)}, {len(after.moved)} cards move. Pinned; Undo releases it."
            )
            self._show(plan_seen(after, seen.names, seen.asked))
            self._write(PinCard(card_id, moment.astimezone()), lambda: self._keep(after))

        self.desk.jobs.long(
            lambda _progress: by_rules(problem, plan.laid),
            self,
            done,
            self._no_pin,
            topic="pin",
            says="Trying the pin",
        )

    def _keep(self, laid: LaidOut) -> None:
        self.moves.take(laid.moved)
        if self.package_id is not None:
            self._write(KeepPlan(self.package_id, laid, datetime.now().astimezone()), None)

    def _no_pin(self, error: Exception) -> None:
        self.page.failed(error)
        self.drawing.moved_to = None
        self.drawing.update()

    def unpin(self, _job: str) -> None:
        """Let the chosen card lie where the plan puts it."""
        bar = self.drawing.bar
        if bar is not None and bar.card_id is not None:
            self._write(UnpinCard(bar.card_id), None)

    def _write(self, edit: Edit, then: Callable[[], None] | None) -> None:
        self.desk.jobs.write(
            edit, self, lambda _changed: then() if then is not None else None, self.page.failed
        )

    # -- forms

    def _open(self, form: Form | None) -> None:
        if form is not None:
            self.page.open_form(form)

    def promise(self) -> None:
        """Promise the owner a date; the likely one is proposed."""
        seen = self.seen
        if seen is None:
            return
        likely = self.likely.value.nobody_replans.p80.date() if self.likely is not None else None

        def done(on: object) -> Edit:
            return Promise(seen.package_id, seen.promised_on, on)  # type: ignore[arg-type]  # the field reads dates

        self._open(promise_form(self.page, seen.promised_on or likely, done))

    def somebody_away(self) -> None:
        """Write down who is away, then lay out anew."""
        if self.seen is not None:
            self._open(sick_form(self.page, self._workers()))

    # -- out

    def save_calendars(self) -> None:
        """Ask for a folder and save a calendar file for each person there."""
        if self.plan is None:
            return
        folder = QFileDialog.getExistingDirectory(self, "Folder for the calendar files")
        if folder:
            self.calendars_to(Path(folder))

    def calendars_to(self, folder: Path) -> None:
        """Save a calendar file for each person in a folder."""
        seen, plan = self.seen, self.plan
        if seen is not None and plan is not None:
            made_at = datetime.now().astimezone()
            self._send(lambda: save_calendars(seen, plan, folder, made_at), "Writing calendars")

    def save_paper(self) -> None:
        """Ask for a place and save the plan as a PDF there."""
        if self.plan is None:
            return
        path, _ = QFileDialog.getSaveFileName(self, "Save the plan", "work plan.pdf", "PDF (*.pdf)")
        if path:
            self.paper_to(Path(path if path.lower().endswith(".pdf") else f"{path}.pdf"))

    def paper_to(self, path: Path) -> None:
        """Save the plan as a PDF."""
        seen, plan, page_size = self.seen, self.plan, str(self.desk.settings.value("paper/size", "letter"))
        if seen is not None and plan is not None:
            today = self.desk.today
            self._send(lambda: save_paper(seen, plan, path, today, page_size), "Drawing the plan")

    def _send(self, work: Callable[[], str], says: str) -> None:
        def done(said: str) -> None:
            self.page.strip.say(said)

        self.desk.jobs.long(lambda _progress: work(), self, done, self.page.failed, topic="out", says=says)

    def _workers(self) -> dict[str, str]:
        """People who can have work on this airplane; everybody where that isn't known."""
        seen = self.seen
        if seen is None or seen.asked is None:
            return seen.names if seen is not None else {}
        return {person.key: person.name for person in seen.asked.problem.people}

    def add_part(self) -> None:
        """Write down a part that is awaited."""
        if self.seen is not None:
            self._open(part_form(self.page, self.seen.package_id))

    def part_is_here(self) -> None:
        """Write down that the chosen part has come."""
        from annual_planner.records.awaited_parts import ChangePart

        part = self.parts.current
        if part is None:
            self.page.strip.say("No part is chosen.", "Choose it in the list of awaited parts.")
            return
        self._write(
            ChangePart(part.part_id, {"arrived_on": part.arrived_on}, {"arrived_on": self.desk.today}), None
        )


def _swapped(swapped: Finish, alone: Finish) -> str:
    """Chances with re-planning; a course that found no end by the calendar's is no date to tell an owner."""
    if swapped.p50 > alone.p80 + NO_END:
        return "no end was found within the calendar"
    return f"even chance by {said_half_day(swapped.p50)}, four in five by {said_half_day(swapped.p80)}"


def pinned(problem: Problem, job: str, moment: datetime) -> Problem:
    """The problem with one job held at a moment."""
    jobs = tuple(
        replace(each, pinned=Pinned(moment, (), "fixed by hand")) if each.key == job else each
        for each in problem.jobs
    )
    return replace(problem, jobs=jobs)


def by_rules(problem: Problem, keep: LaidOut) -> LaidOut:
    """A plan by rules at once. Refused when nothing fits."""
    from annual_planner.planning.crew.solve import lay_out

    if not any(job.pinned is not None for job in problem.jobs):
        raise Refused("There is nothing pinned.", "Choose a card first.")
    return lay_out(problem, seconds=0, keep=keep).value
