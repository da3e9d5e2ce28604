"""Small forms of this place: a card of one's own, another start."""

from __future__ import annotations

from datetime import date

from annual_planner.desktop.aircraft.record_forms import Done, Leave, day_field
from annual_planner.desktop.annual.hours_fields import NAMES
from annual_planner.desktop.annual.seen import PHASE_WORDS, Shown
from annual_planner.desktop.fields import ChoiceField, TextField
from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.major_work import major_field
from annual_planner.desktop.typed import read_decimal
from annual_planner.trade.cards import WorkKind


class OwnCardForm(Form):
    """A card that no template gives."""

    def __init__(self, shown: Shown, done: Done, leave: Leave) -> None:
        super().__init__(
            "Add a card of your own",
            "Add card",
            done,
            leave,
            says="Who may do and sign it follows from the kind of work; its place, from the phase.",
        )
        self.add(
            TextField(
                "title", "What is to be done", needed="Say in a few words what is to be done.", letters=48
            )
        )
        self.add(ChoiceField("zone", "Where", [("", "not said"), *shown.zones.items()]))
        self.add(ChoiceField("phase", "Phase", list(PHASE_WORDS.items()))).put("service")
        self.add(
            ChoiceField(
                "kind", "Kind of work", [(kind.value, kind.value.replace("_", " ")) for kind in WorkKind]
            )
        ).put("service")
        self.add(major_field())
        for (key, words), usual in zip(NAMES, ("0.5", "1", "2"), strict=True):
            self.add(
                TextField(key, f"Hours {words}", read_decimal, needed="Give hours such as 1.5.", letters=6)
            ).put(usual)
        self.add(TextField("note", "Note", letters=48))

    def values(self) -> Values | None:
        """The values, when the hours rise."""
        found = super().values()
        if found is not None and not found["low"] <= found["likely"] <= found["high"]:
            self.fields["likely"].complain("Hours rise: at best, as a rule, at worst.")
            self.fields["likely"].editor.setFocus()
            return None
        return found


def start_form(shown: Shown, today: date, done: Done, leave: Leave) -> Form:
    """When the visit starts."""
    day = shown.view.package.start_on
    form = Form(
        "Start on another day",
        "Change start",
        done,
        leave,
        says="What was looked at stays the same; reasons and what is given up are weighed again.",
    )
    form.add(day_field("start_on", "Starts on", today, past=False, start=day.isoformat()))
    return form
