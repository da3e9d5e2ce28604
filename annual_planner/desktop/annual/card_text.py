"""One card as rich text: cautions first, then steps, what is needed, measurements and what it rests on."""

from __future__ import annotations

import html
from collections.abc import Iterable, Iterator
from datetime import date

from annual_planner.desktop.annual.seen import Shown, phase_words
from annual_planner.desktop.colours import Colours
from annual_planner.planning.card_content import CardContent, ToMeasure, from_stored
from annual_planner.store.rows import CardLine
from annual_planner.trade.cards import Caution

ORIGIN_WORDS = {
    "annual": "the annual itself",
    "due": "something that is due",
    "discrepancy": "a discrepancy",
    "own": "added by hand",
}
SIGN = "sign:caution"
"""Name of the drawn caution sign among the document's pictures."""


def card_html(card: CardLine, shown: Shown, inks: Colours) -> str:
    """Everything on the card that is read and not changed."""
    content = from_stored(card.content)
    coverage = {each.item.id: f"{each.item.ref} {each.item.subject}" for each in shown.view.coverage}
    parts = [
        cautions_html((shown.cautions[key] for key in content.cautions if key in shown.cautions), inks),
        _lines("Steps", content.steps, inks, numbered=True),
        _measurements(content, inks),
        _lines("Opens", content.panel_titles, inks),
        _lines("Tools", content.tools, inks),
        _lines("Parts", (f"{part.quantity} {part.unit}: {part.name}" for part in content.parts), inks),
        _lines("References", content.references, inks),
        _lines("Looks at, of the annual's scope", (coverage.get(key, key) for key in content.covers), inks),
        _lines("Taken in, hours not counted twice", content.merged, inks),
        _facts(card, content, shown, inks),
    ]
    return "".join(parts)


def cautions_html(cautions: Iterable[Caution], inks: Colours) -> str:
    """Each caution on a wash with its drawn sign."""
    rows = "".join(
        f"<tr><td width='44' style='padding:6px 4px 6px 8px' valign='top'><img src='{SIGN}'></td>"
        f"<td style='padding:6px'><b>{_e(caution.title)}</b><br>{_e(caution.text)}</td></tr>"
        for caution in cautions
    )
    if not rows:
        return ""
    return f"<table width='100%' cellspacing='0' bgcolor='{inks.warn_wash}'>{rows}</table>"


def _lines(title: str, lines: Iterable[str], inks: Colours, *, numbered: bool = False) -> str:
    items = "".join(f"<li style='margin-bottom:3px'>{_e(line)}</li>" for line in lines)
    if not items:
        return ""
    tag = "ol" if numbered else "ul"
    head = _head(title, inks) if title else ""
    return f"{head}<{tag} style='margin-top:0;margin-left:0;-qt-list-indent:1'>{items}</{tag}>"


def _head(title: str, inks: Colours) -> str:
    return f"<p style='margin:10px 0 2px 0;color:{inks.faint}'>{_e(title)}</p>"


def _measurements(content: CardContent, inks: Colours) -> str:
    if not content.measurements:
        return ""
    rows = "".join(_measured(each, inks) for each in content.measurements)
    return f"{_head('Measure and write down', inks)}<table cellspacing='0' cellpadding='3'>{rows}</table>"


def _measured(each: ToMeasure, inks: Colours) -> str:
    count = f" ({each.count} × {each.per})" if each.count > 1 else ""
    note = f"<br><span style='color:{inks.faint}'>{_e(each.note)}</span>" if each.note else ""
    return f"<tr><td>{_e(each.name + count)}{note}</td><td><b>{_e(limits(each))}</b></td></tr>"


def limits(each: ToMeasure) -> str:
    """The limits in words; where there are none, they are the maker's."""
    if each.low is not None and each.high is not None:
        return f"{each.low} to {each.high} {each.unit}"
    if each.low is not None:
        return f"at least {each.low} {each.unit}"
    if each.high is not None:
        return f"at most {each.high} {each.unit}"
    return f"{each.unit}, limits in the maker's data".lstrip(", ")


def _facts(card: CardLine, content: CardContent, shown: Shown, inks: Colours) -> str:
    where = f"{shown.zone(card.zone)}, {phase_words(card.phase).lower()}"
    facts = {
        "Where and when": where,
        "Done by at least": card.doer,
        "Signed by": card.signer,
        "Entry": card.entry,
        "Comes from": ORIGIN_WORDS.get(card.origin, card.origin),
        "To the owner": content.owner_note,
        "Note": card.note,
    }
    rows = "".join(
        f"<tr><td style='color:{inks.faint}'>{_e(name)}&nbsp;&nbsp;</td><td>{_e(text)}</td></tr>"
        for name, text in facts.items()
        if text
    )
    return f"{_head('Who and where', inks)}<table cellspacing='0' cellpadding='2'>{rows}</table>"


def owner_html(shown: Shown, inks: Colours) -> Iterator[str]:
    """What the owner brings and leaves alone; then what they may do, why and how to keep safe."""
    view = shown.view
    head = f"Before {_e(view.aircraft.registration)} comes in"
    yield f"<p style='font-size:large;margin-bottom:0'><b>{head}</b></p>"
    yield (
        f"<p style='margin-top:2px;color:{inks.faint}'>"
        f"It comes in on {_e(_day(view.package.start_on))}."
        " Nothing of this has to be done; each thing saves the shop time."
        " The maker's current instructions come first, and the mechanic decides.</p>"
    )
    yield _lines("Bring, look up, get ready", (note.text for note in view.owner_first), inks, numbered=True)
    yield _lines("Please leave alone", view.leave_alone, inks)
    if view.owner_jobs:
        yield _head("What you may do, when the shop says it is time", inks)
    else:
        yield "<p>There is nothing on this annual that the owner may prepare. The mechanic can say more.</p>"
    for job in view.owner_jobs:
        yield f"<p style='margin:14px 0 0 0'><b>{_e(job.title)}</b> (card {job.card_number})</p>"
        yield f"<p style='margin:0'>{_e(job.why)}<br><i>{_e(job.authority)}</i></p>"
        yield cautions_html(job.cautions, inks)
        yield _lines("", job.steps, inks, numbered=True)


def _day(day: date) -> str:
    return f"{day:%A} {day.day} {day:%B %Y}"


def _e(text: str) -> str:
    return html.escape(text)
