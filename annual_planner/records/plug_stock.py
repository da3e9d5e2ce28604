"""Plugs bought and scrapped, and the type of an engine they go into."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.engine_hours import check_day
from annual_planner.records.plug_shelf import PlugShelf, shelf_or_shipped
from annual_planner.records.row_edits import AddRow, ChangeRow, Several, Subject, Together
from annual_planner.store.plug_facts import (
    fitted_engine,
    has_tag,
    last_removed,
    open_stays,
    where_fitted,
)
from annual_planner.store.writing import values_of
from annual_planner.trade.engines import place
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work

NEW = Decimal(0)
"""Hours a new plug has run."""
LONGEST_TAG = 40
"""Letters of a serial or tag; more don't fit on a compartment of the tray."""


@dataclass(frozen=True, slots=True)
class SetEngineType:
    """Say of which type of the library an engine is; empty takes it back."""

    assembly_id: int
    saw: str
    wants: str
    library: PlugShelf | None = field(default=None, repr=False, compare=False)

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "type of an engine"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down. Raises Refused for an unknown type, and where plugs sit in places it lacks."""
        engine = fitted_engine(work, self.assembly_id)
        if self.wants:
            wanted = shelf_or_shipped(self.library).engine(self.wants)
            for at in open_stays(work, self.assembly_id):
                wanted.checked(place(at))
        of = Subject("aircraft", self.says, engine.aircraft_id)
        row = ChangeRow(
            Subject("plug", self.says, engine.aircraft_id),
            "assembly",
            self.assembly_id,
            {"type_key": self.saw},
            {"type_key": self.wants},
        )
        return Several(of, (row,)).apply(work, today)


@dataclass(frozen=True, slots=True)
class AddPlugs:
    """Put plugs into the drawer, each with its serial or the tag the shop gives it.

    `hours_before`: hours they have run already; None where not known.
    """

    type_key: str
    tags: tuple[str, ...]
    bought_on: date | None = None
    hours_before: Decimal | None = NEW
    note: str = ""
    library: PlugShelf | None = field(default=None, repr=False, compare=False)

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "plug" if len(self.tags) == 1 else f"{len(self.tags)} plugs"

    def apply(self, work: Work, today: date) -> Changed:
        """Write them down. Raises Refused for an unknown type, and tags empty, twice or known already."""
        shelf_or_shipped(self.library).plug_type(self.type_key)
        if not self.tags:
            raise Refused("No plug was named.", "Give each its serial or a tag of the shop's own.")
        if self.bought_on is not None:
            check_day(self.bought_on, today)
        if self.hours_before is not None and self.hours_before < 0:
            raise Refused(f"A plug can't have run {self.hours_before} h.", "Give 0 or more, or leave it.")
        twice = [tag for tag, count in Counter(each.strip() for each in self.tags).items() if count > 1]
        if twice:
            raise Refused(f"The tag {twice[0]} stands there twice.", "Give each plug a tag of its own.")
        for tag in self.tags:
            check_tag(work, tag)
        together = Together(work, Subject("plug", self.says))
        made = [together.write(AddRow(together.of, "spark_plug", self._values(tag))) for tag in self.tags]
        return together.settled(today, made_id=made[0])

    def _values(self, tag: str) -> dict[str, object]:
        values = new_plug(self.type_key, tag, self.bought_on)
        return {**values, "hours_before": self.hours_before, "spare": True, "note": self.note}


def new_plug(type_key: str, tag: str, bought_on: date | None) -> dict[str, object]:
    """The row of a plug that has not run yet."""
    return {
        "type_key": type_key,
        "tag": tag.strip(),
        "bought_on": bought_on,
        "hours_before": NEW,
        "scrapped_on": None,
        "spare": False,
    }


def check_tag(work: Work, tag: str) -> None:
    """Raise Refused for a tag that is empty or known already."""
    if not tag.strip():
        raise Refused("A plug has no serial or tag.", "Give it its serial, or a tag of the shop's own.")
    if len(tag.strip()) > LONGEST_TAG:
        raise Refused(
            f"A tag of {len(tag.strip())} letters is too long.", f"Use at most {LONGEST_TAG} letters."
        )
    if has_tag(work, tag.strip()):
        raise Refused(
            f"There is a plug {tag.strip()} already.", "Give it another tag, or choose that plug instead."
        )


@dataclass(frozen=True, slots=True)
class ScrapPlug:
    """Scrap a plug that is in no engine, and say why."""

    plug_id: int
    on: date
    why: str

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "scrapping of a plug"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down. Raises Refused while it sits in an engine, without a reason, or when it is done."""
        held = values_of(work, "spark_plug", self.plug_id, said="plug")
        check_day(self.on, today)
        if not self.why.strip():
            raise Refused("Scrapping a plug needs a reason.", "Say why, such as worn or dropped.")
        sits = where_fitted(work, self.plug_id)
        if sits is not None:
            raise Refused(f"Plug {sits.tag} still sits in {sits.place}.", "Take it out first.")
        if held["scrapped_on"] is not None:
            raise Refused(f"Plug {held['tag']} is scrapped already.", "Look at the list again.")
        check_day(self.on, today, not_before=last_removed(work, self.plug_id), since="it came out")
        saw = {"scrapped_on": None, "scrapped_why": held["scrapped_why"], "spare": held["spare"]}
        wants = {"scrapped_on": self.on, "scrapped_why": self.why.strip(), "spare": False}
        return ChangeRow(Subject("plug", self.says), "spark_plug", self.plug_id, saw, wants).apply(
            work, today
        )
