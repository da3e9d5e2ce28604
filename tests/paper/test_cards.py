from __future__ import annotations

import re
from dataclasses import replace
from io import BytesIO

import pypdfium2
import pytest

from annual_planner.paper.look import sheet_of
from annual_planner.paper.package import package_pdf
from annual_planner.paper.steps import step_blocks
from annual_planner.planning.package_view import PackageView
from annual_planner.trade.cards import Caution
from tests.paper.sample import sample_view

WIDTH = sheet_of("letter").frame_width
HOT = Caution("hot", "Hot engine", "Exhaust and heads burn skin for minutes after shutdown.")


@pytest.fixture(scope="module")
def view() -> PackageView:
    return sample_view(cards=12)


def sheets(view: PackageView) -> list[str]:
    """Give the text of each sheet that bears cards, spaces drawn together."""
    target = BytesIO()
    package_pdf(view, target)
    document = pypdfium2.PdfDocument(target.getvalue())
    texts = [re.sub(r"\s+", " ", page.get_textpage().get_text_range()) for page in document]
    document.close()
    return [text for text in texts if "Work cards in order" in text.split("Page")[0]]


def hot_cards(view: PackageView, **content: object) -> PackageView:
    base = {"steps": ("Look.", "Feel."), "cautions": ("hot",), **content}
    cards = [replace(card, content=base, title=f"Card of {card.number}") for card in view.cards]
    return replace(view, cards=tuple(cards), cautions=(HOT,), owner_jobs=())


def test_each_sheet_has_a_cautions_words_once_and_each_card_its_title(view: PackageView) -> None:
    told = sheets(hot_cards(view))
    assert len(told) > 1
    assert all(text.count(HOT.text) == 1 for text in told)
    assert sum(text.count("Caution: Hot engine") for text in told) == len(view.cards)


def test_short_steps_stand_in_two_columns_and_long_ones_in_one() -> None:
    short = [f"Step {number} is short." for number in range(1, 6)]
    long = ["Take a long look at all of it, from the front to the rear and from left to right." * 2] * 5
    assert len(step_blocks(short, WIDTH)) == 3
    assert len(step_blocks(long, WIDTH)) == 5


def test_three_cards_share_a_sheet_where_they_are_small(view: PackageView) -> None:
    told = sheets(hot_cards(view))
    heads = [len(re.findall(r"Card of \d", text)) for text in told]
    assert sum(heads) == len(view.cards)
    assert max(heads) >= 3


def test_a_card_says_what_it_does_to_the_panels_it_names(view: PackageView) -> None:
    content = {"panel_titles": ("Upper cowling", "Spinner"), "zone": "engine"}
    kinds = (("open", "Opens"), ("inspect", "Panels"), ("close", "Closes"))
    cards = [
        replace(card, kind=kind, content=content, zone="gear_nose_tail")
        for card, (kind, _) in zip(view.cards, kinds, strict=False)
    ]
    told = " ".join(sheets(replace(view, cards=tuple(cards))))
    assert all(f"{word} upper cowling, spinner" in told for _, word in kinds)
    assert "Nosewheel or tailwheel ·" in told


def test_blanks_of_wheels_say_which_is_which_and_references_are_said_once(view: PackageView) -> None:
    tires = {"name": "Tire pressure", "unit": "psi", "low": None, "high": None, "per": "wheel", "count": 3}
    references = ("14 CFR 39.7; directive 2011-00-05", "Directive 2011-00-05", "tire maker's manual")
    card = replace(view.cards[0], content={"measurements": (tires,), "references": references})
    told = " ".join(sheets(replace(view, cards=(card,))))
    assert "1 left, 2 right, 3 nose or tail" in told
    assert "14 CFR 39.7; directive 2011-00-05 · tire maker's manual" in told


def test_a_long_word_for_who_signs_is_whole(view: PackageView) -> None:
    signer = "person holding a repair certificate for this kind of airplane and this kind of work"
    card = replace(view.cards[0], entry="43.9", signer=signer)
    (text,) = sheets(replace(view, cards=(card,)))[:1]
    assert f"Signature owed: {signer} · entry 43.9" in text


def test_a_note_and_a_step_as_long_as_a_story_go_on_over_sheets(view: PackageView) -> None:
    note = [f"note{number}" for number in range(1500)]
    step = [f"step{number}" for number in range(1500)]
    card = replace(view.cards[0], note=" ".join(note), content={"steps": (" ".join(step), "Look.")})
    told = sheets(replace(view, cards=(card,)))
    words = set(" ".join(told).split())
    assert len(told) > 1
    assert [word for word in (*note, *step) if word not in words] == []
    assert "Card 1 continued" in told[1]
