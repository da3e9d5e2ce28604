"""Fitting plugs into the places of one engine, within a greater edit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.records.plug_shelf import PlugShelf
from annual_planner.records.plug_stock import check_tag, new_plug
from annual_planner.records.row_edits import AddRow, ChangeRow, Together
from annual_planner.store.plug_facts import fitted_engine, last_verdict, open_stays, where_fitted
from annual_planner.store.writing import values_of
from annual_planner.trade.engines import EngineType, place
from annual_planner.trade.plugs import Verdict
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class GoesBack:
    """What goes into a place: a plug by its id, or a new one by its type and tag.

    `why`: needed where the rotation would send another plug there.
    """

    place: str
    plug_id: int | None = None
    new_type_key: str = ""
    new_tag: str = ""
    why: str = ""


def check_once(goes: Sequence[GoesBack]) -> None:
    """Raise Refused where two plugs would go into one place, or one plug into two."""
    places = [at for at, count in Counter(str(place(each.place)) for each in goes).items() if count > 1]
    if places:
        raise Refused(f"Two plugs would go into {places[0]}.", "Give each place one plug.")
    ids = Counter(each.plug_id for each in goes if each.plug_id is not None)
    twice = next((each for each, count in ids.items() if count > 1), None)
    if twice is not None:
        both = [each.place for each in goes if each.plug_id == twice]
        raise Refused(f"One plug would go into {' and '.join(both)}.", "Give each place a plug of its own.")


@dataclass(frozen=True, slots=True)
class Fitting:
    """Fits plugs into one engine within one edit; `fit` refuses what the place or the plug doesn't allow."""

    work: Work
    together: Together
    kind: EngineType
    shelf: PlugShelf
    assembly_id: int

    def checked(self, goes: GoesBack) -> str:
        """The place as it is written. Raises Refused where it is unknown or holds a plug."""
        at = self.kind.checked(place(goes.place))
        held = open_stays(self.work, self.assembly_id).get(str(at))
        if held is not None:
            raise Refused(f"{at} holds plug {held.tag} already.", "Take that one out first.")
        return str(at)

    def fit(
        self, goes: GoesBack, at: str, on: date, hours: Decimal, rotation_id: int | None, why: str
    ) -> None:
        """Put one plug in."""
        plug_id = self._new(goes, at, on) if goes.plug_id is None else self._known(goes.plug_id, at, on)
        stay = {
            "plug_id": plug_id,
            "assembly_id": self.assembly_id,
            "place": at,
            "fitted_on": on,
            "engine_hours_at_fitting": hours,
            "fitted_by_rotation_id": rotation_id,
            "why": why,
        }
        self.together.write(AddRow(self.together.of, "plug_stay", stay))

    def _new(self, goes: GoesBack, at: str, on: date) -> int:
        if not goes.new_type_key:
            raise Refused(f"Nothing was chosen for {at}.", "Choose a plug, or the type of a new one.")
        self._check_type(goes.new_type_key, at)
        check_tag(self.work, goes.new_tag)
        row = new_plug(goes.new_type_key, goes.new_tag, on)
        return self.together.write(AddRow(self.together.of, "spark_plug", row))

    def _known(self, plug_id: int, at: str, on: date) -> int:
        held = values_of(self.work, "spark_plug", plug_id, said="plug")
        tag = held["tag"]
        sits = where_fitted(self.work, plug_id)
        if sits is not None:
            raise Refused(
                f"Plug {tag} {_where(self.work, sits.assembly_id, sits.place)}.", "Take it out first."
            )
        if held["scrapped_on"] is not None:
            raise Refused(f"Plug {tag} was scrapped: {held['scrapped_why']}.", "Choose another one.")
        _check_fit_to_fly(self.work, plug_id, f"{tag}")
        self._check_type(f"{held['type_key']}", at)
        if held["spare"]:
            row = ChangeRow(self.together.of, "spark_plug", plug_id, {"spare": True}, {"spare": False})
            self.together.write(row)
        return plug_id

    def _check_type(self, type_key: str, at: str) -> None:
        takes = self.kind.plug_types_at(place(at))
        if type_key not in {each.key for each in takes}:
            title = self.shelf.plug_type(type_key).title
            raise Refused(
                f"{at} of {self.kind.title} doesn't take a {title}.",
                f"It takes {' or '.join(each.title for each in takes)}.",
            )


def _where(work: Work, assembly_id: int, at: str) -> str:
    return f"sits in {at} of {fitted_engine(work, assembly_id).said}"


def _check_fit_to_fly(work: Work, plug_id: int, tag: str) -> None:
    """Raise Refused for a dropped plug, which nobody can overrule, and for a rejected one."""
    verdict, dropped = last_verdict(work, plug_id)
    if dropped:
        raise Refused(
            f"Plug {tag} was dropped: it is rejected, and nobody can overrule that here.",
            "Scrap it and fit another.",
        )
    if verdict == Verdict.REPLACE:
        raise Refused(
            f"Plug {tag} was rejected at its last look.",
            "Fit another, or overrule that look with your reason first.",
        )
