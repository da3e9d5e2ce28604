from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from annual_planner.planning.card_content import CardContent, UsedPart
from annual_planner.planning.drafts import ANNUAL, DUE, Draft
from annual_planner.planning.merging import merged, on_engines
from annual_planner.planning.panel_cards import opened_once
from annual_planner.trade.cards import Hours, Phase, WorkKind


def _draft(key: str, hours: int = 1, **content: object) -> Draft:
    given = Hours(Decimal(hours), Decimal(hours), Decimal(hours))
    return Draft(
        key=key,
        title=key.capitalize(),
        zone="engine",
        phase=Phase.SERVICE,
        kind=WorkKind.SERVICE,
        hours=given,
        content=CardContent(**content),  # type: ignore[arg-type]
        origin=DUE,
        always=False,
    )


def test_cards_of_one_job_become_one_with_the_greater_hours_and_say_so() -> None:
    small = _draft("filter", 1, merge_key="oil", requirements=(1,), steps=("new filter",))
    large = _draft("oil", 2, merge_key="oil", requirements=(2,), steps=("new oil",))
    (card,) = merged([small, large])
    assert card.key == "oil"
    assert card.hours.likely == Decimal(2)
    assert card.content.merged == ("Filter",)
    assert card.note == "takes in 'Filter', hours counted once"
    assert card.content.requirements == (2, 1)
    assert card.content.steps == ("new oil", "new filter")


def test_a_card_asked_for_twice_is_there_once() -> None:
    annual = replace(_draft("plugs"), origin=ANNUAL, always=True)
    (card,) = merged([annual, _draft("plugs", requirements=(4,))])
    assert (card.origin, card.always, card.content.requirements) == (ANNUAL, True, (4,))
    assert card.content.merged == ()


def test_parts_of_merged_cards_are_not_needed_twice() -> None:
    oil = UsedPart("Oil", "8", "qt", True)
    a, b = _draft("a", merge_key="oil", parts=(oil,)), _draft("b", merge_key="oil", parts=(oil,))
    (card,) = merged([a, b])
    assert card.content.parts == (oil,)


def test_a_job_in_two_phases_stays_two_cards() -> None:
    drain = replace(_draft("drain", merge_key="oil"), phase=Phase.HOT_CHECKS)
    assert {card.key for card in merged([drain, _draft("fill", merge_key="oil")])} == {"drain", "fill"}


def test_cards_of_two_engines_stay_two() -> None:
    one, two = _draft("oil#1", merge_key="oil", engine=1), _draft("oil#2", merge_key="oil", engine=2)
    assert len(merged([one, two])) == 2


def test_who_waited_for_a_merged_card_waits_for_what_took_it_in() -> None:
    small, large = _draft("filter", 1, merge_key="oil"), _draft("oil", 2, merge_key="oil")
    run = _draft("run", after=("filter", "oil"))
    waiting = next(card for card in merged([small, large, run]) if card.key == "run")
    assert waiting.content.after == ("oil",)


def test_a_card_of_the_airplane_waits_for_those_of_each_engine() -> None:
    first, second = _draft("oil#1", engine=1), _draft("oil#2", engine=2)
    own, whole = _draft("run#2", engine=2, after=("oil",)), _draft("papers", after=("oil", "gone"))
    named = {card.key: card.content.after for card in on_engines([first, second, own, whole], 2)}
    assert named["run#2"] == ("oil#2",)
    assert named["papers"] == ("oil#1", "oil#2")


def test_panels_of_two_engines_are_two_panels() -> None:
    drafts = [_draft(f"cowling#{n}", engine=n, panels=("cowling_top",)) for n in (1, 2)]
    panels = [card.content.panels for card in on_engines(drafts, 2)]
    assert panels == [("cowling_top#1",), ("cowling_top#2",)]


def test_a_panel_is_left_to_the_first_that_opens_and_the_last_that_closes_it() -> None:
    def ending(key: str, kind: WorkKind, phase: Phase) -> Draft:
        return replace(_draft(key, panels=("lid",)), kind=kind, phase=phase, always=True)

    drafts = [
        ending("late_open", WorkKind.OPEN, Phase.OPEN),
        ending("early_open", WorkKind.OPEN, Phase.HOT_CHECKS),
        ending("early_close", WorkKind.CLOSE, Phase.CLOSE),
        ending("late_close", WorkKind.CLOSE, Phase.RUN_UP),
    ]
    panels = {card.key: card.content.panels for card in opened_once(drafts)}
    assert panels == {"early_open": ("lid",), "late_open": (), "early_close": (), "late_close": ("lid",)}
