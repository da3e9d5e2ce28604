"""The open card in words: cautions first, what should come before, who may do it, what was written on it."""

from __future__ import annotations

import html
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from annual_planner.desktop.annual.card_text import cautions_html
from annual_planner.desktop.colours import Colours
from annual_planner.desktop.moment import moment_text

if TYPE_CHECKING:
    from annual_planner.planning.card_in_work import CardInWork
    from annual_planner.records.predecessors import Before
    from annual_planner.records.standing import Standing

DISCREPANCY = "discrepancy:"
"""A link to a discrepancy begins so; its id follows."""


def in_work_html(seen: CardInWork, signatures: Iterable[Standing], inks: Colours) -> str:
    """Everything of the card that is read and not typed."""
    return "".join(
        (
            cautions_html(seen.cautions, inks),
            _list("Signatures", (signed_says(each) for each in signatures), inks),
            _list("Should come first and isn't finished", map(_before, seen.before.value), inks),
            _list("Still missing before it is done", seen.left, inks),
            _list("Steps", seen.content.steps, inks, kind="ol"),
            _linked("Found on this card", _found(seen), inks),
            _list("Notes", (f"{moment_text(n.written_at)} {n.name}: {n.text}" for n in seen.notes), inks),
            _list("Parts used", _parts(seen), inks),
            _list("Time", _time(seen), inks),
            _list("Who may", _who(seen), inks),
            _list("Tools", seen.content.tools, inks),
            _list("References", seen.content.references, inks),
        )
    )


def signed_says(standing: Standing) -> str:
    """A signature in a line: who, as what, when, and whether it holds."""
    word = "✓ holds" if standing.holds else "▲ does not hold"
    line = standing.line
    return f"{standing.says}, {moment_text(line.signed_at)}: {word}; record {line.record_id}"


def _before(before: Before) -> str:
    may = "may wait if you say why" if before.safe else "NOT SAFE before it"
    return f"Card {before.number} {before.title}: {may}. {before.why} ({before.rule.citation})"


def _found(seen: CardInWork) -> Iterator[tuple[str, str]]:
    """Where each discrepancy is found, and how it stands."""
    for each in seen.discrepancies:
        word = {True: "airworthy", False: "NOT airworthy", None: "not judged"}[each.airworthy]
        yield f"{DISCREPANCY}{each.discrepancy_id}", f"{each.text} ({word}; {each.state})"


def _parts(seen: CardInWork) -> Iterator[str]:
    for part in seen.parts_used:
        serial = f", serial {part.serial}" if part.serial else ""
        yield f"{part.quantity.normalize():f} {part.unit} {part.name}{serial}".replace("  ", " ")


def _time(seen: CardInWork) -> Iterator[str]:
    for each in seen.stretches:
        until = "still running" if each.stopped_at is None else f"to {moment_text(each.stopped_at)}"
        yield f"{each.name}: {moment_text(each.started_at)} {until}"


def _who(seen: CardInWork) -> Iterator[str]:
    for each in seen.who:
        signs = "may sign" if each.may_sign else "may not sign"
        warned = f" ({'; '.join(each.warnings)})" if each.warnings else ""
        yield f"{each.name}: {each.may_do}; {signs}{warned}"


def _list(title: str, lines: Iterable[str], inks: Colours, kind: str = "ul") -> str:
    return _items(title, (html.escape(line) for line in lines), inks, kind)


def _linked(title: str, lines: Iterable[tuple[str, str]], inks: Colours) -> str:
    ink = f"style='color:{inks.accent}'"
    return _items(title, (f"<a href='{to}' {ink}>{html.escape(line)}</a>" for to, line in lines), inks)


def _items(title: str, lines: Iterable[str], inks: Colours, kind: str = "ul") -> str:
    items = "".join(f"<li style='margin-bottom:3px'>{line}</li>" for line in lines)
    if not items:
        return ""
    head = f"<p style='margin:10px 0 2px 0;color:{inks.faint}'>{html.escape(title)}</p>"
    return f"{head}<{kind} style='margin-top:0;margin-left:0;-qt-list-indent:1'>{items}</{kind}>"
