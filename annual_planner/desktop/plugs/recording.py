"""Forms about the plugs that come out, lie in the tray and go back in, and the edits they make."""

from __future__ import annotations

from typing import TYPE_CHECKING

from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.plugs import forms
from annual_planner.desktop.plugs.edits_of import check_edit
from annual_planner.desktop.plugs.going_in import IN_TRAY, Choices, Plan
from annual_planner.desktop.plugs.tray_tab import Checked
from annual_planner.desktop.plugs.writer import Writer
from annual_planner.planning.engine_view import EngineView, TraySlot
from annual_planner.records.planned_places import Planned
from annual_planner.trade.engines import Place, place
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.records.edits import Changed


class Recording(Writer):
    """What is written down about the type of the engine, and about the plugs that come out and go back in."""

    # -- the engine ------------------------------------------------------------------------------------

    def start_type(self) -> None:
        """Ask of which type the engine is."""
        page = self.page
        engine = page.seen.engine if page.seen is not None else None
        if engine is None or page.facts is None or not page.desk.who.person.may_edit:
            return

        def done(values: Values) -> None:
            from annual_planner.records.plug_stock import SetEngineType

            self._write(SetEngineType(engine.assembly_id, engine.type_key, values["type_key"]), form)

        form = forms.type_form(page.facts.engines, engine.type_key, done, page.close_form)
        page.open_form(form, whole=page.view is None)

    # -- out and in ------------------------------------------------------------------------------------

    def start_out(self) -> None:
        """Ask which plugs come out."""
        page, view = self.page, self._view
        if view is None:
            return
        package_id = page.seen.open_package_id if page.seen is not None else None

        def done(values: Values) -> None:
            from annual_planner.records.plug_tray import GOING_IN, TakeOutPlugs

            edit = TakeOutPlugs(
                view.assembly_id,
                values["on"],
                values["engine_hours"],
                forms.places_of(view, values["which"]),
                values.get("moved", GOING_IN),
                page.doings.scheme_key(view),
                package_id,
            )
            self._write(edit, form, then=lambda: page.tabs.show_part(page.tabs.tray))

        form = forms.out_form(view, page.place_chosen, page.facts, page.desk.today, done, page.close_form)
        page.open_form(form)

    def write_scheme(self, key: str) -> None:
        """Another scheme for the open tray."""
        self._change_rotation({"scheme_key": key})

    def write_moved(self, moved: str) -> None:
        """Rotate going in, or in the tray."""
        self._change_rotation({"moved": moved})

    def _change_rotation(self, wants: dict[str, object], form: Form | None = None) -> None:
        from annual_planner.records.plug_tray import ChangeRotation

        tray = self._view.tray if self._view is not None else None
        if tray is None:
            return
        saw = {key: getattr(tray.line, key) for key in wants}
        if saw != wants:
            self._write(ChangeRotation(tray.rotation_id, saw, wants), form)
        elif form is not None:
            self.page.close_form()

    def start_in(self) -> None:
        """Ask for gaskets and the day, then put everything in; first what is still missing."""
        page, view = self.page, self._view
        if view is None or view.tray is None:
            return
        page.tabs.show_part(page.tabs.rotation)
        said = self._not_ready(view)
        if said is not None:
            page.strip.refuse(said)
            return
        form = forms.in_form(
            view, page.desk.today, lambda values: self._put_in(view, form, values), page.close_form
        )
        page.open_form(form)

    def _not_ready(self, view: EngineView) -> Refused | None:
        """What must be said before anything goes in: open places, gaskets nobody asked about."""
        lines = Plan(view).lines()
        open_ = [row for row, line in enumerate(lines) if line.is_open]
        if open_:
            self.page.tabs.rotation.listing.point_to(open_[0])
            return Refused(
                f"Nobody has said which plug goes into {', '.join(str(lines[row].place) for row in open_)}.",
                f"{lines[open_[0]].place} is chosen in the list: press ‘Another plug there’.",
            )
        asked = view.tray.gaskets.not_asked if view.tray is not None else ()
        if asked:
            return Refused(
                f"{len(asked)} gaskets are not counted: {', '.join(map(str, asked))}. Is one missing?",
                "In the tray say that they are all out, or where one is missing.",
            )
        return None

    def _put_in(self, view: EngineView, form: Form, values: Values) -> None:
        from annual_planner.records.plug_fitting import GoesBack
        from annual_planner.records.plugs_in import PutPlugsIn

        if view.tray is None:
            return
        lines, used = Plan(view).lines(), values["new_gaskets"]
        if used < len(lines):
            at = place(values["gasket_at"]) if values.get("gasket_at") else None
            where = f"cylinder {at.cylinder} {at.row.words}" if at is not None else "one of them"
            form.failed(
                Refused(
                    f"{used} new gaskets for {len(lines)} plugs: {where} has none.",
                    "Take that plug out again, give it a new gasket, then count again.",
                )
            )
            return
        goes = tuple(
            GoesBack(
                str(line.place),
                line.plug.plug_id if line.plug is not None else None,
                line.new_type_key,
                line.new_tag,
                line.why,
            )
            for line in lines
        )
        self._write(PutPlugsIn(view.tray.rotation_id, values["on"], goes, used), form, "The plugs are in.")

    def put_back(self) -> None:
        """Put every plug back into the place it came out of, with the gaskets counted."""
        page, view = self.page, self._view
        if view is None or view.tray is None:
            return
        tray = view.tray

        def done(values: Values) -> None:
            from annual_planner.records.plugs_in import PutBackWhereTheyWere

            edit = PutBackWhereTheyWere(tray.rotation_id, values["on"], values["new_gaskets"])
            self._write(edit, form, "Every plug is back where it was.")

        form = forms.in_form(view, page.desk.today, done, page.close_form)
        form.title.setText("Put all plugs back where they were")
        page.open_form(form)

    # -- departures ------------------------------------------------------------------------------------

    def start_swap(self, first: Place, second: Place) -> None:
        """Ask why two plugs change places, then let them."""
        page, view = self.page, self._view
        if view is None or view.tray is None:
            return
        ways = Plan(view).moves()
        in_tray = view.tray.line.moved == IN_TRAY
        one, other = (first, second) if in_tray else (ways.get(first), ways.get(second))
        if one is None or other is None:
            page.strip.say(
                "One of these plugs doesn't go back in.", "Choose another plug for its place first."
            )
            return

        def done(values: Values) -> None:
            try:
                choices = Plan(view).swapped(one, other, values["why"])
            except Refused as refused:
                form.failed(refused)
                return
            self._plan(choices, form)

        form = forms.swap_form(first, second, done, page.close_form)
        page.open_form(form)

    def start_other(self, at: Place) -> None:
        """Ask which other plug goes into a place."""
        page, view = self.page, self._view
        if view is None or view.tray is None:
            return
        line = next((each for each in Plan(view).lines() if each.place == at), None)
        if line is None:
            return

        def done(values: Values) -> None:
            kind, _, key = str(values["what"]).partition(" ")
            if kind == "plug":
                choice = Planned(int(key), why=values["why"])
            else:
                choice = Planned(None, key, values.get("tag", ""), values["why"])
            self._plan(Plan(view).chosen(at, choice), form)

        form = forms.other_form(view, line, done, page.close_form)
        page.open_form(form)

    def back_to_scheme(self, at: Place) -> None:
        """Let the rotation's plug go there again."""
        if self._view is not None and self._view.tray is not None:
            self._plan(Plan(self._view).by_scheme(at))

    def _plan(self, choices: Choices, form: Form | None = None) -> None:
        """Keep what is planned with the tray, so that it is there tomorrow and can be taken back."""
        planned = {str(at): choice.as_stored() for at, choice in choices.items()}
        self._change_rotation({"planned": planned}, form)

    # -- checks and gaskets ----------------------------------------------------------------------------

    def write_check(self, checked: Checked) -> None:
        """Write a look down, or correct the one of that stage; refused, its plug comes back in front."""
        view, tab = self._view, self.page.tabs.tray
        if view is None or view.tray is None:
            return
        edit = check_edit(checked, view.tray.rotation_id, self.page.desk.today)

        def done(changed: Changed) -> None:
            tab.settled(checked)
            if "discrepancy" in changed.kinds:
                cylinder = checked.slot.place.cylinder
                self.page.strip.say(
                    f"Written up as a discrepancy on cylinder {cylinder}.",
                    "What becomes of it is decided in Discrepancies.",
                )

        self.page.desk.jobs.write(edit, tab, done, lambda error: tab.refused(checked, error))

    def write_gasket(self, slot: TraySlot, out: bool) -> None:
        """Say whether a gasket came out."""
        from annual_planner.records.plug_tray import SetGasketOut

        if slot.gasket_out is not out:
            self._write(SetGasketOut(slot.stay.stay_id, slot.gasket_out, out))

    def write_all_gaskets(self) -> None:
        """Every gasket nobody asked about is out: one step for Undo."""
        from annual_planner.records.row_edits import ChangeRow, Several, Subject

        slots = [slot for slot in self.page.tabs.tray.slots if slot.gasket_out is None]
        of = Subject("plug", f"gaskets of {len(slots)} plugs", self.page.aircraft_id)
        rows = tuple(
            ChangeRow(of, "plug_stay", slot.stay.stay_id, {"gasket_out": None}, {"gasket_out": True})
            for slot in slots
        )
        if rows:
            self._write(Several(of, rows))

    def start_missing(self) -> None:
        """Ask at which cylinder a gasket is missing."""
        page, slots = self.page, self.page.tabs.tray.slots
        if not slots:
            return

        def done(values: Values) -> None:
            at = place(values["place"])
            slot = next(each for each in slots if each.place == at)
            page.close_form()
            self.write_gasket(slot, False)

        form = forms.missing_form([slot.place for slot in slots], done, page.close_form)
        page.open_form(form)
