"""Small forms about plugs and cylinders: out, in, another plug, gaskets, new plugs, work on a cylinder."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from annual_planner.desktop.aircraft.record_forms import Done, Leave, day_field
from annual_planner.desktop.columns import hours_text
from annual_planner.desktop.fields import ChoiceField, TextField
from annual_planner.desktop.form import Form
from annual_planner.desktop.plugs.check_typed import damage_key, looks_key
from annual_planner.desktop.plugs.facts import Facts
from annual_planner.desktop.plugs.going_in import GOING_IN, IN_TRAY, Going, Plan
from annual_planner.desktop.typed import read_count, read_decimal
from annual_planner.desktop.widgets import label
from annual_planner.planning.engine_view import EngineView, PlugView
from annual_planner.trade.engines import EngineType, Place
from annual_planner.trade.plug_check import AFTER, BEFORE

NM_PER_FT_LB = 1.3558179483
MOVED = [
    (GOING_IN, "going in: the tray keeps the old places"),
    (IN_TRAY, "in the tray: laid out as they go in"),
]


def hours_field(hours: Decimal | None) -> TextField:
    """The engine's hours, filled in as they now are."""
    made = TextField(
        "engine_hours", "Engine hours", read_decimal, letters=10, needed="How many hours has the engine?"
    )
    made.put(hours_text(hours))
    return made


def type_form(engines: Sequence[EngineType], now: str, done: Done, leave: Leave) -> Form:
    """Which type of engine it is."""
    form = Form(
        "Engine type",
        "This is its type",
        done,
        leave,
        says="Places, firing order, plugs and limits follow from it. The maker's instructions decide.",
    )
    field = ChoiceField(
        "type_key", "Type", [(each.key, f"{each.title}, {each.cylinder_count} cylinders") for each in engines]
    )
    field.box.setMinimumContentsLength(34)
    form.add(field)
    field.put(now)
    return form


def out_form(
    view: EngineView, chosen: Place | None, facts: Facts | None, today: date, done: Done, leave: Leave
) -> Form:
    """Which plugs come out, and how they will change places; what can hurt at it stands first."""
    form = Form(
        "Take plugs out",
        "Take out",
        done,
        leave,
        says="Lay each in its own compartment as it comes out, and keep its gasket with it to be counted.",
    )
    if facts is not None:
        warned = label(facts.cautions_said("propeller_live", "hot_engine"))
        warned.setWordWrap(True)
        form.warn(warned)
    lying = view.tray.line if view.tray is not None else None
    form.add(day_field("on", "Taken out on", today))
    form.add(hours_field(lying.engine_hours if lying is not None else view.engine_hours))
    places: list[tuple[object, str]] = [("all", "all plugs that are in")]
    if chosen is not None and view.at(chosen).plug is not None:
        places.append((str(chosen), f"only {chosen}"))
        places.append((f"cylinder {chosen.cylinder}", f"both of cylinder {chosen.cylinder}"))
    form.add(ChoiceField("which", "Which", places))
    if lying is None:
        form.add(ChoiceField("moved", "They change places", MOVED))
    dropdown_wide(form, "which", "moved")
    return form


def places_of(view: EngineView, which: str) -> tuple[str, ...]:
    """The places that a choice of the form means."""
    held = [each.place for each in view.places if each.plug is not None]
    if which == "all":
        return tuple(str(at) for at in held)
    if which.startswith("cylinder "):
        number = int(which.removeprefix("cylinder "))
        return tuple(str(at) for at in held if at.cylinder == number)
    return (which,)


class InForm(Form):
    """The form with which plugs go in; its working is that of the torque."""


def in_form(view: EngineView, today: date, done: Done, leave: Leave) -> Form:
    """When they go in, and the new gaskets counted against the plugs."""
    lines = Plan(view).lines()
    low, high = view.torque.value.low_nm, view.torque.value.high_nm
    each_of = "the plug" if len(lines) == 1 else f"each of {len(lines)} plugs"
    form = InForm(
        "Put plugs in",
        "Put in",
        done,
        leave,
        says=f"A new gasket for {each_of}; by hand until it sits, then"
        f" {low:.1f} to {high:.1f} N·m ({low / NM_PER_FT_LB:.0f} to {high / NM_PER_FT_LB:.0f} ft-lb)."
        " The maker's instructions decide. The propeller is live whenever it is moved.",
    )
    form.add(day_field("on", "Put in on", today))

    def count(text: str) -> int:
        return read_count(text, "gaskets")

    field = TextField(
        "new_gaskets",
        "New gaskets used",
        count,
        letters=6,
        needed="How many new gaskets went in? Count the empty packets.",
        echo=lambda used: gaskets_said(used, len(lines)),
    )
    form.add(field)
    form.add(ChoiceField("gasket_at", "Without a new gasket", [("", "none"), *_each(lines)]))
    form.fields["gasket_at"].show_field(False)
    field.edited.connect(lambda: _ask_which(form, field, len(lines)))
    return form


def _each(lines: Sequence[Going]) -> list[tuple[object, str]]:
    return [(str(line.place), f"cylinder {line.place.cylinder} {line.place.row.words}") for line in lines]


def _ask_which(form: Form, field: TextField, plugs: int) -> None:
    text = field.line.text().strip()
    short = text.isdecimal() and int(text) < plugs
    form.fields["gasket_at"].show_field(short)


def gaskets_said(used: int, plugs: int) -> str:
    """The count against the plugs, in words."""
    if used == plugs:
        return f"{used} for {plugs} plugs: one each."
    if used < plugs:
        return f"▲ {plugs - used} short of {plugs} plugs: which cylinder went without?"
    return f"▲ {used - plugs} more than {plugs} plugs: is there one under a plug twice?"


def missing_form(places: Sequence[Place], done: Done, leave: Leave) -> Form:
    """At which cylinder a gasket did not come out."""
    form = Form(
        "A gasket is missing: which cylinder?",
        "It is missing here",
        done,
        leave,
        says="Look for it on the plug, on the seat in the head and on the floor before anything goes in:"
        " two under one plug is a leak, and the plug sits too far out.",
    )
    offered = [(str(at), f"cylinder {at.cylinder} {at.row.words}") for at in places]
    form.add(ChoiceField("place", "Cylinder", offered))
    return form


def other_form(view: EngineView, line: Going, done: Done, leave: Leave) -> Form:
    """Which plug goes there: one of the tray, one of the drawer, or a new one."""
    form = Form(
        f"What goes into {line.place}?",
        "Let it go there",
        done,
        leave,
        says=f"The rotation sends the plug of {line.by_scheme} here."
        + (" It is rejected." if line.rejected else ""),
    )
    tray = (
        [(each.plug, f"from {each.place}") for each in view.tray.slots if not each.rejected]
        if view.tray
        else []
    )
    spares = [(each, "drawer") for each in view.spares if _fits(view, line.place, each)]
    offered: list[tuple[object, str]] = [
        (f"plug {plug.plug_id}", f"{plug.tag}, {where}, {plug.type_title}")
        for plug, where in (*spares, *tray)
    ]
    offered += [
        (f"new {each.key}", f"a new {each.title}") for each in view.engine_type.plug_types_at(line.place)
    ]
    choice = ChoiceField("what", "Plug", offered)
    choice.box.setMinimumContentsLength(34)
    form.add(choice)
    tag = TextField(
        "tag", "Its serial or tag", letters=16, needed="Give it its serial or a tag of the shop's own."
    )
    form.add(tag)
    needed = "" if line.rejected else "Why does it depart from the rotation? The next person wants to know."
    form.add(TextField("why", "Because", letters=40, needed=needed))

    def follow() -> None:
        tag.show_field(str(choice.value()).startswith("new "))

    choice.edited.connect(follow)
    follow()
    return form


def _fits(view: EngineView, at: Place, plug: PlugView) -> bool:
    return plug.line.type_key in {each.key for each in view.engine_type.plug_types_at(at)}


def swap_form(first: Place, second: Place, done: Done, leave: Leave) -> Form:
    """Why two plugs change places against the rotation."""
    form = Form(
        f"Swap the plugs of {first} and {second}",
        "Swap them",
        done,
        leave,
        says="This departs from the rotation and is written down with the reason.",
    )
    form.add(TextField("why", "Because", letters=48, needed="Say why; it is written down with the rotation."))
    return form


def bought_form(facts: Facts, today: date, done: Done, leave: Leave) -> Form:
    """Plugs that were bought."""
    form = Form("Add plugs to the drawer", "Add plugs", done, leave)
    form.add(ChoiceField("type_key", "Type", [(each.key, each.title) for each in facts.plug_types]))
    form.add(
        TextField(
            "tags",
            "Serials or tags",
            letters=48,
            needed="Give each a serial or a tag, apart by blanks.",
            hint="Blanks between them: K-101 K-102; K-101..K-112 for a whole row.",
        )
    )
    form.add(day_field("bought_on", "Bought on", today))
    return form


def fit_form(view: EngineView, today: date, done: Done, leave: Leave) -> Form:
    """A first fitting: plugs of the drawer, one for each empty place."""
    empty = [each.place for each in view.places if each.plug is None]
    form = Form(
        "Fit plugs",
        "Fit them",
        done,
        leave,
        says=f"{len(empty)} places are empty. Plugs of the drawer, in order: {', '.join(map(str, empty))}.",
    )
    form.add(day_field("on", "Fitted on", today))
    form.add(hours_field(view.engine_hours))
    form.add(
        TextField(
            "tags",
            "Serials or tags",
            letters=48,
            needed="Give each plug a serial or a tag, apart by blanks.",
            hint="Blanks between them: K-101 K-102; K-101..K-112 for a whole row.",
        )
    )
    fit = [each.tag for each in view.spares if _fits(view, empty[0], each)] if empty else []
    form.fields["tags"].put(" ".join(fit[: len(empty)]))
    return form


def loose_plugs(view: EngineView) -> list[tuple[PlugView, str]]:
    """Plugs that sit in no engine and aren't scrapped, with where they lie: tray, drawer, or set aside."""
    tray = view.tray.slots if view.tray is not None else ()
    lie = [(slot.plug, f"tray, from {slot.place}") for slot in tray]
    lie += [(plug, "drawer") for plug in view.spares]
    lie += [(plug, "set aside") for plug in view.removed if plug.fitted is None]
    return [each for each in lie if each[0].line.scrapped_on is None]


def drawer_check_form(view: EngineView, today: date, done: Done, leave: Leave) -> Form:
    """A look at a plug of the drawer: a new one's gap before it goes in, or one that was cleaned later."""
    form = Form(
        "Check a plug of the drawer",
        "Write it down",
        done,
        leave,
        says="As in the tray: thousandths or inches, conditions and damage by their letters.",
    )
    offered: list[tuple[object, str]] = [
        (plug.plug_id, f"{plug.tag}, {plug.type_title}") for plug in view.spares
    ]
    form.add(ChoiceField("plug_id", "Plug", offered))
    form.add(ChoiceField("stage", "When", [(AFTER, "as it will go in"), (BEFORE, BEFORE)]))
    dropdown_wide(form, "plug_id")
    form.add(day_field("on", "Looked at on", today))
    form.add(TextField("gap", "Gap (thousandths)", letters=12, hint="Of each ground electrode: 17 18."))
    form.add(TextField("looks", "Looks", letters=8, hint=looks_key())).put("n")
    form.add(TextField("wear", "Electrode", letters=12, hint="One size, or short x long; may stay empty."))
    form.add(TextField("ohms", "Resistance (ohm)", letters=10, hint="1200, 1.2k or open; may stay empty."))
    form.add(TextField("damage", "Damage", letters=8, hint=damage_key()))
    form.add(TextField("set_gap", "Gap set to", letters=8, hint="Empty where nothing was set."))
    form.add(TextField("note", "Note", letters=40))
    return form


def scrap_form(view: EngineView, front: PlugView | None, today: date, done: Done, leave: Leave) -> Form:
    """Which loose plug is scrapped, and why; the one in front of the tray is offered first."""
    form = Form("Scrap a plug", "Scrap it", done, leave)
    offered: list[tuple[object, str]] = [
        (plug.plug_id, f"{plug.tag}, {where}, {plug.type_title}") for plug, where in loose_plugs(view)
    ]
    field = form.add(ChoiceField("plug_id", "Plug", offered))
    if front is not None and front.line.scrapped_on is None:
        field.put(front.plug_id)
    dropdown_wide(form, "plug_id")
    form.add(day_field("on", "On", today))
    form.add(TextField("why", "Because", letters=40, needed="Say why, such as worn out or dropped."))
    return form


def dropdown_wide(form: Form, *keys: str) -> None:
    """Give long choices their room."""
    for key in keys:
        field = form.fields.get(key)
        if isinstance(field, ChoiceField):
            field.box.setMinimumContentsLength(33)
