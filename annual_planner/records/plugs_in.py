"""Plugs put into an engine: back from the tray by the rotation, or fitted for the first time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.engine_hours import check_day, check_hours
from annual_planner.records.plug_fitting import Fitting, GoesBack, check_once
from annual_planner.records.plug_shelf import PlugShelf, shelf_or_shipped, type_of
from annual_planner.records.row_edits import ChangeRow, Subject, Together
from annual_planner.store.plug_facts import (
    LyingPlug,
    fitted_engine,
    last_verdict,
    latest_known_hours,
    lying_plugs,
    open_rotation,
    open_stays,
    rotation_line,
    where_fitted,
)
from annual_planner.store.plug_rows import RotationLine
from annual_planner.trade.engines import EngineType, Place, place
from annual_planner.trade.plugs import Verdict
from annual_planner.trade.refused import Refused
from annual_planner.trade.rotation import schemes, stepping
from annual_planner.trade.rotation_search import proposed

if TYPE_CHECKING:
    from annual_planner.store.session import Work

BACK_WHERE_THEY_WERE = "put back where it was"


@dataclass(frozen=True, slots=True)
class PutPlugsIn:
    """Put plugs into the places a rotation emptied; once all are filled the rotation is done.

    `new_gaskets`: how many new ones were used, one for each plug.
    """

    rotation_id: int
    on: date
    goes: tuple[GoesBack, ...]
    new_gaskets: int | None
    library: PlugShelf | None = field(default=None, repr=False, compare=False)

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"plug into {self.goes[0].place}" if len(self.goes) == 1 else f"{len(self.goes)} plugs in"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down.

        Raises Refused for a place unknown or holding a plug, a plug that is elsewhere, scrapped, dropped or
        rejected, or that the place doesn't take; for gaskets missing, named by their place; and for a
        departure from the rotation without its reason.
        """
        line = rotation_line(work, self.rotation_id)
        engine = fitted_engine(work, line.assembly_id)
        together = Together(work, Subject("plug", self.says, engine.aircraft_id))
        kind = type_of(engine, self.library)
        lying = lying_plugs(work, self.rotation_id)
        self._check(line, lying, today)
        fitting = Fitting(work, together, kind, shelf_or_shipped(self.library), line.assembly_id)
        departs = _departures(work, kind, line, lying, self.goes)
        for goes in self.goes:
            at = fitting.checked(goes)
            fitting.fit(goes, at, self.on, line.engine_hours, self.rotation_id, departs.get(at, ""))
        self._close(work, together, line, lying, departs)
        return together.settled(today, made_id=self.rotation_id)

    def _check(self, line: RotationLine, lying: Sequence[LyingPlug], today: date) -> None:
        if line.state != "out":
            raise Refused("These plugs are back in the engine.", "Take them out first.")
        check_day(self.on, today, not_before=line.rotated_on, since="the plugs came out")
        if not self.goes:
            raise Refused("Nothing goes in.", "Say which plug goes into which place.")
        check_once(self.goes)
        _check_gaskets(lying)
        _check_new_gaskets(self.new_gaskets, self.goes)

    def _close(
        self,
        work: Work,
        together: Together,
        line: RotationLine,
        lying: Sequence[LyingPlug],
        departs: Mapping[str, str],
    ) -> None:
        emptied = {each.place for each in lying}
        filled = {at for at in open_stays(work, line.assembly_id) if at in emptied}
        done = filled == emptied
        wants: dict[str, object] = {
            "state": "in" if done else "out",
            "departures": {**line.departures, **departs},
            "new_gaskets": (line.new_gaskets or 0) + (self.new_gaskets or 0),
        }
        saw: dict[str, object] = {
            "state": "out",
            "departures": line.departures,
            "new_gaskets": line.new_gaskets,
        }
        together.write(ChangeRow(together.of, "plug_rotation", self.rotation_id, saw, wants))
        if done:
            _leave_spares(work, together, self.rotation_id)


def _leave_spares(work: Work, together: Together, rotation_id: int) -> None:
    """Plugs that stay out and weren't rejected go into the drawer."""
    for each in lying_plugs(work, rotation_id):
        left = not (each.scrapped or each.back or each.spare) and where_fitted(work, each.plug_id) is None
        if left and last_verdict(work, each.plug_id)[0] != Verdict.REPLACE:
            row = ChangeRow(together.of, "spark_plug", each.plug_id, {"spare": False}, {"spare": True})
            together.write(row)


def _check_gaskets(lying: Sequence[LyingPlug]) -> None:
    """A gasket left behind sits in the hole: a second one on top of it spoils seat and heat."""
    missing = [each.place for each in lying if each.gasket_out is not True]
    if missing:
        named = ", ".join(f"cylinder {place(at).cylinder} {place(at).row.words}" for at in missing)
        raise Refused(
            f"{len(lying)} plugs came out and {len(lying) - len(missing)} gaskets. Missing: {named}.",
            "Look into those holes; say that the gasket is out once it is found.",
        )


def _check_new_gaskets(count: int | None, goes: Sequence[GoesBack]) -> None:
    if count == len(goes):
        return
    said = "Nobody said how many" if count is None else f"{count}"
    raise Refused(
        f"{said} new gaskets for {len(goes)} plugs: which cylinder has none, or two?",
        "Each plug goes in on one new gasket; count again.",
    )


def _departures(
    work: Work, kind: EngineType, line: RotationLine, lying: Sequence[LyingPlug], goes: Sequence[GoesBack]
) -> dict[str, str]:
    """Why places get another plug than the rotation gives. Raises Refused where no reason is given."""
    moves = _moves(kind, line.scheme_key)
    expected = {str(new): _from(lying, old) for old, new in moves.items()} if moves else {}
    departs = {}
    for each in goes:
        at = str(kind.checked(place(each.place)))
        due = expected.get(at)
        if due is None or due.plug_id == each.plug_id or _is_out_of_it(work, due):
            continue
        if not each.why.strip():
            raise Refused(
                f"The rotation sends plug {due.tag} from {due.place} to {at}.",
                "Follow it, or say why another plug goes there.",
            )
        departs[at] = each.why.strip()
    return departs


def _moves(kind: EngineType, key: str) -> Mapping[Place, Place]:
    """Where a scheme sends the plugs; nothing for one that the engine type no longer has."""
    rows = (False,) if kind.rows_differ else (True, False)
    steps = (stepping(kind, n, change_row=row) for n in range(1, kind.cylinder_count) for row in rows)
    offered = {each.key: each.moves for each in (*schemes(kind), *steps)}
    if key == "plug_by_plug":
        best = proposed(kind).value.rotation.scheme
        offered[best.key] = best.moves
    return offered.get(key, {})


def _from(lying: Sequence[LyingPlug], old: Place) -> LyingPlug | None:
    return next((each for each in lying if each.place == str(old)), None)


def _is_out_of_it(work: Work, plug: LyingPlug) -> bool:
    """A rejected plug leaves a hole that any plug may fill."""
    return plug.scrapped or last_verdict(work, plug.plug_id)[0] == Verdict.REPLACE


@dataclass(frozen=True, slots=True)
class PutBackWhereTheyWere:
    """Put every plug of the tray back into the place it came out of; rejected ones must be replaced first."""

    rotation_id: int
    on: date
    new_gaskets: int | None
    why: str = BACK_WHERE_THEY_WERE
    library: PlugShelf | None = field(default=None, repr=False, compare=False)

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "plugs back where they were"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down. Raises Refused as PutPlugsIn does."""
        lying = [each for each in lying_plugs(work, self.rotation_id) if not each.back]
        goes = tuple(GoesBack(each.place, each.plug_id, why=self.why) for each in lying)
        edit = PutPlugsIn(self.rotation_id, self.on, goes, self.new_gaskets, self.library)
        return replace(edit.apply(work, today), made_id=self.rotation_id)


@dataclass(frozen=True, slots=True)
class FitPlugs:
    """Fit plugs of the drawer into empty places, as for the first time: by place, the plug's id."""

    assembly_id: int
    on: date
    engine_hours: Decimal
    plugs: Mapping[str, int]
    why: str = ""
    library: PlugShelf | None = field(default=None, repr=False, compare=False)

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "plug fitted" if len(self.plugs) == 1 else f"{len(self.plugs)} plugs fitted"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down. Raises Refused as PutPlugsIn does, and where a place waits for the tray's plugs."""
        engine = fitted_engine(work, self.assembly_id)
        together = Together(work, Subject("plug", self.says, engine.aircraft_id))
        kind = type_of(engine, self.library)
        check_day(self.on, today)
        known = latest_known_hours(work, self.assembly_id, self.on)
        check_hours(engine, self.engine_hours, self.on, at_least=known)
        goes = tuple(GoesBack(at, plug_id) for at, plug_id in self.plugs.items())
        if not goes:
            raise Refused("Nothing is fitted.", "Say which plug goes into which place.")
        check_once(goes)
        self._check_tray(work)
        fitting = Fitting(work, together, kind, shelf_or_shipped(self.library), self.assembly_id)
        for each in goes:
            fitting.fit(each, fitting.checked(each), self.on, self.engine_hours, None, self.why)
        return together.settled(today)

    def _check_tray(self, work: Work) -> None:
        lying = open_rotation(work, self.assembly_id)
        if lying is None:
            return
        emptied = {each.place for each in lying_plugs(work, lying.rotation_id)}
        waiting = sorted(emptied & {str(place(at)) for at in self.plugs})
        if waiting:
            raise Refused(
                f"{', '.join(waiting)} was emptied into the tray.", "Put plugs in from the tray's rotation."
            )
