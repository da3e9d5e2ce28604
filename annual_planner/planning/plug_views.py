"""Plugs as a reader sees them: their looks judged, their hours counted, their wear foreseen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from annual_planner.library.shelf import Library
from annual_planner.planning.engine_view import LookView, PlugView
from annual_planner.store.plug_rows import CheckLine, EngineHistory, PlugLine, StayLine
from annual_planner.trade.plug_check import Decision, PlugSeen, decided
from annual_planner.trade.plug_life import Look, Stay, hours_at, hours_run, looks_for_wear
from annual_planner.trade.plugs import Condition, Damage, PlugType, Verdict
from annual_planner.trade.refused import Refused
from annual_planner.trade.wear import PlugWear, plug_wear, wear_limits
from annual_planner.trade.working import Worked


@dataclass(frozen=True, slots=True)
class Bench:
    """What is needed to look at the plugs of one engine: its hours now, its history, the library."""

    assembly_id: int
    engine_hours: Decimal | None
    library: Library
    stays: Mapping[int, list[StayLine]]
    checks: Mapping[int, list[CheckLine]]

    def plug(self, line: PlugLine, *, forecast: bool = True) -> PlugView:
        """One plug with all that is known of it; without `forecast` its wear is left out."""
        stays = self.stays.get(line.plug_id, [])
        life = [as_stay(stay) for stay in stays]
        known = plug_type_of(self.library, line.type_key)
        looks = [self._look(each, line, life, known) for each in self.checks.get(line.plug_id, [])]
        now = self._hours_now(stays)
        run = hours_run(line.hours_before, life, now)
        gap = next((each for each in reversed(looks) if _left_at(each.line) is not None), None)
        wear = wear_of(line, life, looks, known) if forecast and known is not None else None
        return PlugView(
            line=line,
            plug_type=known,
            run_hours=run,
            looks=tuple(reversed(looks)),
            stays=tuple(reversed(stays)),
            last_gap_in=_left_at(gap.line) if gap else None,
            last_gap_on=gap.line.looked_on if gap else None,
            hours_since_set=_since_set(looks, run),
            wear=wear,
        )

    def _hours_now(self, stays: Sequence[StayLine]) -> Decimal | None:
        """Hours now of the engine the plug sits in; those of another engine aren't asked for here."""
        sits = next((stay for stay in stays if stay.removed_on is None), None)
        if sits is None or sits.assembly_id != self.assembly_id or self.engine_hours is None:
            return None
        return max(self.engine_hours, sits.engine_hours_at_fitting)

    def _look(
        self, check: CheckLine, plug: PlugLine, life: Sequence[Stay], known: PlugType | None
    ) -> LookView:
        seen = seen_of(check)
        return LookView(
            line=check,
            life_hours=hours_at(plug.hours_before, life, check.looked_on, check.engine_hours),
            seen=seen,
            decision=_decision(seen, known, self.library),
            verdict=Verdict(check.verdict),
        )


def bench_of(
    history: EngineHistory, assembly_id: int, engine_hours: Decimal | None, library: Library
) -> Bench:
    """The bench on which the plugs of a history are looked at."""
    stays: dict[int, list[StayLine]] = {}
    checks: dict[int, list[CheckLine]] = {}
    for stay in history.stays:
        stays.setdefault(stay.plug_id, []).append(stay)
    for check in history.checks:
        checks.setdefault(check.plug_id, []).append(check)
    return Bench(assembly_id, engine_hours, library, stays, checks)


def as_stay(line: StayLine) -> Stay:
    """A stay as the trade counts its hours."""
    return Stay(
        line.place,
        line.fitted_on,
        line.engine_hours_at_fitting,
        line.removed_on,
        line.engine_hours_at_removal,
    )


def plug_type_of(library: Library, key: str) -> PlugType | None:
    """The plug type of that key; None where the library doesn't have it."""
    return next((each for each in library.plug_types if each.key == key), None)


def seen_of(check: CheckLine) -> PlugSeen:
    """What was seen and measured at a look, as the trade takes it."""
    oval = check.oval_in
    return PlugSeen(
        conditions=tuple(Condition(each) for each in check.conditions),
        dropped=check.dropped,
        damage=tuple(Damage(each) for each in check.damage),
        gaps_in=check.gaps_in,
        electrode_in=check.electrode_in,
        oval_in=(oval[0], oval[1]) if oval else None,
        resistance_ohm=check.resistance_ohm,
        sparks_under_pressure=check.sparks_under_pressure,
    )


def _decision(seen: PlugSeen, known: PlugType | None, library: Library) -> Worked[Decision] | None:
    """What the look says; None where the type isn't known or what was read in can't be for it."""
    if known is None:
        return None
    try:
        return decided(seen, known, says=library.conditions_say())
    except Refused:
        return None


def wear_of(
    plug: PlugLine, life: Sequence[Stay], looks: Sequence[LookView], known: PlugType
) -> Worked[PlugWear]:
    """Where the wear of one plug is heading."""
    return plug_wear(
        plug.tag,
        looks_for_wear(plug.hours_before, life, [_as_look(each.line) for each in looks]),
        wear_limits(known),
    )


def _as_look(check: CheckLine) -> Look:
    together = (check.rotation_id, "") if check.rotation_id is not None else (check.looked_on, check.place)
    return Look(
        on=check.looked_on,
        engine_hours=check.engine_hours,
        place=check.place,
        together=together,
        gap_in=max(check.gaps_in, default=None),
        set_gap_in=check.set_gap_in,
        electrode_in=check.electrode_in,
    )


def _left_at(check: CheckLine) -> float | None:
    """The gap a plug was left with after a look."""
    return check.set_gap_in if check.set_gap_in is not None else max(check.gaps_in, default=None)


def _since_set(looks: Sequence[LookView], run: Decimal | None) -> Decimal | None:
    """Hours since the gap was last set; all of them where it never was."""
    last = next((each for each in reversed(looks) if each.line.set_gap_in is not None), None)
    at = Decimal(0) if last is None else last.life_hours
    return None if run is None or at is None else run - at


def newest(looks: Sequence[LookView], rotation_id: int, stage: str) -> LookView | None:
    """The newest look of a stage within one rotation, of looks newest first."""
    return next(
        (each for each in looks if each.line.rotation_id == rotation_id and each.line.stage == stage), None
    )
