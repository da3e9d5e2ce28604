"""The engines of a package: their types for its cards, and the plugs that had better be bought for it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.library.shelf import Library
from annual_planner.planning.package_view import PartNeed
from annual_planner.store.plug_reads import engine_places
from annual_planner.store.rows import CardLine
from annual_planner.store.session import Work
from annual_planner.trade.engines import EngineType, Place

if TYPE_CHECKING:
    from annual_planner.planning.engine_view import EngineView

FITTING = "install_plugs"
"""The card on which plugs go in."""


def engine_types(work: Work, aircraft_id: int, library: Library) -> dict[int, EngineType]:
    """The types of an airplane's engines by position; one whose type isn't set or known is left out."""
    known = {each.key: each for each in library.engines}
    return {
        each.position: known[each.type_key]
        for each in engine_places(work, aircraft_id)
        if each.type_key in known
    }


def engine_views(work: Work, aircraft_id: int, library: Library, today: date) -> tuple[EngineView, ...]:
    """The plugs and cylinders of every engine whose type is known, by position."""
    positions = sorted(engine_types(work, aircraft_id, library))
    if not positions:
        return ()
    from annual_planner.planning.engines import read_engine

    return tuple(read_engine(work, aircraft_id, position, library, today) for position in positions)


def plugs_to_buy(engines: Iterable[EngineView], cards: Iterable[CardLine]) -> tuple[PartNeed, ...]:
    """Plugs in place of those that are rejected, worn out or won't reach the next annual, with the reasons.

    Plugs in doubt are named but not counted: the look at them decides.
    """
    fitting = {card.key: card.number for card in cards if card.key.split("#")[0] == FITTING}
    return tuple(need for view in engines for need in _of_engine(view, fitting))


def _of_engine(view: EngineView, fitting: dict[str, int]) -> list[PartNeed]:
    whose = f", engine {view.position}" if len(view.positions) > 1 else ""
    number = fitting.get(f"{FITTING}#{view.position}") if whose else fitting.get(FITTING)
    kinds: dict[str, list[tuple[Place, str]]] = defaultdict(list)
    for at, why in reasons(view).items():
        kinds[_kind_for(view, at)].append((at, why))
    return [
        PartNeed(
            f"Spark plug {kind}{whose}",
            Decimal(len(places)),
            "each",
            False,
            () if number is None else (number,),
            _said(places, view),
        )
        for kind, places in sorted(kinds.items())
    ]


def reasons(view: EngineView) -> dict[Place, str]:
    """Why a plug is replaced, by the place it came out of; plugs that go on aren't there."""
    from annual_planner.trade.plug_set import Reach

    found: dict[Place, str] = {}
    for seat in view.places:
        slot = view.tray.slot(seat.place) if view.tray else None
        if slot and slot.rejected:
            found[seat.place] = "rejected at the look"
        elif seat.reach in (Reach.WORN, Reach.SHORT):
            found[seat.place] = str(seat.reach)
    return found


def _kind_for(view: EngineView, at: Place) -> str:
    """The type to buy: the same again where its next place takes it, else what that place takes."""
    slot = view.tray.slot(at) if view.tray else None
    plug = slot.plug if slot else view.at(at).plug
    taken = view.engine_type.plug_types_at(view.scheme.value.next_place(at))
    if plug and plug.plug_type and plug.plug_type.key in {each.key for each in taken}:
        return plug.plug_type.title
    return " or ".join(each.title for each in taken)


def _said(places: list[tuple[Place, str]], view: EngineView) -> str:
    from annual_planner.trade.plug_set import Reach

    by_reason: dict[str, list[str]] = defaultdict(list)
    for at, why in places:
        by_reason[why].append(str(at))
    said = [f"{', '.join(named)}: {why}" for why, named in by_reason.items()]
    doubtful = [str(each.place) for each in view.places if each.reach is Reach.DOUBT]
    if doubtful:
        said.append(f"in doubt, not counted: {', '.join(doubtful)}")
    return "; ".join(said)
