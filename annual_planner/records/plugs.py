"""The edits of plugs, from the drawer into the engine and through the tray, in one place to import from."""

from annual_planner.records.plug_looks import ChangePlugCheck, RecordPlugCheck, RemovePlugCheck
from annual_planner.records.plug_stock import AddPlugs, ScrapPlug, SetEngineType
from annual_planner.records.plug_tray import (
    GOING_IN,
    IN_THE_TRAY,
    ChangeRotation,
    SetGasketOut,
    TakeOutPlugs,
)
from annual_planner.records.plugs_in import FitPlugs, GoesBack, PutBackWhereTheyWere, PutPlugsIn

__all__ = [
    "GOING_IN",
    "IN_THE_TRAY",
    "AddPlugs",
    "ChangePlugCheck",
    "ChangeRotation",
    "FitPlugs",
    "GoesBack",
    "PutBackWhereTheyWere",
    "PutPlugsIn",
    "RecordPlugCheck",
    "RemovePlugCheck",
    "ScrapPlug",
    "SetEngineType",
    "SetGasketOut",
    "TakeOutPlugs",
]
