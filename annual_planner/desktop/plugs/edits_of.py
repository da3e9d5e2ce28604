"""What was typed about a plug or a test as the edit that writes it down."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from annual_planner.desktop.form import Values
from annual_planner.desktop.plugs.check_typed import read_inches, seen_of
from annual_planner.desktop.plugs.compression_steps import air_of
from annual_planner.desktop.plugs.compression_tab import TestTyped
from annual_planner.desktop.plugs.tray_tab import Checked
from annual_planner.planning.engine_view import LookView, ReadingView
from annual_planner.records.edits import Edit
from annual_planner.store.plug_rows import TestLine
from annual_planner.trade.plug_check import AFTER


def check_edit(checked: Checked, rotation_id: int, today: date) -> Edit:
    """A new look of that stage, or the correction of the one there is."""
    from annual_planner.records.plug_looks import RecordPlugCheck

    slot, typed = checked.slot, checked.typed
    look = slot.after if checked.stage == AFTER else slot.before
    if look is not None:
        return _correction(look, checked)
    return RecordPlugCheck(
        plug_id=slot.plug.plug_id,
        rotation_id=rotation_id,
        stage=checked.stage,
        looked_on=today,
        seen=typed.seen,
        set_gap_in=typed.set_gap_in,
        overruled_verdict=typed.verdict,
        overruled_because=typed.because,
        note=typed.note,
    )


def _correction(look: LookView, checked: Checked) -> Edit:
    from annual_planner.records.plug_looks import ChangePlugCheck, seen_as_stored

    typed = checked.typed
    wants: dict[str, object] = {
        **seen_as_stored(typed.seen),
        "set_gap_in": typed.set_gap_in,
        "overruled_because": typed.because,
    }
    if typed.verdict is not None:
        wants["verdict"] = typed.verdict.value
    held = {key: getattr(look.line, key) for key in wants}
    saw = {key: list(value) if isinstance(value, tuple) else value for key, value in held.items()}
    return ChangePlugCheck(look.line.check_id, saw, wants)


def drawer_check_edit(values: Values) -> Edit:
    """A look at a plug that lies in the drawer. Refused for what can't be read."""
    from annual_planner.records.plug_looks import RecordPlugCheck

    texts = {key: str(values[key]) for key in ("gap", "looks", "wear", "ohms", "damage", "set_gap")}
    set_gap = texts.pop("set_gap")
    return RecordPlugCheck(
        plug_id=values["plug_id"],
        rotation_id=None,
        stage=values["stage"],
        looked_on=values["on"],
        seen=seen_of(**texts, sparks=""),
        set_gap_in=read_inches(set_gap) if set_gap.strip() else None,
        note=values["note"],
    )


def test_edit(typed: TestTyped, assembly_id: int, package_id: int | None) -> Edit:
    """A whole compression test."""
    from annual_planner.records.compression import RecordTest
    from annual_planner.records.compression_checks import ReadCylinder

    made = typed.made
    return RecordTest(
        assembly_id=assembly_id,
        tested_on=made["tested_on"],
        engine_hours=made["engine_hours"],
        readings=tuple(
            ReadCylinder(cylinder, first, heard, rungs) for cylinder, first, heard, rungs in typed.readings
        ),
        safety_ticked=typed.safety,
        regulated_psi=made["regulated_psi"],
        restrictor_in=made["restrictor_in"],
        tester=made["tester"],
        master_psi=made["master_psi"],
        minutes_since_shutdown=typed.minutes,
        oil_temperature_c=made["oil_temperature_c"],
        cold=made["cold"],
        ambient_psi_a=typed.ambient_psi_a,
        elevation_ft=made["elevation_ft"],
        altimeter_inhg=made["altimeter_inhg"],
        package_id=package_id,
    )


def test_correction(line: TestLine, values: Values) -> Edit | None:
    """The correction of a test's conditions; None where nothing differs. Refused for impossible air."""
    from annual_planner.records.compression_corrections import ChangeTest

    wants: dict[str, object] = {key: value for key, value in values.items() if value != getattr(line, key)}
    if {"elevation_ft", "altimeter_inhg"} & set(wants):
        air = air_of(values["elevation_ft"], values["altimeter_inhg"])
        wants |= {} if air == line.ambient_psi_a else {"ambient_psi_a": air}
    return ChangeTest(line.test_id, {key: getattr(line, key) for key in wants}, wants) if wants else None


def reading_correction(reading: ReadingView, values: Values) -> Edit | None:
    """The correction of one cylinder's reading; None where nothing differs."""
    from annual_planner.records.compression import rung_as_stored
    from annual_planner.records.compression_corrections import ChangeReading

    line = reading.line
    done = tuple(
        replace(rung, reading_psi=values.get(f"rung_{place}", rung.reading_psi))
        for place, rung in enumerate(reading.rechecked)
    )
    again = [rung.reading_psi for rung in done if rung.reading_psi is not None]
    after: dict[str, object] = {
        "reading_psi": again[-1] if again else values["first_psi"],
        "first_psi": values["first_psi"] if done else line.first_psi,
        "heard": list(values["heard"]),
        "rechecked": [rung_as_stored(rung) for rung in done],
        "note": values["note"],
    }
    held = {key: getattr(line, key) for key in after}
    saw = {key: list(value) if isinstance(value, tuple) else value for key, value in held.items()}
    wants = {key: value for key, value in after.items() if value != saw[key]}
    return ChangeReading(line.reading_id, {key: saw[key] for key in wants}, wants) if wants else None
