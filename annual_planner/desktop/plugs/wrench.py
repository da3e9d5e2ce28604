"""What to set the torque wrench to where an adapter or a joint stands between it and the plug."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from annual_planner.desktop.aircraft.record_forms import Done, Leave
from annual_planner.desktop.fields import ChoiceField, TextField
from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.plugs.compression_steps import number_field
from annual_planner.desktop.plugs.forms import NM_PER_FT_LB
from annual_planner.desktop.plugs.writer import Writer
from annual_planner.trade.torque import TorqueUnit
from annual_planner.trade.working import Working

if TYPE_CHECKING:
    from annual_planner.desktop.progress import Progress
    from annual_planner.planning.engine_view import EngineView

UNITS = ((TorqueUnit.FOOT_POUND, "ft-lb"), (TorqueUnit.INCH_POUND, "in-lb"), (TorqueUnit.NEWTON_METER, "N·m"))


@dataclass(frozen=True, slots=True)
class WrenchSet:
    """The answer in words, and how it came about."""

    said: str
    working: Working


class WrenchForm(Form):
    """Asks for lever, adapter and joint; the answer stays on it, with its working behind F4."""

    answer: WrenchSet | None = None


class WrenchSetting(Writer):
    """Opens the form and works the setting out, off the window's thread: converting units takes its time."""

    def start(self) -> None:
        """Ask for the wanted torque, the wrench and what stands between it and the plug."""
        view = self._view
        if view is None:
            return
        form = wrench_form(view, lambda values: self._work_out(view, form, values), self.page.close_form)
        self.page.open_form(form)

    def _work_out(self, view: EngineView, form: WrenchForm, values: Values) -> None:
        def work(_progress: Progress) -> WrenchSet:
            return wrench_set(view, values)

        def done(found: WrenchSet) -> None:
            form.answer = found
            form.tell(found.said)

        self.page.desk.jobs.long(work, self.page, done, form.failed, topic="wrench")


def wrench_form(view: EngineView, done: Done, leave: Leave) -> WrenchForm:
    """The fields, the middle of the engine type's range filled in."""
    torque = view.torque.value
    form = WrenchForm(
        "Set the torque wrench",
        "Work it out",
        done,
        leave,
        says=f"Plugs of this engine: {torque.low_nm:.1f} to {torque.high_nm:.1f} N·m ({torque.source}). The"
        " maker's instructions decide. A straight socket extension changes nothing.",
    )
    form.add(number_field("wanted", "Wanted at the plug", needed="Which torque is the plug to get?"))
    form.add(ChoiceField("unit", "In", UNITS))
    form.add(number_field("wrench_in", "Grip to drive (in)", needed="How long is the wrench, grip to drive?"))
    form.add(number_field("extension_in", "Drive to plug (in)", "0", hint="Length of the adapter."))
    angle = "0 straight out, 90 square to the wrench, 180 back along the handle."
    form.add(number_field("angle_deg", "Its angle (°)", "0", hint=angle))
    form.add(number_field("joint_deg", "Universal joint at (°)", "0", hint="0 without one."))
    wanted = form.fields["wanted"]
    assert isinstance(wanted, TextField), "made above"
    wanted.put(f"{(torque.low_nm + torque.high_nm) / 2 / NM_PER_FT_LB:.0f}")
    return form


def wrench_set(view: EngineView, values: Values) -> WrenchSet:
    """The setting, held against the range of the engine type.

    Raises Refused for what can't be, and for a torque above the range, with the damage it does.
    """
    from annual_planner.trade.torque import in_newton_meters, joint_band, setting_checked, wrench_setting

    wanted_nm = in_newton_meters(values["wanted"], values["unit"])
    lever = (values["wrench_in"], values["extension_in"] or 0.0, values["angle_deg"] or 0.0)
    setting = wrench_setting(wanted_nm, *lever)
    checked = setting_checked(view.engine_type, setting.value, *lever)
    said = [f"Set the wrench to {setting.working.result}: at the plug {checked.value}."]
    parts = [setting.working, checked.working]
    if values["joint_deg"]:
        band = joint_band(wanted_nm, values["joint_deg"])
        said.append(f"Through the joint {band.working.result}. {band.value.caution}".strip())
        parts.append(band.working)
    working = Working("Torque wrench", said[0], (), (), (), (), tuple(parts))
    return WrenchSet(" ".join(said), working)
