"""A compression test in the order it is done, and the tests that were made."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from annual_planner.desktop.annual.held import HeldList
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.form import Scrolled, Values
from annual_planner.desktop.least_height import LeastHeight
from annual_planner.desktop.listing import Words
from annual_planner.desktop.plugs.compression_steps import Safety, SetUp, Warmth, air_of
from annual_planner.desktop.plugs.ladder import Ladder
from annual_planner.desktop.plugs.readings import Readings
from annual_planner.desktop.plugs.tables_of_tests import READINGS, TESTS
from annual_planner.desktop.split import Split
from annual_planner.desktop.widgets import button, label
from annual_planner.planning.engine_view import EngineView, ReadingView, TestView
from annual_planner.trade.cards import Caution
from annual_planner.trade.compression import Conditions, lowest_good_psi
from annual_planner.trade.compression_safety import SafetyStep
from annual_planner.trade.flow import REGULATED_PSI
from annual_planner.trade.pressure import STANDARD_PSI_A
from annual_planner.trade.recheck import RecheckDone, RecheckStep
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date

BESIDE_LINES = 46
"""From that width, in lines of text, the tests stand beside the entry."""


@dataclass(frozen=True, slots=True)
class TestTyped:
    """A whole test as typed: how it was made, and (cylinder, first psi, heard, rungs) of each."""

    __test__ = False
    made: Values
    ambient_psi_a: float | None
    minutes: int | None
    safety: tuple[str, ...]
    readings: tuple[tuple[int, float, tuple[str, ...], tuple[RecheckDone, ...]], ...]


class CompressionTab(QWidget):
    """What is done now; beside or below it the recheck of a low cylinder, or tests made before."""

    saves = Signal(object)
    """A TestTyped."""
    wants_why = Signal(object)

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.setAccessibleName("Compression")
        self._desk = desk
        self.view: EngineView | None = None
        self._of: int | None = None
        self._to_tests = False
        """A test was just written down: the keys go to the list once it is read again."""
        self.safety, self.warmth = Safety(), Warmth()
        self.form: SetUp | None = None
        self.readings, self.ladder = Readings(desk.theme), Ladder()
        self.said = label("")
        self.said.setWordWrap(True)
        self.save = button("Save the test", self.submit, leading=True)
        tests = Words("tests", "No compression test yet", "Tick the safety steps, then read each cylinder.")
        self.tests: HeldList[TestView] = HeldList(desk, "plugs-tests", TESTS, tests, small=True)
        read = Words("cylinders", "No test is chosen", "Choose a test above.")
        self.cylinders: HeldList[ReadingView] = HeldList(desk, "plugs-readings", READINGS, read, small=True)
        self.about = label("", section=True)
        self.about.setWordWrap(True)
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        self._entry = QWidget()
        self._entry.setObjectName("scrolled")
        self._entry.setAccessibleName("A new test, in the order it is done")
        self._steps = QVBoxLayout(self._entry)
        self._steps.setContentsMargins(0, 8, 8, 8)
        self._steps.setSpacing(8)
        parts: tuple[QWidget, ...] = (self.safety, self.warmth, self.readings, self.said)
        for part in parts:
            self._steps.addWidget(part)
        self._steps.addWidget(self.save, 0, Qt.AlignmentFlag.AlignLeft)
        self._steps.addStretch(1)
        made = QWidget()
        made.setAccessibleName("Tests made, and the recheck")
        column = QVBoxLayout(made)
        column.setContentsMargins(8, 8, 0, 0)
        column.setSpacing(6)
        self._ladder = Scrolled(self.ladder)
        self._ladder.hide()
        title = label("Tests made", section=True)
        self._made: tuple[QWidget, ...] = (title, self.tests, self.about, self.cylinders)
        column.addWidget(self._ladder, 1)
        column.addWidget(title)
        column.addWidget(self.tests, 2)
        column.addWidget(self.about)
        column.addWidget(self.cylinders, 3)
        self._scrolled = Scrolled(self._entry)
        self._split = Split(self._desk.theme, "Entry and tests", self._scrolled, made, beside=BESIDE_LINES)
        self._split.share(1, 1)
        LeastHeight(made)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._split)

    def _connect(self) -> None:
        self.safety.ticked.connect(self._follow)
        self.readings.read.connect(self._was_read)
        self.readings.passed.connect(self._come_to)
        self.readings.finished.connect(self._go_on)
        self.ladder.climbed.connect(lambda _cylinder: self._follow())
        self.ladder.ended.connect(self._go_on)
        self.ladder.turned.connect(self._turn)
        self.tests.pointed.connect(self._show_test)
        self._split.turned.connect(self._follow_split)

    def _follow_split(self) -> None:
        """One below the other, both take their whole height and the tab scrolls; else each scrolls itself."""
        below = self._split.orientation() is Qt.Orientation.Vertical
        for area in (self._scrolled, self._ladder):
            area.keep_whole(below)

    def _turn(self) -> None:
        """The ladder takes the room of the tests while it is open."""
        climbing = not self.ladder.isHidden()
        self._ladder.setVisible(climbing)
        for part in self._made:
            part.setVisible(not climbing)

    # -- showing ---------------------------------------------------------------------------------------

    def learn(
        self,
        steps: Sequence[SafetyStep],
        ladder: Sequence[RecheckStep],
        cautions: Mapping[str, Caution],
    ) -> None:
        """Take safety steps, rungs and cautions from the library."""
        self.safety.take(steps)
        self.ladder.learn(ladder, cautions)

    def take(self, view: EngineView, *, may_edit: bool) -> None:
        """Show an engine; what is being typed for the same engine stays."""
        self.view = view
        self._scrolled.setVisible(may_edit)
        if self._of != view.assembly_id:
            self._of = view.assembly_id
            self._new_form(view)
            self.clear()
        self.readings.take(sorted(view.engine_type.firing_order), view.leak_paths)
        self.tests.take(view.tests)
        if self.tests.current_id < 0 and view.tests:
            self.tests.point_to(0)
        if self._to_tests and view.tests:
            self._to_tests = False
            self.tests.view.setFocus(Qt.FocusReason.OtherFocusReason)
        self._show_test(self.tests.current_id)
        self._follow()

    def _new_form(self, view: EngineView) -> None:
        if self.form is not None:
            self._steps.removeWidget(self.form)
            self.form.hide()
            self.form.deleteLater()
        self.form = SetUp(self._desk, view)
        self.form.edited.connect(self._follow)
        self._steps.insertWidget(2, self.form)

    def clear(self) -> None:
        """Empty everything, for the next test."""
        self.safety.clear()
        self.warmth.clear()
        self.ladder.clear()
        self.readings.clear()

    def open_test(self, test_id: int) -> None:
        """Show that test."""
        rows = [test.line.test_id for test in self.tests.held.rows]
        if test_id in rows:
            if not self.ladder.isHidden():
                self.ladder.put_aside()
            self.tests.point_to(rows.index(test_id))

    def _show_test(self, row: int) -> None:
        rows = self.tests.held.rows
        test = rows[row] if 0 <= row < len(rows) else None
        self.cylinders.take(test.readings if test is not None else ())
        self.about.setText(_about(test) if test is not None else "")

    @property
    def chosen_test(self) -> TestView | None:
        """The test that is pointed at."""
        rows, row = self.tests.held.rows, self.tests.current_id
        return rows[row] if 0 <= row < len(rows) else None

    @property
    def chosen_reading(self) -> ReadingView | None:
        """The cylinder that is pointed at in the chosen test."""
        rows, row = self.cylinders.held.rows, self.cylinders.current_id
        return rows[row] if 0 <= row < len(rows) else None

    # -- entry -----------------------------------------------------------------------------------------

    def made(self) -> Conditions:
        """How the test is made, as far as it is filled in."""
        assert self.form is not None, "an engine is shown"
        values = {key: _quiet(self.form, key) for key in self.form.fields}
        air = _air(values)
        return Conditions(
            regulated_psi=_number(values["regulated_psi"]) or REGULATED_PSI,
            ambient_psi_a=STANDARD_PSI_A if air is None else air,
            restrictor_in=_number(values["restrictor_in"]),
            master_psi=_number(values["master_psi"]),
        )

    def _follow(self) -> None:
        """Readings wait for the safety steps; they are judged by what is set up."""
        if self.view is None or self.form is None:
            return
        self.readings.setEnabled(self.safety.done)
        self.readings.judge_by(self.made(), self.view.rule, self._read_again())
        self._say_low()

    def _say_low(self) -> None:
        """Say which low cylinders wait for their recheck; what was read can be saved all the same."""
        self.save.setEnabled(self.safety.done and any(r.psi.text() for r in self.readings.rows.values()))
        waits = ", ".join(map(str, self._waiting()))
        self.said.setText(
            f"▲ Low: cylinder {waits}. Read it again, step by step, before anyone judges it." if waits else ""
        )

    @property
    def lowest(self) -> float | None:
        """The lowest reading that is good; None where the rule has none."""
        if self.view is None or self.form is None:
            return None
        try:
            return lowest_good_psi(self.made(), self.view.rule).value
        except Refused:
            return None

    def _is_low(self, cylinder: int) -> bool:
        psi, lowest = self._psi(cylinder), self.lowest
        return psi is not None and lowest is not None and psi < lowest

    def _psi(self, cylinder: int) -> float | None:
        try:
            return self.readings.psi_of(self.readings.rows[cylinder])
        except Refused:
            return None

    def _read_again(self) -> dict[int, float]:
        """The newest reading of each low cylinder's recheck, psi."""
        low = {n: self.ladder.done.get(n, ()) for n in self.readings.rows if self._is_low(n)}
        read = {
            n: [each.reading_psi for each in done if each.reading_psi is not None] for n, done in low.items()
        }
        return {n: found[-1] for n, found in read.items() if found}

    def _waiting(self) -> list[int]:
        """Low cylinders that nothing was tried on yet."""
        return [n for n in self.readings.rows if self._is_low(n) and not self.ladder.done.get(n)]

    def _was_read(self, cylinder: int) -> None:
        """Half a number says nothing yet; Enter, or coming back to the row, says that it is whole."""
        if len(self.readings.rows[cylinder].psi.text().strip()) >= 2:
            self._come_to(cylinder)
        if not self._is_low(cylinder):
            self.ladder.close_for(cylinder)
        self._say_low()

    def _come_to(self, cylinder: int) -> None:
        """Show the recheck of a low cylinder that the cursor is at."""
        psi, lowest = self._psi(cylinder), self.lowest
        if psi is not None and lowest is not None and psi < lowest:
            self.ladder.open(cylinder, psi, lowest, self.made().regulated_psi)

    def _go_on(self) -> None:
        """After the last reading, or a recheck: to the next low cylinder, else to the end."""
        waiting = self._waiting()
        if waiting:
            self._come_to(waiting[0])
            self.ladder.start()
        else:
            self.save.setFocus(Qt.FocusReason.OtherFocusReason)

    def written(self) -> None:
        """The test is written down: ready for the next one, the keys on the list it now heads."""
        self.clear()
        self._to_tests = True

    def submit(self) -> None:
        """Hand the whole test over, or say what can't be taken."""
        try:
            typed = self._typed()
        except Refused as refused:
            self.failed(refused)
            return
        if typed is not None:
            self.saves.emit(typed)

    def _typed(self) -> TestTyped | None:
        assert self.form is not None, "an engine is shown"
        values = self.form.values()
        if values is None:
            return None
        readings = []
        for number, row in self.readings.rows.items():
            psi = self.readings.psi_of(row)
            if psi is not None:
                rungs = self.ladder.done.get(number, ()) if self._is_low(number) else ()
                readings.append((number, psi, self.readings.heard_of(row), rungs))
        return TestTyped(values, _air(values), self.warmth.minutes, self.safety.keys, tuple(readings))

    def failed(self, error: Exception) -> None:
        """Say why it wasn't taken; what was typed stays."""
        said = f"{error.said} {error.remedy}" if isinstance(error, Refused) else "This could not be saved."
        self.said.setText(f"▲ {said}".strip())
        self._scrolled.ensureWidgetVisible(self.save)


def _quiet(form: SetUp, key: str) -> object:
    try:
        return form.fields[key].value()
    except Refused:
        return None


def _number(value: object) -> float | None:
    return value if isinstance(value, float) else None


def _air(values: Mapping[str, object]) -> float | None:
    elevation, setting = values.get("elevation_ft"), values.get("altimeter_inhg")
    try:
        return air_of(_number(elevation), _number(setting))
    except Refused:
        return None


def _about(test: TestView) -> str:
    line = test.line
    said = [f"Test of {said_date(line.tested_on)}"]
    said += [f"at {line.engine_hours:.1f} h"] if line.engine_hours is not None else []
    said += [f"restrictor {line.restrictor_in:.3f} in"] if line.restrictor_in is not None else []
    said += [line.tester] if line.tester else []
    said += [test.judged.working.result] if test.judged is not None else [test.refused]
    return ", ".join(text for text in said if text)
