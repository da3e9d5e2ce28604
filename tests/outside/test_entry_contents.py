"""Contents of entries against the rules, item by item; and a part taken out of a text is noticed.

Sources, eCFR of August and September 2026: 14 CFR 43.9(a) for work, 43.11(a) for inspections,
91.417(a)(2)(v) for directives, 91.171(d) for VOR checks, 91.207(c) for locator batteries.
"""

from __future__ import annotations

import pytest

from annual_planner.library.entries import load_entry_templates
from annual_planner.trade.entries import DirectivePart, EntryPart
from annual_planner.trade.entry_text import BY_SIGNING, EntryKind, EntryTemplate, composed, missing_in
from annual_planner.trade.refused import Refused

TEMPLATES = load_entry_templates()
SIGNING = {EntryPart.SIGNATURE, EntryPart.CERTIFICATE_NUMBER, EntryPart.CERTIFICATE_KIND}

# What each kind of entry must hold: 14 CFR 43.9(a), 43.11(a) and 91.417(a)(2)(v), 91.171(d).
ASKED = {
    EntryKind.MAINTENANCE: {EntryPart.DESCRIPTION, EntryPart.DATE, EntryPart.PERFORMER, *SIGNING},
    EntryKind.PREVENTIVE: {EntryPart.DESCRIPTION, EntryPart.DATE, *SIGNING},
    EntryKind.INSPECTION: {
        EntryPart.TYPE_AND_EXTENT, EntryPart.DATE, EntryPart.TOTAL_TIME, EntryPart.STATEMENT, *SIGNING,
    },
    EntryKind.DIRECTIVE: {
        EntryPart.DESCRIPTION, EntryPart.DATE, EntryPart.PERFORMER, *SIGNING,
        DirectivePart.NUMBER, DirectivePart.REVISION_DATE, DirectivePart.METHOD,
        DirectivePart.NEXT_HOURS, DirectivePart.NEXT_DATE,
    },
}  # fmt: skip
OF_ITS_OWN = {"vor_check": {EntryPart.DATE, EntryPart.PLACE, EntryPart.ERROR, EntryPart.SIGNATURE}}


def facts_for(template: EntryTemplate) -> dict[str, str]:
    return {name: f"<{name} of this>" for name in template.blanks}


@pytest.mark.parametrize("template", TEMPLATES.values(), ids=list(TEMPLATES))
def test_a_template_asks_for_what_the_rule_lists(template: EntryTemplate) -> None:
    wanted = OF_ITS_OWN.get(template.key, ASKED[template.kind])
    assert {each.part for each in template.asks} == wanted


@pytest.mark.parametrize("template", TEMPLATES.values(), ids=list(TEMPLATES))
def test_a_composed_entry_lacks_nothing(template: EntryTemplate) -> None:
    facts = facts_for(template)
    assert missing_in(template, composed(template, facts).value, facts).value == ()


@pytest.mark.parametrize("template", TEMPLATES.values(), ids=list(TEMPLATES))
def test_a_fact_taken_out_by_hand_is_noticed(template: EntryTemplate) -> None:
    facts = facts_for(template)
    text = composed(template, facts).value
    for asked in template.asks:
        for name in asked.facts:
            edited = text.replace(facts[name], "…")
            assert asked.part in missing_in(template, edited, facts).value, (template.key, name)


@pytest.mark.parametrize("template", TEMPLATES.values(), ids=list(TEMPLATES))
def test_words_of_the_statement_taken_out_are_noticed(template: EntryTemplate) -> None:
    facts = facts_for(template)
    text = composed(template, facts).value
    for asked in template.asks:
        for words in asked.words:
            assert words in text.lower()
            assert asked.part in missing_in(template, text.lower().replace(words, "…"), facts).value


def test_a_performer_who_signs_himself_need_not_be_named_again() -> None:
    template = TEMPLATES["work"]
    facts = {
        "work_date": "4 May 2026",
        "of_what": "N012MH, airframe",
        "description": "Left brake linings replaced.",
    }
    text = composed(template, facts).value
    assert "performed by" not in text
    assert missing_in(template, text, facts).value == ()


def test_a_missing_fact_is_asked_for_by_name() -> None:
    with pytest.raises(Refused, match="total time"):
        composed(
            TEMPLATES["annual_approved"], {"work_date": "4 May 2026", "of_what": "x", "extent": "all of it"}
        )


def test_another_line_break_or_capital_is_no_difference() -> None:
    template = TEMPLATES["annual_approved"]
    facts = facts_for(template)
    text = composed(template, facts).value.upper().replace(" ", "\n")
    assert missing_in(template, text, facts).value == ()


def test_only_inspections_say_whether_they_approve() -> None:
    for template in TEMPLATES.values():
        assert (template.approved is not None) == (template.kind is EntryKind.INSPECTION)


def test_signing_parts_are_never_looked_for_in_the_text() -> None:
    assert SIGNING == BY_SIGNING
