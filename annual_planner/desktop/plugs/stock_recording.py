"""Forms about the plugs of the drawer, and the edits they make."""

from __future__ import annotations

from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.plugs import forms
from annual_planner.desktop.plugs.edits_of import drawer_check_edit
from annual_planner.desktop.plugs.tags import read_tags
from annual_planner.desktop.plugs.writer import Writer
from annual_planner.planning.engine_view import EngineView
from annual_planner.trade.refused import Refused


class StockRecording(Writer):
    """Plugs that are bought, looked at in the drawer, fitted for the first time, or scrapped."""

    def start_bought(self) -> None:
        """Ask for plugs that were bought."""
        page = self.page
        if page.facts is None:
            return

        def done(values: Values) -> None:
            from annual_planner.records.plug_stock import AddPlugs

            try:
                tags = read_tags(values["tags"])
            except Refused as refused:
                form.failed(refused)
                return
            said = f"{len(tags)} plugs are in the drawer." if len(tags) > 1 else "The plug is in the drawer."
            self._write(AddPlugs(values["type_key"], tags, values["bought_on"]), form, said)

        form = forms.bought_form(page.facts, page.desk.today, done, page.close_form)
        page.open_form(form)

    def start_fit(self) -> None:
        """Ask for the tags of a first fitting."""
        page, view = self.page, self._view
        if view is None or page.facts is None:
            return

        def done(values: Values) -> None:
            self._fit(view, form, values)

        form = forms.fit_form(view, page.desk.today, done, page.close_form)
        page.open_form(form)

    def _fit(self, view: EngineView, form: Form, values: Values) -> None:
        from annual_planner.records.plugs_in import FitPlugs

        empty = [str(each.place) for each in view.places if each.plug is None]
        spares = {each.tag: each.plug_id for each in view.spares}
        try:
            tags = read_tags(values["tags"])
        except Refused as refused:
            form.failed(refused)
            return
        unknown = [tag for tag in tags if tag not in spares]
        if unknown or len(tags) > len(empty):
            said = f"{', '.join(unknown)}: not in the drawer." if unknown else "More tags than empty places."
            form.failed(Refused(said, "Add plugs to the drawer first, then fit them."))
            return
        plugs = dict(zip(empty, (spares[tag] for tag in tags), strict=False))
        self._write(FitPlugs(view.assembly_id, values["on"], values["engine_hours"], plugs), form)

    def start_drawer_check(self) -> None:
        """Ask for a look at a plug that lies in the drawer."""
        page, view = self.page, self._view
        if view is None:
            return

        def done(values: Values) -> None:
            try:
                edit = drawer_check_edit(values)
            except Refused as refused:
                form.failed(refused)
                return
            self._write(edit, form, "The look is written down.")

        form = forms.drawer_check_form(view, page.desk.today, done, page.close_form)
        page.open_form(form)

    def start_scrap(self) -> None:
        """Ask which loose plug is scrapped, of the tray or the drawer, and why."""
        page, view = self.page, self._view
        if view is None:
            return

        def done(values: Values) -> None:
            from annual_planner.records.plug_stock import ScrapPlug

            self._write(ScrapPlug(values["plug_id"], values["on"], values["why"]), form)

        slot = page.tabs.tray.slot if view.tray is not None else None
        front = slot.plug if slot is not None else None
        form = forms.scrap_form(view, front, page.desk.today, done, page.close_form)
        page.open_form(form)
