"""Cards before they are written down: from templates, from requirements without one, from discrepancies."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from annual_planner.planning.card_content import (
    CardContent,
    Uncounted,
    counts_for,
    to_measure,
    used_parts,
)
from annual_planner.planning.engine_cards import (
    UNKNOWN_TYPE,
    Types,
    by_type,
    counts_of,
    depends_on_type,
    type_of,
    typed_counts,
    typed_features,
)
from annual_planner.store.rows import AircraftSheet, DiscrepancyLine
from annual_planner.store.weighable import Weighable
from annual_planner.trade.cards import ENGINE_ZONES, CardTemplate, CountWord, Hours, Phase, WorkKind, Zone
from annual_planner.trade.discrepancy_life import DECLINED, WATCH
from annual_planner.trade.periods import Force
from annual_planner.trade.said import said_date

ANNUAL, DUE, DISCREPANCY, OWN = "annual", "due", "discrepancy", "own"

UNKNOWN_HOURS = Hours(Decimal("0.5"), Decimal("1.0"), Decimal("2.0"))
"""Where neither a template nor a person gives hours; common practice, no source."""

NO_TYPES: Types = {}

LEFT_DISPOSITIONS = (WATCH, DECLINED)
"""Decisions by which a discrepancy isn't repaired at this visit."""

WHOLE = "whole_airplane"
"""The zone of what belongs to no other."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A card to be. `key` is its own within the package; `always`: in, whatever is decided of the items."""

    key: str
    title: str
    zone: str
    phase: Phase
    kind: WorkKind
    hours: Hours
    content: CardContent
    origin: str
    always: bool
    discrepancy_id: int | None = None
    note: str = ""


def engines_of(sheet: AircraftSheet) -> int:
    """How many engines the airplane has; 1 where its sheet doesn't say."""
    return max(int(sheet.counts.get("engines", 1)), 1)


def engine_key(key: str, engine: int) -> str:
    """Name a card or panel of one engine of several."""
    return f"{key}#{engine}" if engine else key


def from_template(
    template: CardTemplate,
    sheet: AircraftSheet,
    *,
    engine: int,
    origin: str,
    requirements: tuple[int, ...] = (),
    types: Types = NO_TYPES,
) -> Draft:
    """One card of a template; `engine` is 0 where the airplane has one engine or the card is not of one.

    Where the type of its engine is known, it says the counts, torque, gaps, tools and limits.
    """
    several = engines_of(sheet)
    kind = type_of(types, engine, several)
    counts = counts_for(typed_counts(sheet.counts, types, several), engine)
    if kind is not None:
        counts = counts_of(kind, counts)
    features = typed_features(frozenset(sheet.features), kind)
    content = _content(template, counts, features, engine, requirements)
    unknown = kind is None and template.per_engine and depends_on_type(content)
    return Draft(
        key=engine_key(template.key, engine),
        title=_of_engine(template.title, engine),
        zone=template.zone,
        phase=template.phase,
        kind=template.kind,
        hours=template.hours,
        content=content if kind is None else by_type(content, kind),
        origin=origin,
        always=origin == ANNUAL,
        note=UNKNOWN_TYPE if unknown else "",
    )


def _content(
    template: CardTemplate,
    counts: Mapping[str, int],
    features: Collection[str],
    engine: int,
    requirements: tuple[int, ...],
) -> CardContent:
    """The template as used; what it inspects is part of the annual."""
    inspects = template.inspector or (template.kind in (WorkKind.INSPECT, WorkKind.TEST) and template.covers)
    return CardContent(
        template=template.key,
        subject=template.subject.value,
        engine=engine,
        steps=template.steps,
        panels=template.panels,
        tools=template.tools,
        parts=used_parts(template, counts),
        measurements=to_measure(template, counts, features),
        cautions=template.cautions,
        references=template.references,
        covers=template.covers,
        preventive=template.preventive,
        after=template.after,
        merge_key=template.merge_key or "",
        owner_note=template.owner_note or "",
        settles=template.settles,
        turns_propeller=template.turns_propeller,
        makes_propeller_safe=template.makes_propeller_safe,
        complex=template.complex,
        major=template.major,
        inspector=bool(inspects),
        inspection="annual" if inspects else "",
        requirements=requirements,
    )


def _of_engine(title: str, engine: int) -> str:
    return f"{title} (engine {engine})" if engine else title


def template_drafts(
    template: CardTemplate,
    sheet: AircraftSheet,
    *,
    origin: str,
    wanted: tuple[int, ...] = (),
    requirements: tuple[int, ...] = (),
    types: Types = NO_TYPES,
) -> list[Draft]:
    """The cards of a template: one, or where there are several engines one for each of those `wanted`."""
    several = engines_of(sheet)
    engines = [0]
    if template.per_engine and several > 1:
        engines = [n for n in range(1, several + 1) if not wanted or n in wanted]
    return [
        from_template(template, sheet, engine=n, origin=origin, requirements=requirements, types=types)
        for n in engines
    ]


def annual_drafts(
    templates: Iterable[CardTemplate], sheet: AircraftSheet, types: Types = NO_TYPES
) -> list[Draft]:
    """The annual's own cards: every template that fits the airplane and waits for no condition.

    Raises Uncounted, naming all counts at once that the airplane's sheet leaves out.
    """
    features, drafts, lacking = frozenset(sheet.features), list[Draft](), list[CountWord | None]()
    for each in templates:
        if each.fits(features) and not each.on_condition:
            try:
                drafts += template_drafts(each, sheet, origin=ANNUAL, types=types)
            except Uncounted as missing:
                lacking += missing.words
    if lacking:
        raise Uncounted(lacking)
    return drafts


def settling(templates: Iterable[CardTemplate], thing: Weighable, sheet: AircraftSheet) -> list[CardTemplate]:
    """Templates that meet this requirement on this airplane."""
    features = frozenset(sheet.features)
    key = thing.line.key
    return [each for each in templates if key and key in each.settles and each.fits(features)]


def requirement_drafts(
    templates: Iterable[CardTemplate], thing: Weighable, sheet: AircraftSheet, types: Types = NO_TYPES
) -> list[Draft]:
    """The cards that meet a requirement: of templates that settle it, else one made of its own words."""
    fitting = settling(templates, thing, sheet)
    if not fitting:
        return [_from_requirement(thing, thing.engine if engines_of(sheet) > 1 else 0)]
    wanted = (thing.engine,) if thing.engine else ()
    asked = (thing.line.requirement_id,)
    return [
        draft
        for each in fitting
        for draft in template_drafts(each, sheet, origin=DUE, wanted=wanted, requirements=asked, types=types)
    ]


DIRECTIVE_STEPS = (
    "Does it apply: model, serial and part number read off the airplane, the revision the one now in force.",
    "Follow the directive: its method, tools, limits and intervals, nothing else in their place.",
    "A finding: what the directive asks for then is done before further flight, unless it says otherwise.",
    "Entry by 43.9 with number and revision date, paragraph and method, hours, date and when it is next due.",
)
"""How an airworthiness directive is met and written down (14 CFR 39.11, 43.9, 91.417(a)(2)(v))."""


_SHOP_STEPS = (
    "Do what it asks by the maker's current instructions.",
    "Write the doing down with its date, hours, method and when it is next due.",
)


def _from_requirement(thing: Weighable, engine: int) -> Draft:
    """A card of the requirement's own words; a directive is for a certificated person to do."""
    line = thing.line
    subject = line.counts_on.split(" ")[0]
    subject = subject if subject in ENGINE_ZONES else "airframe"
    zone = subject if subject in ENGINE_ZONES else WHOLE
    directive = Force(line.force) is Force.DIRECTIVE
    content = CardContent(
        subject=subject,
        engine=engine,
        steps=(
            f"Read {line.citation or line.source} as it now stands: what it asks, on which serial numbers.",
            *(DIRECTIVE_STEPS if directive else _SHOP_STEPS),
        ),
        cautions=("propeller_live",) if zone in ENGINE_ZONES else (),
        references=tuple(text for text in (line.citation, line.source) if text),
        after=("clean_complete",),
        requirements=(line.requirement_id,),
    )
    return Draft(
        key=f"due:{line.requirement_id}",
        title=_of_engine(line.title, engine),
        zone=zone,
        phase=Phase.INSPECT if directive else Phase.SERVICE,
        kind=WorkKind.INSPECT if directive else WorkKind.SERVICE,
        hours=UNKNOWN_HOURS,
        content=content,
        origin=DUE,
        always=False,
        note="No card of the library does it: hours are a guess (common practice, no source); set your own.",
    )


def discrepancy_draft(found: DiscrepancyLine, zones: Mapping[str, Zone]) -> Draft:
    """A repair card for an open discrepancy; one to be watched or declined stays out, on the list."""
    subject = found.zone if found.zone in ENGINE_ZONES else "airframe"
    left = found.disposition in LEFT_DISPOSITIONS
    zone = zones.get(found.zone) or zones.get(WHOLE)
    content = CardContent(
        subject=subject,
        steps=(
            f"Look at it again: {found.text}",
            "Repair it by the maker's instructions or other acceptable data, or decide what becomes of it.",
            "Write down what was done, with what data and parts.",
        ),
        cautions=zone.cautions if zone else (),
        references=("14 CFR 91.405(a), (c)", "maker's maintenance manual"),
    )
    decided = f", {found.disposition}" if found.disposition else ""
    note = f"Found {said_date(found.found_on)}{decided}"
    return Draft(
        key=f"discrepancy:{found.discrepancy_id}",
        title=_short(f"Repair: {found.text}"),
        zone=zone.key if zone else WHOLE,
        phase=Phase.REPAIR,
        kind=WorkKind.REPAIR,
        hours=_about(found.hours_estimate),
        content=content,
        origin=DISCREPANCY,
        always=not left,
        discrepancy_id=found.discrepancy_id,
        note=note + ("; stays on the list of discrepancies, see 43.11(b)" if left else ""),
    )


def _about(likely: Decimal | None) -> Hours:
    """Hours about one estimate: three quarters to one and a half of it; common practice, no source."""
    if likely is None:
        return UNKNOWN_HOURS
    return Hours(likely * Decimal("0.75"), likely, likely * Decimal("1.5"))


def _short(text: str) -> str:
    return text if len(text) <= 90 else text[:87].rsplit(" ", 1)[0] + " …"
