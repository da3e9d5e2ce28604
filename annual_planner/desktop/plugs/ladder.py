"""The recheck of a low cylinder: step by step, before anyone condemns it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QVBoxLayout

from annual_planner.desktop.fields import TextField
from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.typed import read_decimal
from annual_planner.desktop.widgets import button, label
from annual_planner.trade.cards import Caution
from annual_planner.trade.recheck import Recheck, RecheckDone, RecheckStep, recheck
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Worked, Working


class Ladder(QFrame):
    """What was tried on one cylinder and what comes next, its cautions first, and what came of it."""

    climbed = Signal(int)
    """Another step of that cylinder is done, or taken back."""
    ended = Signal()
    """Nothing more is to be tried on this cylinder."""
    turned = Signal()
    """It was opened or put aside."""

    def __init__(self) -> None:
        super().__init__()
        self.setProperty("sheet", True)
        self.setAccessibleName("Recheck of a low cylinder")
        self.cylinder = 0
        self._first, self._lowest, self._most = 0.0, 0.0, 0.0
        self._steps: tuple[RecheckStep, ...] = ()
        self._cautions: Mapping[str, Caution] = {}
        self.done: dict[int, tuple[RecheckDone, ...]] = {}
        self.stands: Worked[Recheck] | None = None
        self.title = label("", section=True)
        self.steps = label("")
        self.advice = label("")
        self.heading = label("", section=True)
        self.cautions = label("")
        self.rung = label("")
        for each in (self.title, self.steps, self.advice, self.heading, self.cautions, self.rung):
            each.setWordWrap(True)
        self.form = Form("What came of it", "Done, next step", self._take_rung)
        self._fill_form()
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 8, 14, 10)
        column.setSpacing(6)
        parts = (self.title, self.steps, self.advice, self.heading, self.cautions, self.rung, self.form)
        for part in parts:
            column.addWidget(part)
        self.back = button("Take the last step back", self._step_back, quiet=True)
        column.addWidget(self.back, 0, Qt.AlignmentFlag.AlignLeft)
        aside = button("Put the recheck aside", self.put_aside, quiet=True)
        column.addWidget(aside, 0, Qt.AlignmentFlag.AlignLeft)
        column.addStretch(1)
        self.hide()

    def _fill_form(self) -> None:
        def psi(text: str) -> float:
            return float(read_decimal(text, "psi"))

        self.form.setProperty("sheet", False)
        self.form.add(TextField("reading_psi", "Reading after (psi)", psi, letters=8))
        self.form.add(TextField("damage", "Damage seen", letters=28, hint="Ends the recheck."))
        self.form.add(TextField("left_out", "Left out because", letters=28))

    def learn(self, steps: Sequence[RecheckStep], cautions: Mapping[str, Caution]) -> None:
        """Take the steps and the cautions from the library."""
        self._steps, self._cautions = tuple(steps), cautions

    def open(self, cylinder: int, first_psi: float, lowest_psi: float, most_psi: float) -> None:
        """Show the recheck of a cylinder that read low; `most_psi`: the pressure that is put in."""
        if self.cylinder != cylinder:
            for field in self.form.fields.values():
                field.put("")
        self.cylinder, self._first, self._lowest, self._most = cylinder, first_psi, lowest_psi, most_psi
        self._show()
        self.show()
        self.turned.emit()

    def start(self) -> None:
        """Put the cursor where the outcome of the next step is typed."""
        shown = (field for field in self.form.fields.values() if not field.editor.isHidden())
        first = next(shown, None) if not self.form.isHidden() else None
        if first is not None:
            first.editor.setFocus(Qt.FocusReason.OtherFocusReason)

    def put_aside(self) -> None:
        """Give the room back; what was done stays."""
        self.hide()
        self.turned.emit()

    def close_for(self, cylinder: int) -> None:
        """The cylinder reads well: no recheck is needed. What was done stays, should it read low again."""
        if self.cylinder == cylinder:
            self.put_aside()

    def clear(self) -> None:
        """Forget everything, for the next test."""
        self.done.clear()
        self.cylinder = 0
        self.put_aside()

    @property
    def working(self) -> Working | None:
        """How the advice came about."""
        return self.stands.working if self.stands is not None else None

    def _show(self) -> None:
        self.stands = recheck(self._first, self._lowest, self.done.get(self.cylinder, ()), self._steps)
        found, done = self.stands.value, self.stands.working.steps
        self.title.setText(f"Cylinder {self.cylinder}: {self._first:g} psi is under {self._lowest:g} psi")
        self.steps.setText("\n".join(self._lines()))
        advice, reason = (text[:1].upper() + text[1:] for text in (str(found.advice), done[-1].text))
        going_on = found.next_step is not None
        self.advice.setText(f"{reason}." if going_on else f"{advice}. {reason}.")
        step = found.next_step
        self.form.setVisible(step is not None)
        self.back.setVisible(bool(self.done.get(self.cylinder)))
        self.heading.setText("" if step is None else step.title)
        self.heading.setVisible(step is not None)
        self.rung.setText("" if step is None else _told(step))
        self.rung.setVisible(step is not None)
        told = [self._cautions[key] for key in (step.cautions if step else ()) if key in self._cautions]
        self.cautions.setText("\n".join(f"▲ {each.title}: {each.text}" for each in told))
        self.cautions.setVisible(bool(told))
        self.form.fields["reading_psi"].show_field(step is not None and step.read_again)
        self.setAccessibleDescription(f"{self.title.text()}. {self.advice.text()}")

    def _lines(self) -> list[str]:
        """Every step in order: what was done with what it gave, the one that comes next, and the others."""
        assert self.stands is not None, "the recheck was worked out"
        found = self.stands.value
        lines = [f"✓  {each.text}: {each.result}" for each in self.stands.working.steps[:-1]]
        if found.next_step is None:
            return lines
        for step in found.still_open:
            sign = "▸" if step is found.next_step else "–"
            lines.append(f"{sign}  {step.title}" + ("" if step.needed else " (where it helps)"))
        return lines

    def _take_rung(self, values: Values) -> None:
        step = self.stands.value.next_step if self.stands is not None else None
        if step is None:
            return
        rung = RecheckDone(step.key, values.get("reading_psi"), values["damage"], values["left_out"])
        so_far = self.done.get(self.cylinder, ())
        try:
            self._check_pressure(rung.reading_psi)
            recheck(self._first, self._lowest, (*so_far, rung), self._steps)
        except Refused as refused:
            self.form.failed(refused)
            return
        self.done[self.cylinder] = (*so_far, rung)
        for field in self.form.fields.values():
            field.put("")
        self.form.clear_faults()
        self._show()
        self.climbed.emit(self.cylinder)
        if not self.form.isHidden():
            self.start()
        else:
            self.ended.emit()

    def _check_pressure(self, psi: float | None) -> None:
        if psi is not None and psi > self._most:
            raise Refused(
                f"{psi:g} psi is above the {self._most:g} psi put in.",
                "Read again, or correct the regulated pressure.",
            )

    def _step_back(self) -> None:
        self.done[self.cylinder] = self.done.get(self.cylinder, ())[:-1]
        self._show()
        self.climbed.emit(self.cylinder)
        self.start()


def _told(step: RecheckStep) -> str:
    """What is done and what it can show; the clock begins anew where the engine runs."""
    clock = (
        " Press ‘Engine is shut down now’ once it has stopped." if "engine_running" in step.cautions else ""
    )
    return f"{step.text}{clock}\nIt can show: {step.shows}"
