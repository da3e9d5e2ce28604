"""What stands beside a list of the library: everything about the chosen row, as rich text."""

from __future__ import annotations

import html
from collections.abc import Iterable, Mapping

from annual_planner.desktop.colours import Colours
from annual_planner.desktop.library_columns import (
    counted_words,
    covered_word,
    decides_words,
    every,
    fact_words,
    hours_span,
    layout_words,
    ohms_text,
    sparks,
    words,
)
from annual_planner.library.zone_words import zone_words
from annual_planner.trade.cards import CardTemplate, Caution, Measurement, Part
from annual_planner.trade.clauses import Clause, Condition, Test
from annual_planner.trade.coverage import Covered
from annual_planner.trade.engines import CompressionRule, EngineType, RestrictorRule, RowPlugs
from annual_planner.trade.plugs import ConditionSays, PlugType
from annual_planner.trade.requirements import RequirementTemplate

MARKS = {
    "inspector": "inspector's eye needed",
    "per_engine": "one for each engine",
    "on_condition": "only when asked for",
    "turns_propeller": "turns the propeller",
    "makes_propeller_safe": "makes the propeller safe",
    "complex": "complex assembly work",
    "major": "major repair or alteration",
}


class Details:
    """Writes details in the ink of one look; cautions and features are named in words."""

    def __init__(self, inks: Colours, cautions: Mapping[str, Caution], features: Mapping[str, str]) -> None:
        self._inks = inks
        self._cautions = cautions
        self._features = features

    def of_card(self, card: CardTemplate) -> str:
        """A card: cautions first, then steps, who, tools, parts, measurements and what it covers."""
        signs = [name for mark, name in MARKS.items() if getattr(card, mark)]
        facts = {
            "Where": zone_words(card.zone),
            "Phase": words(card.phase),
            "Kind of work": words(card.kind),
            "Hours at best – as a rule – at worst": hours_span(card.hours),
            "Marks": ", ".join(signs),
            "Panels": ", ".join(words(panel) for panel in card.panels),
            "After": ", ".join(words(key) for key in card.after),
        }
        return "".join(
            [
                self._title(card.title),
                *(self._caution(key) for key in card.cautions),
                self._facts(facts),
                self._list("Steps", card.steps, ordered=True),
                self._list("Measurements", map(_measured, card.measurements)),
                self._list("Tools", card.tools),
                self._list("Parts and supplies", map(_part, card.parts)),
                self._note("For the owner", card.owner_note or ""),
                self._facts(self._reach(card)),
                self._list("References", card.references),
                self._key(card.key),
                self._defers(),
            ]
        )

    def _reach(self, card: CardTemplate) -> dict[str, str]:
        return {
            "Preventive maintenance items": ", ".join(card.preventive),
            "Covers": ", ".join(card.covers),
            "Settles": ", ".join(words(key) for key in card.settles),
            "Only with": self._named(card.needs),
            "Never with": self._named(card.excludes),
        }

    def of_requirement(self, requirement: RequirementTemplate) -> str:
        """A requirement: interval, what it rests on, when it bites."""
        return "".join(
            [
                self._title(requirement.title),
                self._facts(
                    {
                        "Interval": every(requirement),
                        "Rests on": requirement.citation,
                        "Force": words(requirement.force),
                        "Source": requirement.source,
                        "Counts on": counted_words(requirement.counts_on),
                        "For use": ", ".join(requirement.bites_on),
                        "Only with": self._named(requirement.needs),
                        "Never with": self._named(requirement.excludes),
                    }
                ),
                self._note("Note", requirement.note),
                self._key(requirement.key),
                self._defers(),
            ]
        )

    def of_caution(self, caution: Caution) -> str:
        """A caution in full."""
        return self._title(caution.title) + self._caution(caution.key) + self._key(caution.key)

    def of_rule(self, clause: Clause) -> str:
        """A rule: what it says, what it decides and when it fits."""
        facts = {
            "Decides": decides_words(clause.decides),
            "Rests on": str(clause.basis or ""),
            "Gives": clause.gives,
            "Takes away": ", ".join(clause.takes),
        }
        return "".join(
            [
                self._title(clause.citation),
                f"<p>{_e(clause.says)}</p>",
                self._facts(facts),
                self._list("Fits when", map(_condition, clause.when)),
                self._note(
                    "Mind", "Facts in our own words; the section cited is what counts, and it changes."
                ),
                self._key(clause.key),
            ]
        )

    def of_item(self, covered: Covered) -> str:
        """An item of the scope, what to look for, and the cards that do."""
        facts = {
            "Standing": covered_word(covered),
            "Why it doesn't apply": covered.not_applicable,
            "Only on airplanes with": self._named(covered.item.applies_to),
        }
        return "".join(
            [
                self._title(covered.item.subject, covered.item.ref),
                self._facts(facts),
                self._list("Look for", covered.item.look_for),
                self._list("Cards", covered.cards),
            ]
        )

    def of_engine(self, engine: EngineType) -> str:
        """A type of engine: how it fires, what sparks where, its plugs and its limits with their sources."""
        torque = engine.torque
        facts = {
            "Maker": engine.maker,
            "Layout": f"{layout_words(engine.layout.value)}, {len(engine.firing_order)} cylinders",
            "Firing order": "-".join(map(str, engine.firing_order)),
            "Magnetos": sparks(engine),
            "Left magneto feeds": ", ".join(str(at) for at in engine.places if at in engine.left_feeds),
            "Plug thread": engine.thread.value,
            "Bore": f"{engine.bore_in:g} in",
            "Plug torque": f"{torque.low_nm:g} – {torque.high_nm:g} Nm ({torque.source})",
            "Restrictor": _restrictor(engine.restrictor),
            "Compression": _compression(engine.compression),
        }
        return "".join(
            [
                self._title(engine.title),
                self._facts(facts),
                self._list("Plugs", map(_row_plugs, engine.rows)),
                self._note("Note", engine.note),
                self._key(engine.key),
                self._defers(),
            ]
        )

    def of_plug_type(self, plug_type: PlugType) -> str:
        """A type of plug: thread, electrodes, gap, wear, resistance and price."""
        facts = {
            "Maker": plug_type.maker,
            "Thread": plug_type.thread.value,
            "Electrodes": words(plug_type.electrode.value),
            "Gap": f"{plug_type.gap_low_in:.3f} – {plug_type.gap_high_in:.3f} in",
            "Centre electrode, new": f"{plug_type.electrode_in:.3f} in",
            "Rejected at or under": f"{plug_type.wear_limit_in:.3f} in",
            "Resistance limit, Ω": ohms_text(plug_type.resistance_limit_ohm),
            "Price of one": f"{plug_type.price:.2f}",
            "Source": plug_type.source,
        }
        told = self._title(plug_type.title) + self._facts(facts)
        return told + self._key(plug_type.key) + self._defers()

    def of_condition(self, says: ConditionSays) -> str:
        """What a used plug says: how it looks, causes, where to look next and what is written up."""
        return "".join(
            [
                self._title(says.condition.value, says.looks_like),
                self._facts({"By itself": says.verdict.value, "Source": says.source}),
                self._list("Causes", says.causes),
                self._list("Look next at", says.look_next),
                self._note("Written up on the cylinder", says.discrepancy),
                self._defers(),
            ]
        )

    # -- pieces ---------------------------------------------------------------------------------------

    def _title(self, title: str, under: str = "") -> str:
        head = f"<p style='margin-bottom:4px;font-size:large'><b>{_e(title)}</b></p>"
        return head + (f"<p style='margin-top:0;color:{self._inks.faint}'>{_e(under)}</p>" if under else "")

    def _key(self, key: str) -> str:
        """Under which key a shop's own file replaces it."""
        said = f"Key in a shop's own file: {_e(key)}"
        return f"<p style='margin-top:12px;margin-bottom:0;color:{self._inks.faint}'>{said}</p>"

    def _head(self, text: str) -> str:
        return f"<p style='margin:10px 0 2px 0;color:{self._inks.faint}'>{_e(text)}</p>"

    def _facts(self, facts: Mapping[str, str]) -> str:
        rows = "".join(
            f"<tr><td style='color:{self._inks.faint}'>{_e(name)}&nbsp;&nbsp;</td><td>{_e(value)}</td></tr>"
            for name, value in facts.items()
            if value
        )
        return f"<table cellspacing='0' cellpadding='2'>{rows}</table>" if rows else ""

    def _list(self, head: str, lines: Iterable[str], *, ordered: bool = False) -> str:
        items = "".join(f"<li>{_e(text)}</li>" for text in lines)
        tag = "ol" if ordered else "ul"
        return f"{self._head(head)}<{tag} style='margin:0;-qt-list-indent:1'>{items}</{tag}>" if items else ""

    def _note(self, head: str, text: str) -> str:
        return f"{self._head(head)}<p style='margin:0'>{_e(text)}</p>" if text else ""

    def _caution(self, key: str) -> str:
        caution = self._cautions.get(key)
        if caution is None:
            return ""
        ground = f"bgcolor='{self._inks.warn_wash}'"
        said = f"<b>▲ {_e(caution.title)}</b><br>{_e(caution.text)}"
        return (
            f"<table width='100%' cellpadding='6' cellspacing='2'><tr><td {ground}>{said}</td></tr></table>"
        )

    def _named(self, keys: Iterable[str]) -> str:
        return "; ".join(self._features.get(key, words(key)) for key in keys)

    def _defers(self) -> str:
        said = "The maker's current instructions and the rules in force come before this text."
        return f"<p style='margin-top:12px;color:{self._inks.faint}'>{said}</p>"


def _e(text: str) -> str:
    return html.escape(text)


def _measured(one: Measurement) -> str:
    limits = [
        f"from {one.low:f}" if one.low is not None else "",
        f"to {one.high:f}" if one.high is not None else "",
    ]
    said = " ".join(part for part in limits if part) or "limits: see the maker's data"
    return f"{one.name}, for each {one.per}: {said} {one.unit}" + (f". {one.note}" if one.note else "")


def _part(one: Part) -> str:
    return f"{one.name}: {one.quantity} {one.unit}" + (" (used up)" if one.consumable else "")


def _condition(one: Condition) -> str:
    said, last = [words(each) for each in one.words], ""
    if len(said) > 1:
        *said, last = said
    if one.test is Test.NONE:
        return f"{fact_words(one.fact)}: not {', '.join(said)}" + (f" nor {last}" if last else "")
    return f"{fact_words(one.fact)}: {', '.join(said)}" + (f" or {last}" if last else "")


def _restrictor(rule: RestrictorRule) -> str:
    said = words(rule.choice.value) + (f", {rule.fixed_in:.3f} in" if rule.fixed_in is not None else "")
    return f"{said} ({rule.source})"


def _compression(rule: CompressionRule) -> str:
    figures = [
        f"lowest {rule.lowest_psi:g} psi" if rule.lowest_psi is not None else "",
        f"spread up to {rule.spread_psi:g} psi" if rule.spread_psi is not None else "",
    ]
    return ", ".join([words(rule.kind.value), *filter(None, figures)]) + f" ({rule.source})"


def _row_plugs(row: RowPlugs) -> str:
    return f"Row {row.row.value}: {', '.join(each.title for each in row.plug_types)}"
