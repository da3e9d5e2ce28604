"""Small forms that write records down: a meter reading, a compliance, the end of a requirement, a plan."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal

from annual_planner.desktop.aircraft.seen import Seen
from annual_planner.desktop.columns import day_text, hours_text
from annual_planner.desktop.fields import ChoiceField, TextField, TickField
from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.typed import WAYS, read_count, read_day, read_decimal, said_day
from annual_planner.store.rows import DueLine, ReadingLine
from annual_planner.trade.refused import Refused

Done = Callable[[Values], object]
Leave = Callable[[], object]


def day_field(key: str, words: str, today: date, *, past: bool = True, start: str = "t") -> TextField:
    """A date typed freely; `past`: it must not lie ahead."""

    def read(text: str) -> date:
        day = read_day(text, today)
        if past and day > today:
            raise Refused(f"{said_day(day)} is still to come.", "Type a day up to today.")
        return day

    made = TextField(
        key, words, read, echo=said_day, needed=f"When? {WAYS}", letters=12, hint="t, +7, 3 Apr or 2026-04-03"
    )
    made.put(day_text(read_day(start, today)) if start else "")
    made.check()
    return made


class ReadingForm(Form):
    """What a meter read on a day. A value below the last one asks whether the meter was replaced."""

    def __init__(self, seen: Seen, today: date, done: Done, leave: Leave) -> None:
        super().__init__("Record a meter reading", "Record reading", done, leave)
        self._seen = seen
        self.day = self.add(day_field("read_on", "Read on", today))
        self.meter = self.add(
            TextField(
                "meter_hours",
                "Meter shows (h)",
                read_decimal,
                letters=10,
                needed="What does the meter show?",
                hint=self._last(),
                echo=self._since,
            )
        )
        self.replaced = self.add(TickField("replaced", "The meter was replaced on that day"))
        self.old = self.add(
            TextField(
                "old_meter_hours",
                "Old meter's last (h)",
                read_decimal,
                letters=10,
                needed="What did the old meter show when it came out?",
            )
        )
        self.add(
            TextField(
                "landings",
                "Landings in all",
                lambda text: read_count(text, "landings"),
                letters=10,
                hint="Leave empty where they aren't counted.",
            )
        )
        self.add(TextField("note", "Note", letters=40))
        self.replaced.edited.connect(self._follow)
        self.meter.edited.connect(self._follow)
        self.day.edited.connect(self._follow)
        self.meter.left.connect(self._follow)
        self._follow()

    def _before(self) -> tuple[date, Decimal] | None:
        """The last reading until the day that is typed."""
        try:
            day = self.day.value()
        except Refused:
            return None
        taken = ((line.read_on, line.meter_hours) for line in self._seen.readings if line.read_on <= day)
        return next(taken, None)

    def _last(self) -> str:
        line = self._seen.readings[0] if self._seen.readings else None
        return (
            f"Last: {hours_text(line.meter_hours)} on {day_text(line.read_on)}." if line else "The first one."
        )

    def _since(self, hours: Decimal) -> str:
        before = self._before()
        if before is None or hours < before[1]:
            return self._last()
        return f"{hours - before[1]:.1f} h since {day_text(before[0])}."

    def _follow(self) -> None:
        """Ask about a replaced meter where the value is lower than the last one."""
        lower = self._lower()
        replaced = bool(self.replaced.value())
        self.replaced.show_field(lower or replaced)
        self.old.show_field(replaced)
        before = self._before()
        if lower and not replaced and before is not None:
            self.meter.complain(
                f"Lower than {hours_text(before[1])} on {day_text(before[0])}. Read it again,"
                " or say below that the meter was replaced."
            )
        elif self.meter.at_fault and not lower:
            self.meter.check()
        if replaced and lower:
            self.meter.say("What the new meter showed when it was fitted.")
            if before is not None and not self.old.editor.property("filled"):
                self.old.editor.setProperty("filled", True)
                self.old.put(hours_text(before[1]))

    def _lower(self) -> bool:
        before = self._before()
        try:
            hours = self.meter.value()
        except Refused:
            return False
        return before is not None and hours is not None and hours < before[1]

    def values(self) -> Values | None:
        """The values, unless a lower one was left unexplained."""
        found = super().values()
        if found is not None and self._lower() and not self.replaced.value():
            self._follow()
            self.tell("The meter went back: read it again, or say that it was replaced.")
            self.meter.editor.setFocus()
            return None
        return found


def correction_form(reading: ReadingLine, today: date, done: Done, leave: Leave) -> Form:
    """Other values for a reading that is written down: what is checked is told when it is written."""
    form = Form(f"Correct the reading of {day_text(reading.read_on)}", "Correct reading", done, leave)
    form.add(day_field("read_on", "Read on", today))
    needed = "What did the meter show?"
    form.add(TextField("meter_hours", "Meter shows (h)", read_decimal, letters=10, needed=needed))
    form.add(TextField("landings", "Landings in all", lambda text: read_count(text, "landings"), letters=10))
    form.add(TextField("note", "Note", letters=40))
    form.put(
        {
            "read_on": day_text(reading.read_on),
            "meter_hours": hours_text(reading.meter_hours),
            "landings": "" if reading.landings is None else str(reading.landings),
            "note": reading.note,
        }
    )
    return form


class ComplianceForm(Form):
    """One doing of a requirement."""

    def __init__(self, seen: Seen, due: DueLine, by: str, today: date, done: Done, leave: Leave) -> None:
        super().__init__(f"Record compliance: {due.title}", "Record compliance", done, leave, says=_says(due))
        self._seen = seen
        self._counts_on = due.counts_on
        self.day = self.add(day_field("done_on", "Done on", today))
        what = due.counts_on if due.counts_on not in ("", "none") else "airframe"
        self.hours = self.add(
            TextField(
                "done_hours",
                f"At hours of {what}",
                read_decimal,
                letters=10,
                hint="By the last reading until that day.",
            )
        )
        if "landing" in due.interval or "cycle" in due.interval or "start" in due.interval:
            self.add(
                TextField(
                    "done_cycles",
                    "At landings or starts",
                    lambda text: read_count(text, "cycles"),
                    letters=10,
                )
            )
        self.add(
            TextField("method", "How", letters=36, hint="What was done, such as 'inspected' or 'replaced'.")
        )
        self.add(TextField("entry", "Entry", letters=36, hint="Where it is written in the records."))
        self.add(TextField("done_by", "By", letters=36)).put(by)
        self.add(
            TickField("enroute", "Hours over the limit were flown on the way to the inspection")
        ).show_field(due.key == "hundred_hour")
        self._filled = ""
        self.day.edited.connect(self._fill_hours)
        self._fill_hours()

    def _fill_hours(self) -> None:
        """Offer the hours of that day, unless somebody typed others."""
        line = self.hours.editor
        assert isinstance(self.hours, TextField)
        if self.hours.line.text() != self._filled:
            return
        try:
            day = self.day.value()
        except Refused:
            return
        self._filled = hours_text(self._seen.hours_on(day, self._counts_on))
        self.hours.put(self._filled)
        line.setToolTip(self.hours.hint)


def _says(due: DueLine) -> str:
    limits = [
        f"due on {day_text(due.due_on)}" if due.due_on else "",
        f"due at {hours_text(due.due_hours)} h" if due.due_hours is not None else "",
    ]
    said = " and ".join(text for text in limits if text) or "no doing on record"
    return f"Now: {said}. {due.interval.capitalize()}."


def end_form(due: DueLine, done: Done, leave: Leave) -> Form:
    """Why a requirement no longer applies."""
    form = Form(
        f"End the requirement: {due.title}",
        "End requirement",
        done,
        leave,
        says="It stays in the list with its history, as ended.",
    )
    form.add(
        TextField(
            "why", "Why", needed="Say why, such as 'terminating action done' or 'unit taken out'.", letters=48
        )
    )
    return form


def discrepancy_form(zones: list[tuple[object, str]], today: date, done: Done, leave: Leave) -> Form:
    """What was found."""
    form = Form("Record a discrepancy", "Record discrepancy", done, leave)
    form.add(TextField("text", "What was found", needed="Say what was found.", letters=60))
    form.add(day_field("found_on", "Found on", today))
    form.add(ChoiceField("zone", "Where", zones))
    form.add(ChoiceField("airworthy", "Airworthy", [(None, "not judged yet"), (True, "yes"), (False, "no")]))
    form.add(
        TextField("hours_estimate", "Work (h)", read_decimal, letters=8, hint="An estimate; may stay empty.")
    )
    return form
