"""Opening and closing cards, so that each panel that work needs is opened once and closed once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal

from annual_planner.library.shelf import Library
from annual_planner.planning.card_content import CardContent
from annual_planner.planning.drafts import ANNUAL, DUE, Draft
from annual_planner.trade.cards import ENGINE_ZONES, Hours, Panel, Phase, WorkKind, Zone
from annual_planner.trade.coverage import panels_on

A_PANEL = Hours(Decimal("0.1"), Decimal("0.2"), Decimal("0.5"))
"""Hours for one panel that no card of the library opens or closes; common practice, no source."""

ENDS = (WorkKind.OPEN, WorkKind.CLOSE)


def without_missing_panels(
    drafts: Iterable[Draft], zones: Iterable[Zone], features: frozenset[str]
) -> list[Draft]:
    """Leave out panels that an airplane with these features hasn't got."""
    there = panels_on(zones, features)
    return [_with_those(draft, there) for draft in drafts]


def _with_those(draft: Draft, there: frozenset[str]) -> Draft:
    panels = tuple(panel for panel in draft.content.panels if panel in there)
    return replace(draft, content=replace(draft.content, panels=panels))


def engine_panels(zones: Iterable[Zone]) -> frozenset[str]:
    """Keys of the panels that each engine has its own of."""
    return frozenset(panel.key for zone in zones if zone.key in ENGINE_ZONES for panel in zone.panels)


def opened_once(drafts: Iterable[Draft]) -> list[Draft]:
    """Leave each panel to the first card that opens it and the last that closes it."""
    listed = sorted(drafts, key=lambda draft: draft.phase.order)
    opened = _left_to(listed, WorkKind.OPEN)
    closed = _left_to(list(reversed(listed)), WorkKind.CLOSE)
    return [_with_panels(draft, opened if draft.kind is WorkKind.OPEN else closed) for draft in listed]


def _left_to(drafts: list[Draft], kind: WorkKind) -> dict[str, str]:
    """The key of the card that keeps each panel: rather one that is in anyway than one that may be left."""
    first: dict[str, str] = {}
    for draft in sorted(drafts, key=lambda draft: not draft.always):
        if draft.kind is kind:
            for panel in draft.content.panels:
                first.setdefault(panel, draft.key)
    return first


def _with_panels(draft: Draft, kept_by: dict[str, str]) -> Draft:
    if draft.kind not in ENDS:
        return draft
    panels = tuple(panel for panel in draft.content.panels if kept_by[panel] == draft.key)
    return replace(draft, content=replace(draft.content, panels=panels))


def with_openings(drafts: Iterable[Draft], library: Library) -> list[Draft]:
    """Add cards for panels that work needs and no card opens or closes, a pair for each zone.

    Panels that only work which may be left out needs get a pair of their own, that is left out with it.
    """
    listed = opened_once(drafts)
    needed = _needed(listed)
    added = []
    for kind in ENDS:
        handled = {p for d in listed if d.kind is kind and d.always for p in d.content.panels}
        groups: dict[tuple[str, tuple[int, ...]], list[str]] = defaultdict(list)
        for panel, asked in needed.items():
            if panel not in handled:
                groups[(_zone(panel, library), asked)].append(panel)
        added += [_card(kind, zone, asked, panels, library) for (zone, asked), panels in groups.items()]
    return [_titled(draft, library) for draft in (*_without_doubles(listed, added), *added)]


def _needed(drafts: list[Draft]) -> dict[str, tuple[int, ...]]:
    """Each panel that work needs, with the requirements that alone ask for it: none if needed anyway."""
    users: dict[str, list[Draft]] = defaultdict(list)
    for draft in drafts:
        if draft.kind not in ENDS and (draft.always or draft.content.requirements):
            for panel in draft.content.panels:
                users[panel].append(draft)
    return {panel: _asked_by(using) for panel, using in sorted(users.items())}


def _asked_by(using: list[Draft]) -> tuple[int, ...]:
    if any(draft.always for draft in using):
        return ()
    return tuple(sorted({need for draft in using for need in draft.content.requirements}))


def _without_doubles(listed: list[Draft], added: list[Draft]) -> list[Draft]:
    """Take panels that an added card handles from cards that may be left out."""
    taken = {(draft.kind, panel) for draft in added for panel in draft.content.panels}
    return [_without(draft, taken) if draft.kind in ENDS else draft for draft in listed]


def _without(draft: Draft, taken: set[tuple[WorkKind, str]]) -> Draft:
    panels = tuple(panel for panel in draft.content.panels if (draft.kind, panel) not in taken)
    return replace(draft, content=replace(draft.content, panels=panels))


def _zone(panel: str, library: Library) -> str:
    found = library.panels().get(panel.split("#")[0])
    return found[0].key if found is not None else "whole_airplane"


def _card(kind: WorkKind, zone: str, asked: tuple[int, ...], panels: list[str], library: Library) -> Draft:
    word, phase = ("Open", Phase.OPEN) if kind is WorkKind.OPEN else ("Close", Phase.CLOSE)
    steps = _OPEN_STEPS if kind is WorkKind.OPEN else _CLOSE_STEPS
    count = len(panels)
    content = CardContent(
        steps=steps,
        panels=tuple(panels),
        references=("14 CFR 43 App. D(a)", "maker's maintenance manual"),
        cautions=("propeller_live",) if zone in ("engine", "propeller") else (),
        requirements=asked,
    )
    title = ", ".join(panel_title(panel, library) for panel in panels)
    ending = "".join(f"+{need}" for need in asked)
    return Draft(
        key=f"{kind.value}:{zone}{ending}",
        title=f"{word}: {title}",
        zone=zone,
        phase=phase,
        kind=kind,
        hours=Hours(A_PANEL.low * count, A_PANEL.likely * count, A_PANEL.high * count),
        content=content,
        origin=DUE if asked else ANNUAL,
        always=not asked,
        note="Hours are 0.2 h a panel (common practice, no source).",
    )


_OPEN_STEPS = (
    "Number each panel and its place before it comes off.",
    "Keep the fasteners with their panel; note any that are loose, missing or of the wrong length.",
    "Say so on the tally of what was opened.",
)
_CLOSE_STEPS = (
    "See that the work behind is signed for and that no tool or rag is left inside.",
    "Put each panel back in its place with its own fasteners.",
    "Tick it off on the tally of what was opened.",
)


def panel_title(panel: str, library: Library) -> str:
    """The panel's words, with the engine where there are several; its key where the library hasn't got it."""
    key, _, engine = panel.partition("#")
    found: tuple[Zone, Panel] | None = library.panels().get(key)
    title = found[1].title if found is not None else key.replace("_", " ")
    return f"{title} (engine {engine})" if engine else title


def _titled(draft: Draft, library: Library) -> Draft:
    titles = tuple(panel_title(panel, library) for panel in draft.content.panels)
    return replace(draft, content=replace(draft.content, panel_titles=titles))
