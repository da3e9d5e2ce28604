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


@dataclass(frozen=True, slots=True)
class Plan:
    """What goes into the places whose plugs lie in the open tray of an engine, as the tray keeps it."""

    view: EngineView

    @property
    def tray(self) -> TrayView:
        """The open tray. Plugs are out, or there is nothing to plan."""
        assert self.view.tray is not None, "plugs are out"
        return self.view.tray

    @property
    def choices(self) -> Choices:
        """The departures from the scheme that the tray keeps."""
        return planned_of(self.tray.line.planned)

    @property
    def _back(self) -> Mapping[Place, Place]:
        """New place to old place by the scheme."""
        return {new: old for old, new in self.view.scheme.value.scheme.moves.items()}

    def lines(self) -> tuple[Going, ...]:
        """What goes into each place whose plug is out, in the order of the places."""
        if self.view.tray is None:
            return ()
        out, back, choices = {slot.place for slot in self.tray.slots}, self._back, self.choices
        return tuple(
            self._line(at, back[at], choices.get(at)) for at in self.view.engine_type.places if at in out
        )

    def _line(self, at: Place, by_scheme: Place, choice: Planned | None) -> Going:
        slot = self.tray.slot(by_scheme)
        rejected = slot is None or slot.rejected
        if choice is None and not rejected and slot is not None:
            return Going(at, by_scheme, slot.plug, "", "", "", by_scheme, rejected)
        choice = choice or Planned()
        plugs = {each.plug.plug_id: (each.plug, each.place) for each in self.tray.slots}
        spares: dict[int, tuple[PlugView, Place | None]] = {
            each.plug_id: (each, None) for each in self.view.spares
        }
        plug, came = {**spares, **plugs}.get(choice.plug_id or 0, (None, None))
        return Going(at, came, plug, choice.new_type_key, choice.new_tag, choice.why, by_scheme, rejected)

    def swapped(self, first: Place, second: Place, why: str) -> Choices:
        """The choices once the plugs planned for two places change places. Refused where one has none yet."""
        planned = {line.place: line for line in self.lines()}
        for at in (first, second):
            if at not in planned or planned[at].is_open:
                raise Refused(f"Nothing goes into {at} yet.", "Choose a plug for it first.")
        choices = dict(self.choices)
        for at, other in ((first, planned[second]), (second, planned[first])):
            plug_id = other.plug.plug_id if other.plug is not None else None
            choices[at] = Planned(plug_id, other.new_type_key, other.new_tag, why)
        return self._tidy(choices)

    def chosen(self, at: Place, choice: Planned) -> Choices:
        """The choices once another plug goes there; one that was planned elsewhere leaves a gap there."""
        choices = dict(self.choices)
        for line in self.lines():
            if choice.plug_id and line.plug is not None and line.plug.plug_id == choice.plug_id:
                choices[line.place] = Planned()
        choices[at] = choice
        return self._tidy(choices)

    def by_scheme(self, at: Place) -> Choices:
        """The choices without that of a place."""
        return self._tidy({other: choice for other, choice in self.choices.items() if other != at})

    def moves(self) -> Mapping[Place, Place]:
        """Old place to new place of every plug that goes back."""
        return {line.came_from: line.place for line in self.lines() if line.came_from is not None}

    def _tidy(self, choices: Choices) -> Choices:
        """The choices without those that are the scheme's own: they are no departures."""
        back = self._back

        def departs(at: Place, choice: Planned) -> bool:
            slot = self.tray.slot(back[at])
            return slot is None or slot.rejected or slot.plug.plug_id != choice.plug_id

        return {at: choice for at, choice in choices.items() if departs(at, choice)}
