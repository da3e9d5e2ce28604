"""What is planned to go into each place: the scheme's plug, or another one with a reason."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from annual_planner.planning.engine_view import EngineView, PlugView, TrayView
from annual_planner.records.planned_places import Planned, planned_of
from annual_planner.trade.engines import Place
from annual_planner.trade.refused import Refused

Choices = Mapping[Place, Planned]
GOING_IN, IN_TRAY = "going in", "in the tray"
"""When plugs change places."""


@dataclass(frozen=True, slots=True)
class Going:
    """One line of the list: the place, the plug that goes there and where that plug came from."""

    place: Place
    came_from: Place | None
    plug: PlugView | None
    new_type_key: str
    new_tag: str
    why: str
    by_scheme: Place
    """The place whose plug the scheme sends here."""
    rejected: bool
    """The plug that the scheme sends here is rejected."""

    @property
    def departs(self) -> bool:
        """Another plug than the scheme's, although that one is fit."""
        return not self.rejected and self.came_from != self.by_scheme

    @property
    def is_open(self) -> bool:
        """Nobody said yet what goes here."""
        return self.plug is None and not self.new_tag

    @property
    def said(self) -> str:
        """What goes in, in words."""
        if self.plug is not None:
            return self.plug.tag
        return f"new: {self.new_tag}" if self.new_tag else ""


def lines_of(view: EngineView, moves: Mapping[Place, Place]) -> tuple[Going, ...]:
    """What would go into each place by a scheme, were the plugs taken out today."""
    back = {new: old for old, new in moves.items()}
    return tuple(
        Going(at, back[at], view.at(back[at]).plug, "", "", "", back[at], rejected=False)
        for at in view.engine_type.places
    )


class Plan:
    """The departures from the scheme that are kept with the open tray."""

    def __init__(self) -> None:
        self.choices: dict[Place, Planned] = {}

    def follow(self, tray: TrayView | None) -> None:
        """Take what is kept with this tray."""
        self.choices = planned_of(tray.line.planned) if tray is not None else {}

    def lines(self, view: EngineView) -> tuple[Going, ...]:
        """What goes into each place whose plug is out, in the order of the places."""
        back = {new: old for old, new in view.scheme.value.scheme.moves.items()}
        tray = view.tray
        out = {slot.place for slot in tray.slots} if tray is not None else set()
        return tuple(self._line(view, at, back[at]) for at in view.engine_type.places if at in out)

    def _line(self, view: EngineView, at: Place, by_scheme: Place) -> Going:
        assert view.tray is not None, "plugs are out"
        slot = view.tray.slot(by_scheme)
        rejected = slot is None or slot.rejected
        choice = self.choices.get(at)
        if choice is None and not rejected and slot is not None:
            return Going(at, by_scheme, slot.plug, "", "", "", by_scheme, rejected)
        choice = choice or Planned()
        plugs = {each.plug.plug_id: (each.plug, each.place) for each in view.tray.slots}
        spares: dict[int, tuple[PlugView, Place | None]] = {
            each.plug_id: (each, None) for each in view.spares
        }
        plug, came = {**spares, **plugs}.get(choice.plug_id or 0, (None, None))
        return Going(at, came, plug, choice.new_type_key, choice.new_tag, choice.why, by_scheme, rejected)

    def swapped(self, view: EngineView, first: Place, second: Place, why: str) -> Choices:
        """The choices once the plugs planned for two places change places. Refused where one has none yet."""
        planned = {line.place: line for line in self.lines(view)}
        for at in (first, second):
            if at not in planned or planned[at].is_open:
                raise Refused(f"Nothing goes into {at} yet.", "Choose a plug for it first.")
        choices = dict(self.choices)
        for at, other in ((first, planned[second]), (second, planned[first])):
            plug_id = other.plug.plug_id if other.plug is not None else None
            choices[at] = Planned(plug_id, other.new_type_key, other.new_tag, why)
        return _tidy(view, choices)

    def chosen(self, view: EngineView, at: Place, choice: Planned) -> Choices:
        """The choices once another plug goes there; one that was planned elsewhere leaves a gap there."""
        choices = dict(self.choices)
        for line in self.lines(view):
            if choice.plug_id and line.plug is not None and line.plug.plug_id == choice.plug_id:
                choices[line.place] = Planned()
        choices[at] = choice
        return _tidy(view, choices)

    def by_scheme(self, view: EngineView, at: Place) -> Choices:
        """The choices without that of a place."""
        return _tidy(view, {other: choice for other, choice in self.choices.items() if other != at})

    def moves(self, view: EngineView) -> Mapping[Place, Place]:
        """Old place to new place of every plug that goes back."""
        return {line.came_from: line.place for line in self.lines(view) if line.came_from is not None}


def _tidy(view: EngineView, choices: Choices) -> Choices:
    """The choices without those that are the scheme's own: they are no departures."""
    assert view.tray is not None, "plugs are out"
    back = {new: old for old, new in view.scheme.value.scheme.moves.items()}

    def departs(at: Place, choice: Planned) -> bool:
        assert view.tray is not None
        slot = view.tray.slot(back[at])
        return slot is None or slot.rejected or slot.plug.plug_id != choice.plug_id

    return {at: choice for at, choice in choices.items() if departs(at, choice)}
