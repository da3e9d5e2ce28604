"""The tray: the plug box drawn, the check of the plug in front, gaskets counted, and the table of it all."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget

from annual_planner.desktop.annual.held import HeldList
from annual_planner.desktop.columns import day_text
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.form import Scrolled
from annual_planner.desktop.listing import Words
from annual_planner.desktop.plugs.as_marks import tray_plugs
from annual_planner.desktop.plugs.check_entry import CheckEntry
from annual_planner.desktop.plugs.check_typed import CheckTyped, typed_damage, typed_inches, typed_looks
from annual_planner.desktop.plugs.columns import SLOTS
from annual_planner.desktop.plugs.facts import Facts
from annual_planner.desktop.plugs.tray_drawing import TrayDrawing
from annual_planner.desktop.widgets import Blank, button, label
from annual_planner.planning.engine_view import EngineView, TraySlot, TrayView
from annual_planner.trade.engines import Place
from annual_planner.trade.plug_check import AFTER, BEFORE, OPEN_OHM


@dataclass(frozen=True, slots=True)
class Checked:
    """One look at the plug of a slot, as typed; `texts`: the fields, should it be refused."""

    slot: TraySlot
    typed: CheckTyped
    stage: str
    texts: dict[str, str]


class TrayTab(QWidget):
    """What lies in the tray; one plug is in front and is checked by keys alone."""

    checked = Signal(object)
    """A Checked, to be written down."""
    swapped = Signal(object, object)
    gasket = Signal(object, bool)
    """A slot, and whether its gasket came out."""
    gaskets_all = Signal()
    pointed = Signal(object)
    wants_why = Signal()
    wants_out = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.setAccessibleName("The tray")
        self.view: EngineView | None = None
        self._moved: Mapping[Place, Place] = {}
        self.stage = BEFORE
        self._shown: tuple[int, str] | None = None
        self._written: set[tuple[int, str]] = set()
        """Plug and stage of looks that are on their way to the fleet or just got there."""
        self._settled: set[tuple[int, str]] = set()
        self.drawing = TrayDrawing(desk.theme, "Plug box, drawn")
        self.entry = CheckEntry(desk.theme)
        self.count = label("", section=True)
        self.count.setWordWrap(True)
        self.cautions = label("", faint=True)
        self.cautions.setWordWrap(True)
        self._warns = ""
        self.all_out = button("All gaskets are out", self.gaskets_all.emit)
        self.missing = button("Gasket missing here", lambda: self._gasket(False))
        self.found = button("Gasket is out here", lambda: self._gasket(True))
        self.turn = button(
            "Check after cleaning", self.turn_stage, tip="Look at plugs before or after they are cleaned"
        )
        words = Words("plugs", "Nothing lies in the tray", "Take plugs out of the engine first.")
        self.listing: HeldList[TraySlot] = HeldList(desk, "plugs-tray", SLOTS, words, small=True)
        self.blank = Blank()
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        shown = QWidget()
        shown.setAccessibleName("What lies in the tray")
        column = QVBoxLayout(shown)
        column.setContentsMargins(0, 8, 0, 0)
        column.setSpacing(8)
        box = Scrolled(self.drawing, snug=True)
        box.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        box.setSizeAdjustPolicy(QScrollArea.SizeAdjustPolicy.AdjustToContents)
        column.addWidget(box)
        column.addWidget(self.count)
        row = FlowRow()
        for each in (self.all_out, self.missing, self.found, self.turn):
            row.addWidget(each)
        column.addLayout(row)
        column.addWidget(self.cautions)
        column.addWidget(self.entry)
        column.addWidget(self.listing, 1)
        self._filled = shown
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        for part in (self.blank, self._filled):
            whole.addWidget(part, 1)

    def _connect(self) -> None:
        self.drawing.pointed.connect(self._from_drawing)
        self.drawing.opened.connect(lambda _at: self.start())
        self.drawing.swapped.connect(self.swapped)
        self.listing.pointed.connect(self._from_list)
        self.listing.opened.connect(lambda _row: self.start())
        self.entry.saved.connect(self._saved)
        self.entry.wants_why.connect(self.wants_why)

    # -- showing ---------------------------------------------------------------------------------------

    def learn(self, facts: Facts) -> None:
        """Take what the library says of conditions, and of what hurts where plugs are cleaned and tried."""
        self.entry.says = facts.says
        self.entry.follow()
        self._warns = facts.cautions_said("lead_dust", "compressed_air", "high_voltage", between=" ")
        self._warn()

    def _warn(self) -> None:
        """Caution at cleaning and after it, where dust, air and voltage are."""
        cleaning = self.stage == AFTER or not any(self._is_open(slot) for slot in self.slots)
        self.cautions.setText(self._warns)
        self.cautions.setVisible(bool(self._warns) and cleaning)

    def take(self, view: EngineView, moved: Mapping[Place, Place], *, may_edit: bool) -> None:
        """Show the tray; `moved`: where plugs were laid that already changed places in it."""
        filled = (self.view is None or self.view.tray is None) and view.tray is not None
        self.view, self._moved = view, moved
        self._written -= self._settled
        self._settled.clear()
        self.entry.setVisible(may_edit)
        if view.tray is None:
            self._shown = None
            self._say_empty(may_edit)
            self._turn_to(self.blank)
            return
        self.drawing.take(view.engine_type, tray_plugs(view, moved))
        self.listing.take(view.tray.slots)
        self._say_gaskets(view.tray, may_edit)
        self._warn()
        self._turn_to(self._filled)
        slot = self.slot or self._next_open(None) or next(iter(view.tray.slots), None)
        if slot is not None:
            self.show_slot(slot)
        if filled and self.isVisible():
            self.start()

    def _turn_to(self, part: QWidget) -> None:
        """Show the tray, or why it is empty."""
        for each in (self.blank, self._filled):
            each.setVisible(each is part)

    def _say_empty(self, may_edit: bool) -> None:
        last = next(iter(self.view.rotations), None) if self.view is not None else None
        last_said = f" They were last out on {day_text(last.rotated_on)}." if last is not None else ""
        self.blank.show_state(
            "No plugs are out of this engine",
            f"A plug lies here between coming out and going in again: checked, cleaned, turned.{last_said}",
            "Take plugs out" if may_edit else "",
            self.wants_out.emit,
        )

    def _say_gaskets(self, tray: TrayView, may_edit: bool) -> None:
        gaskets = tray.gaskets
        none_yet = len(gaskets.not_asked) == gaskets.plugs_out
        asks = f"{gaskets.plugs_out} plugs are out. Count their gaskets: how many came out with them?"
        if gaskets.plugs_out == 1:
            asks = "One plug is out. Did its gasket come out with it?"
        self.count.setText(f"{asks if none_yet else f'{gaskets.said}.'}\n{self._progress()}")
        all_out = "All other gaskets are out" if gaskets.missing else "All gaskets are out"
        self.all_out.setText(all_out)
        self.all_out.setAccessibleName(all_out)
        self.all_out.setVisible(may_edit and bool(tray.gaskets.not_asked))
        for each in (self.missing, self.found, self.turn):
            each.setVisible(may_edit)
        words = "Check after cleaning" if self.stage == BEFORE else "Back to before cleaning"
        self.turn.setText(words)
        self.turn.setAccessibleName(words)

    def _progress(self) -> str:
        """How many plugs are checked, and what comes after the last of them."""
        going_back = [slot for slot in self.slots if self.stage == BEFORE or not slot.rejected]
        left = sum(self._is_open(slot) for slot in going_back)
        if left:
            return f"Checked {self.stage}: {len(going_back) - left} of {len(going_back)}."
        after = "clean them, then press ‘Check after cleaning’" if self.stage == BEFORE else "‘Put plugs in’"
        return f"Checked {self.stage}: all {len(going_back)}. Next: {after}."

    @property
    def slots(self) -> tuple[TraySlot, ...]:
        """The plugs that are out."""
        return self.view.tray.slots if self.view is not None and self.view.tray is not None else ()

    @property
    def slot(self) -> TraySlot | None:
        """The plug in front."""
        back = {new: old for old, new in self._moved.items()}
        at = self.drawing.chosen
        came_from = back.get(at, at) if at is not None else None
        return next((each for each in self.slots if each.place == came_from), None)

    def show_slot(self, slot: TraySlot, texts: dict[str, str] | None = None) -> None:
        """Put a plug in front; what is being typed for the same plug stays."""
        self.drawing.choose(self._moved.get(slot.place, slot.place))
        row = self.slots.index(slot)
        if self.listing.current_id != row:
            self.listing.point_to(row)
        which = (slot.plug.plug_id, self.stage)
        if texts is not None or self._shown != which or self.entry.untouched:
            self._shown = which
            title = f"{slot.place}   {slot.plug.tag}   {slot.plug.type_title}   {self.stage}"
            self.entry.take(title, slot.plug.plug_type, texts or _texts(slot, self.stage))

    def _next_open(self, after: TraySlot | None) -> TraySlot | None:
        """The next plug that has no look of this stage, beginning after one and going round."""
        start = self.slots.index(after) + 1 if after is not None else 0
        around = (*self.slots[start:], *self.slots[:start])
        return next((each for each in around if self._is_open(each) and each is not after), None)

    def _is_open(self, slot: TraySlot) -> bool:
        look = slot.after if self.stage == AFTER else slot.before
        return look is None and not slot.rejected and (slot.plug.plug_id, self.stage) not in self._written

    # -- doing -----------------------------------------------------------------------------------------

    def start(self) -> None:
        """Put the keys on the check of the plug in front."""
        if self.slot is not None and not self.entry.isHidden():
            self.entry.start()
        else:
            self.drawing.setFocus()

    def _saved(self, typed: object) -> None:
        """Hand the look over and go on at once; should it be refused, the plug comes back in front."""
        slot = self.slot
        if slot is None:
            return
        which, texts = (slot.plug.plug_id, self.stage), self.entry.texts()
        self._written.add(which)
        self.checked.emit(Checked(slot, typed, self.stage, texts))  # type: ignore[arg-type]
        self._go_on(slot)

    def settled(self, checked: Checked) -> None:
        """The look is written down."""
        self._settled.add((checked.slot.plug.plug_id, checked.stage))

    def refused(self, checked: Checked, error: Exception) -> None:
        """The look was not taken: the plug comes back with what was typed."""
        self._written.discard((checked.slot.plug.plug_id, checked.stage))
        slot = next((s for s in self.slots if s.plug.plug_id == checked.slot.plug.plug_id), None)
        if slot is not None:
            self.stage = checked.stage
            self.show_slot(slot, checked.texts)
            self.entry.complain(error)
            self.entry.start()

    def _go_on(self, slot: TraySlot) -> None:
        beside = self.slots[(self.slots.index(slot) + 1) % len(self.slots)]
        for line in self.entry.lines.values():
            line.setModified(False)
        self.show_slot(self._next_open(slot) or beside)
        self.entry.start()

    def turn_stage(self) -> None:
        """Look at the plugs before cleaning, or after it."""
        self.stage = AFTER if self.stage == BEFORE else BEFORE
        if self.view is not None:
            self.take(self.view, self._moved, may_edit=not self.entry.isHidden())
            first = self._next_open(None) or self.slot
            if first is not None:
                self.show_slot(first)
                self.start()

    def _gasket(self, out: bool) -> None:
        if self.slot is not None:
            self.gasket.emit(self.slot, out)

    def _from_drawing(self, at: Place) -> None:
        slot = self.slot
        if slot is not None:
            self.show_slot(slot)
        self.pointed.emit(at)

    def _from_list(self, row: int) -> None:
        if 0 <= row < len(self.slots) and self.slots[row] is not self.slot:
            self.show_slot(self.slots[row])
            self.pointed.emit(self.slots[row].place)


def _texts(slot: TraySlot, stage: str) -> dict[str, str]:
    """What was found at a look, as it is typed."""
    look = slot.after if stage == AFTER else slot.before
    if look is None:  # what was measured before cleaning is no measurement after it
        return {}
    line = look.line
    oval = "x".join(typed_inches(each) for each in line.oval_in) if line.oval_in is not None else ""
    ohms = "" if line.resistance_ohm is None else f"{line.resistance_ohm:.0f}"
    is_open = line.resistance_ohm is not None and line.resistance_ohm >= OPEN_OHM
    return {
        "gap": " ".join(typed_inches(each) for each in line.gaps_in),
        "looks": typed_looks(line.conditions),
        "wear": oval or typed_inches(line.electrode_in),
        "set_to": typed_inches(line.set_gap_in),
        "ohms": "open" if is_open else ohms,
        "sparks": {True: "y", False: "n", None: ""}[line.sparks_under_pressure],
        "damage": typed_damage(line.damage, dropped=line.dropped),
        "decide": "",
        "because": line.overruled_because,
    }
