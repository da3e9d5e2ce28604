"""What is planned to go into each place: the scheme's plug, or another one with a reason."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from annual_planner.planning.engine_view import EngineView, PlugView, TrayView
from annual_planner.trade.engines import Place
from annual_planner.trade.refused import Refused

GOING_IN, IN_TRAY = "going in", "in the tray"
"""When plugs change places."""


@dataclass(frozen=True, slots=True)
class Choice:
    """What goes into a place. One of: a plug by id, a new one by type and tag, or nothing (still open)."""

    plug_id: int | None = None
    new_type_key: str = ""
    new_tag: str = ""
    why: str = ""


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
    """The departures from the scheme that were chosen while the plugs are out."""

    def __init__(self) -> None:
        self.rotation_id: int | None = None
        self.choices: dict[Place, Choice] = {}

    def follow(self, tray: TrayView | None) -> None:
        """Forget the choices of another tray."""
        rotation_id = tray.rotation_id if tray is not None else None
        if rotation_id != self.rotation_id:
            self.rotation_id, self.choices = rotation_id, {}

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
        choice = choice or Choice()
        plugs = {each.plug.plug_id: (each.plug, each.place) for each in view.tray.slots}
        spares: dict[int, tuple[PlugView, Place | None]] = {
            each.plug_id: (each, None) for each in view.spares
        }
        plug, came = {**spares, **plugs}.get(choice.plug_id or 0, (None, None))
        return Going(at, came, plug, choice.new_type_key, choice.new_tag, choice.why, by_scheme, rejected)

    def swap(self, view: EngineView, first: Place, second: Place, why: str) -> None:
        """Let the plugs planned for two places change places. Refused where one of them has none yet."""
        planned = {line.place: line for line in self.lines(view)}
        for at in (first, second):
            if at not in planned or planned[at].is_open:
                raise Refused(f"Nothing goes into {at} yet.", "Choose a plug for it first.")
        for at, other in ((first, planned[second]), (second, planned[first])):
            plug_id = other.plug.plug_id if other.plug is not None else None
            self.choices[at] = Choice(plug_id, other.new_type_key, other.new_tag, why)
        self._tidy(view)

    def choose(self, view: EngineView, at: Place, choice: Choice) -> None:
        """Let another plug go there; one that was planned elsewhere leaves a gap there."""
        for line in self.lines(view):
            if choice.plug_id and line.plug is not None and line.plug.plug_id == choice.plug_id:
                self.choices[line.place] = Choice()
        self.choices[at] = choice
        self._tidy(view)

    def back_to_scheme(self, view: EngineView, at: Place) -> None:
        """Forget the choice for a place."""
        self.choices.pop(at, None)
        self._tidy(view)

    def _tidy(self, view: EngineView) -> None:
        """A choice that is the scheme's own is no departure."""
        assert view.tray is not None, "plugs are out"
        back = {new: old for old, new in view.scheme.value.scheme.moves.items()}
        for at, choice in list(self.choices.items()):
            slot = view.tray.slot(back[at])
            if slot is not None and not slot.rejected and slot.plug.plug_id == choice.plug_id:
                del self.choices[at]

    def moves(self, view: EngineView) -> Mapping[Place, Place]:
        """Old place to new place of every plug that goes back."""
        return {line.came_from: line.place for line in self.lines(view) if line.came_from is not None}
