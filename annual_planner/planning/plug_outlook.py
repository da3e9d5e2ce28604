"""The plugs of an engine together: which won't reach the next annual, and what they cost now or later."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal, InvalidOperation

from annual_planner.planning.engine_view import PlugView, TrayView
from annual_planner.store.plug_rows import StayLine
from annual_planner.trade.engines import EngineType
from annual_planner.trade.plug_set import PlugStanding, Prices, Reach, SetOutlook, reach, set_outlook
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Worked

WORK_HOUR = Decimal(100)
VISIT_HOURS, HOURS_PER_PLUG = Decimal("1.5"), Decimal("0.25")
"""Stand in until the shop gives its own. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Outlook:
    """How the set stands, each place by its name; `refused` says why there is no outlook."""

    worked: Worked[SetOutlook] | None
    refused: str
    reach: Mapping[str, Reach] = field(default_factory=dict)


def outlook_of(
    engine: EngineType,
    stays: Mapping[str, StayLine],
    shown: Mapping[int, PlugView],
    tray: TrayView | None,
    hours_to_annual: Worked[Decimal] | None,
    work_hour: str,
    because: str,
) -> Outlook:
    """Where the plugs in the engine, and those in its tray that may go back, stand to the next annual."""
    here = {at: shown[stay.plug_id] for at, stay in stays.items()}
    here |= {str(slot.place): slot.plug for slot in (tray.slots if tray else ()) if not slot.rejected}
    standing = [_standing(str(at), here[str(at)]) for at in engine.places if str(at) in here]
    plugs = [each for each in standing if each is not None]
    if hours_to_annual is None:
        return Outlook(None, because)
    if not plugs:
        return Outlook(None, "No plug with known hours is in this engine. Fit its plugs first.")
    try:
        worked = set_outlook(plugs, hours_to_annual.value, _prices(engine, work_hour))
    except Refused as refused:
        return Outlook(None, str(refused))
    ways = {each.place: reach(each, hours_to_annual.value) for each in plugs}
    return Outlook(_with_assumption(worked, hours_to_annual, work_hour), "", ways)


def _standing(at: str, plug: PlugView) -> PlugStanding | None:
    if plug.wear is None:
        return None
    return PlugStanding(at, plug.run_hours or Decimal(0), plug.wear.value.electrode)


def _prices(engine: EngineType, work_hour: str) -> Prices:
    """The dearest plug the engine takes, so that now isn't made to look cheap."""
    plug = max(each.price for row in engine.rows for each in row.plug_types)
    return Prices(plug, _as_price(work_hour), VISIT_HOURS, HOURS_PER_PLUG)


def _as_price(work_hour: str) -> Decimal:
    try:
        return Decimal(work_hour) if work_hour else WORK_HOUR
    except InvalidOperation:
        return WORK_HOUR


def _with_assumption(
    worked: Worked[SetOutlook], hours: Worked[Decimal], work_hour: str
) -> Worked[SetOutlook]:
    said = [f"A visit of its own takes {VISIT_HOURS} h and {HOURS_PER_PLUG} h a plug (common practice)."]
    if not work_hour:
        said.append(f"The shop has given no price of an hour of work; {WORK_HOUR} stands in for it.")
    working = worked.working
    return Worked(
        worked.value,
        replace(
            working,
            assumptions=(*working.assumptions, *said),
            parts=(*working.parts, hours.working),
        ),
    )
