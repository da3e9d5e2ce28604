"""The plugs of one engine over the years: fitted, worn, looked at, rotated and replaced."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from annual_planner.trade.engines import EngineType, Place, place
from annual_planner.trade.going_in import going_in
from annual_planner.trade.plug_check import PlugSeen, decided
from annual_planner.trade.plugs import Condition, ConditionSays, Electrode, PlugType, Verdict
from annual_planner.trade.rotation import usual
from demo_fleet.airplane import Build, day_at_hours
from demo_fleet.written import WrittenEngine

BEFORE, AFTER = "before cleaning", "after cleaning"
FOULED = 0.12
"""Share of looks at which a plug is fouled and no worse."""


@dataclass(slots=True)
class Plug:
    """A plug while its history is made: its sizes at some engine hours, and the row of its stay."""

    plug_id: int
    wear_per_h_in: float
    electrode_in: float
    gap_in: float
    seen_at: Decimal
    stay: dict[str, Any]


@dataclass(slots=True)
class PlugSet:
    """All plugs of one engine; each method moves their history on."""

    build: Build
    written: WrittenEngine
    engine: EngineType
    plug_type: PlugType
    says: Mapping[Condition, ConditionSays]
    assembly_id: int
    draw: random.Random
    now: dict[Place, Plug] = field(default_factory=dict)

    def live(self, days: list[tuple[date, Decimal]]) -> None:
        """Fit new plugs on the first of these days and rotate them on each of the others."""
        on, hours = days[0]
        fast = {place(at): factor for at, factor in self.written.fast.items()}
        self.now = {at: self._new(at, on, hours, None, fast.get(at, 1.0)) for at in self.engine.places}
        for number, (on, hours) in enumerate(days[1:], 2):
            self._rotate(on, hours, len(days) - number)
        for _ in range(self.written.spares):
            self._bought(on - timedelta(days=30), spare=True)

    def look_between(self, last_on: date, last_hours: Decimal, every: Decimal) -> None:
        """Look at the plugs between annuals and leave their gaps; they go back where they were."""
        hours, fitted = last_hours + every, self.build.fitted_at[self.assembly_id]
        while hours < self.build.written.hours_now - fitted:
            on = max(day_at_hours(self.build, hours + fitted), last_on + timedelta(days=1))
            for at, plug in self.now.items():
                self._wear(plug, hours)
                self._check(plug, at, on, hours, BEFORE, Condition.NORMAL)
            hours += every

    def _rotate(self, on: date, hours: Decimal, annuals_back: int) -> None:
        scheme = usual(self.engine)
        rotation_id = self.build.add(
            "plug_rotation", assembly_id=self.assembly_id, rotated_on=on, engine_hours=hours,
            scheme_key=scheme.key, moved="going in", state="in", departures={},
            new_gaskets=len(self.engine.places), package_id=None, note="",
        )  # fmt: skip
        rejected = {
            at for at, plug in self.now.items() if self._out(plug, at, on, hours, rotation_id, annuals_back)
        }
        goes = going_in(self.engine, scheme, rejected).value
        self.now = {
            each.place: self._new(each.place, on, hours, rotation_id)
            if each.came_from is None
            else self._in(self.now[each.came_from], each.place, on, hours, rotation_id)
            for each in goes
        }

    def _out(
        self, plug: Plug, at: Place, on: date, hours: Decimal, rotation_id: int, annuals_back: int
    ) -> bool:
        """Take a plug out and look at it before and after cleaning; whether it is rejected."""
        self._wear(plug, hours)
        plug.stay.update(
            removed_on=on, engine_hours_at_removal=hours, gasket_out=True, removed_by_rotation_id=rotation_id
        )
        seen = self._looks(at, annuals_back)
        verdict = self._check(plug, at, on, hours, BEFORE, seen, rotation_id=rotation_id)
        if verdict is Verdict.REPLACE:
            row = self.build.rows["spark_plug"][plug.plug_id - 1]
            row.update(
                scrapped_on=on, scrapped_why=seen.value if seen is not Condition.NORMAL else "worn out"
            )
            return True
        self._check(plug, at, on, hours, AFTER, Condition.NORMAL, rotation_id=rotation_id, set_gap=True)
        return False

    def _looks(self, at: Place, annuals_back: int) -> Condition:
        for each in self.written.rejected:
            if each.annuals_back == annuals_back and each.place == str(at):
                return Condition[each.condition]
        if self.draw.random() < FOULED:
            return self.draw.choice((Condition.LEAD_FOULED, Condition.CARBON_FOULED))
        return Condition.NORMAL

    def _in(self, plug: Plug, at: Place, on: date, hours: Decimal, rotation_id: int) -> Plug:
        plug.stay = self._stay(plug.plug_id, at, on, hours, rotation_id)
        return plug

    def _new(self, at: Place, on: date, hours: Decimal, rotation_id: int | None, faster: float = 1.0) -> Plug:
        wear = self.written.wear_per_100_h_in / 100 * faster * self.draw.uniform(0.92, 1.08)
        plug_id = self._bought(on - timedelta(days=20), spare=False)
        stay = self._stay(plug_id, at, on, hours, rotation_id)
        plug = Plug(plug_id, wear, self.plug_type.electrode_in, self._set_gap(), hours, stay)
        self._check(plug, None, on, hours, AFTER, Condition.NORMAL)
        return plug

    def _bought(self, on: date, *, spare: bool) -> int:
        tag = f"F{len(self.build.rows['spark_plug']) + 1:04d}"
        return self.build.add(
            "spark_plug", type_key=self.plug_type.key, tag=tag, bought_on=on, hours_before=Decimal(0),
            scrapped_on=None, scrapped_why="", spare=spare, note="",
        )  # fmt: skip

    def _stay(
        self, plug_id: int, at: Place, on: date, hours: Decimal, rotation_id: int | None
    ) -> dict[str, Any]:
        self.build.add(
            "plug_stay", plug_id=plug_id, assembly_id=self.assembly_id, place=str(at), fitted_on=on,
            engine_hours_at_fitting=hours, removed_on=None, engine_hours_at_removal=None, gasket_out=None,
            fitted_by_rotation_id=rotation_id, removed_by_rotation_id=None, why="",
        )  # fmt: skip
        return self.build.rows["plug_stay"][-1]

    def _wear(self, plug: Plug, hours: Decimal) -> None:
        """Let a plug wear until these engine hours."""
        run = float(hours - plug.seen_at)
        fine = self.plug_type.electrode is Electrode.FINE_WIRE
        plug.electrode_in = max(plug.electrode_in - plug.wear_per_h_in * run, 0.0)
        plug.gap_in += run * self.written.gap_growth_per_100_h_in / 100 * (0.25 if fine else 1.0)
        plug.seen_at = hours

    def _set_gap(self) -> float:
        return round(self.plug_type.gap_low_in + 0.0015, 4)

    def _check(
        self,
        plug: Plug,
        at: Place | None,
        on: date,
        hours: Decimal,
        stage: str,
        condition: Condition,
        *,
        rotation_id: int | None = None,
        set_gap: bool = False,
    ) -> Verdict:
        """Write down a look at a plug; what becomes of it by the trade's own judgement."""
        if set_gap:
            plug.gap_in = self._set_gap()
        seen = self._seen(plug, condition)
        verdict = decided(seen, self.plug_type, says=self.says).value.verdict
        self.build.add(
            "plug_check", plug_id=plug.plug_id, assembly_id=self.assembly_id if at else None,
            place=str(at) if at else "", looked_on=on, engine_hours=hours, stage=stage,
            conditions=[each.value for each in seen.conditions], damage=[], dropped=False,
            gaps_in=list(seen.gaps_in), set_gap_in=seen.gaps_in[0] if set_gap else None,
            electrode_in=seen.electrode_in, oval_in=None, resistance_ohm=seen.resistance_ohm,
            sparks_under_pressure=True if stage == AFTER else None, verdict=verdict.value,
            overruled_because="", rotation_id=rotation_id, note="",
        )  # fmt: skip
        return verdict

    def _seen(self, plug: Plug, condition: Condition) -> PlugSeen:
        measures_ohm = self.plug_type.resistance_limit_ohm is not None
        off = self.draw.choice((-0.0003, 0.0, 0.0003))
        return PlugSeen(
            conditions=(condition,),
            gaps_in=(round(plug.gap_in, 4),),
            electrode_in=round(plug.electrode_in + off, 4),
            resistance_ohm=float(self.draw.randrange(900, 2900, 50)) if measures_ohm else None,
        )
