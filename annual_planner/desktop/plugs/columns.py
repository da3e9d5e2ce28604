"""The tables beside the drawings: what is drawn, in columns."""

from __future__ import annotations

from decimal import Decimal

from annual_planner.desktop.column_room import LAST_RESORT
from annual_planner.desktop.columns import Column, day_text, hours_text
from annual_planner.desktop.plugs.as_marks import REACHES, last_look, slot_gap
from annual_planner.desktop.plugs.going_in import Going
from annual_planner.desktop.plugs.marks import EMPTY, OUT, gap_text, verdict_word
from annual_planner.planning.engine_view import LookView, PlaceView, TraySlot
from annual_planner.trade.engines import Place


def in_order(at: Place) -> tuple[int, str]:
    """Places sort by number, then by row."""
    return at.cylinder, {"T": "0", "F": "0"}.get(at.row.value, "1")


def whole_hours(hours: Decimal | None) -> str:
    """Hours without tenths; nothing for not known."""
    return "" if hours is None else f"{hours:.0f}"


def _place_word(row: PlaceView) -> str:
    if row.plug is None:
        return EMPTY
    if row.stay is None:
        return OUT
    return REACHES[row.reach] if row.reach is not None else ""


PLACES: tuple[Column[PlaceView], ...] = (
    Column("place", "Place", lambda row: str(row.place), "place", 6, by=lambda row: in_order(row.place)),
    Column("plug", "Plug", lambda row: row.plug.tag if row.plug else "", "plug", 10),
    Column(
        "gap",
        "Gap (in)",
        lambda row: gap_text(row.plug.last_gap_in) if row.plug else "",
        "gap",
        8,
        right=True,
        by=lambda row: (row.plug.last_gap_in or 0) if row.plug else 0,
        aside=LAST_RESORT,
    ),
    Column("word", "Standing", _place_word, "word", 15, sign=_place_word, aside=LAST_RESORT + 1),
    Column(
        "run",
        "Run (h)",
        lambda row: whole_hours(row.plug.run_hours) if row.plug else "",
        "run",
        9,
        right=True,
        by=lambda row: (row.plug.run_hours or Decimal(0)) if row.plug else Decimal(0),
        aside=6,
    ),
    Column("here", "Here (h)", lambda row: whole_hours(row.hours_here), "here", 9, right=True, aside=4),
    Column(
        "next",
        "Next",
        lambda row: str(row.next_place),
        "next",
        6,
        by=lambda row: in_order(row.next_place),
        aside=5,
    ),
    Column("magneto", "Magneto", lambda row: row.magneto.value, "magneto", 9, aside=3),
    Column("polarity", "Polarity", lambda row: row.polarity.value, "polarity", 12, aside=2),
    Column("type", "Type", lambda row: row.plug.type_title if row.plug else "", "type", 24, aside=1),
)


def gasket_word(slot: TraySlot) -> str:
    """Whether its gasket came out with a plug."""
    return {True: "out", False: "missing", None: "not asked"}[slot.gasket_out]


def _looks(slot: TraySlot) -> str:
    look = last_look(slot)
    return ", ".join((*look.line.conditions, *look.line.damage)) if look is not None else ""


def _wear(slot: TraySlot) -> str:
    look = last_look(slot)
    if look is None:
        return ""
    if look.line.oval_in is not None:
        return " x ".join(f"{each:.3f}" for each in look.line.oval_in)
    return "" if look.line.electrode_in is None else f"{look.line.electrode_in:.3f}"


def _stage(slot: TraySlot) -> str:
    look = last_look(slot)
    return look.line.stage if look is not None else ""


SLOTS: tuple[Column[TraySlot], ...] = (
    Column("place", "From", lambda row: str(row.place), "place", 6, by=lambda row: in_order(row.place)),
    Column("plug", "Plug", lambda row: row.plug.tag, "plug", 10),
    Column("gap", "Gap (in)", lambda row: gap_text(slot_gap(row)), "gap", 8, right=True, aside=LAST_RESORT),
    Column("looks", "Looks", _looks, "looks", 16, aside=4),
    Column("wear", "Electrode (in)", _wear, "wear", 13, right=True, aside=3),
    Column(
        "word",
        "Decision",
        lambda row: verdict_word(row.verdict),
        "word",
        13,
        sign=lambda row: verdict_word(row.verdict),
        aside=LAST_RESORT + 1,
    ),
    Column("stage", "Looked at", _stage, "stage", 15, aside=2),
    Column("gasket", "Gasket", gasket_word, "gasket", 10, aside=5),
    Column("next", "Goes to", lambda row: str(row.next_place or "not back"), "next", 9, aside=6),
    Column("type", "Type", lambda row: row.plug.type_title, "type", 24, aside=1),
)


def _going_word(row: Going) -> str:
    if row.plug is None and row.came_from is not None:
        return EMPTY
    if row.is_open:
        return "to choose"
    if row.departs:
        return "departs"
    return "new" if row.came_from is None else "by the rotation"


MOVES: tuple[Column[Going], ...] = (
    Column("old", "From", lambda row: str(row.came_from or "new"), "old", 7),
    Column("place", "To", lambda row: str(row.place), "place", 6, by=lambda row: in_order(row.place)),
    Column("plug", "Plug", lambda row: row.said, "plug", 14, aside=LAST_RESORT),
    Column(
        "word",
        "Why",
        lambda row: f"{_going_word(row)}: {row.why}" if row.why else _going_word(row),
        "word",
        26,
        sign=_going_word,
    ),
)


SHOWN_LOOKS = 4


def _was_set(look: LookView) -> bool:
    """The gap was set to another size than it was found with."""
    return look.line.set_gap_in not in (None, look.largest_gap_in)


def life_lines(row: PlaceView) -> list[str]:
    """The last looks at a plug, newest first, each in one line."""
    if row.plug is None:
        return []
    return [
        " · ".join(
            text
            for text in (
                day_text(look.line.looked_on),
                f"{hours_text(look.line.engine_hours)} h" if look.line.engine_hours is not None else "",
                f"gap {gap_text(look.largest_gap_in)} in" if look.largest_gap_in is not None else "",
                f"set to {gap_text(look.line.set_gap_in)} in" if _was_set(look) else "",
                look.line.stage,
                ", ".join(look.line.conditions),
                look.verdict.value,
            )
            if text
        )
        for look in row.plug.looks[:SHOWN_LOOKS]
    ]
