from __future__ import annotations

import pytest

from annual_planner.planning.due_after import explain_due_after
from annual_planner.planning.explain import explain, explain_item
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date
from annual_planner.trade.working import Working, as_lines
from tests.planning.conftest import Planned
from tests.planning.fleet import TODAY
from tests.statements import statements


def _asked(settled: Planned, what: str) -> Working:
    with settled.fleet.reading() as work:
        return explain(work, what, settled.library, TODAY)


def test_a_requirement_is_found_by_its_key_or_by_words_of_its_title(settled: Planned) -> None:
    assert "31 May 2026" in _asked(settled, "N012AP annual").result
    by_words = _asked(settled, "n012ap transponder test")
    assert by_words == _asked(settled, "N012AP Transponder")


def test_a_slip_of_the_keys_is_answered_with_what_was_meant(settled: Planned) -> None:
    with pytest.raises(Refused) as refused:
        _asked(settled, "N012AP anual")
    assert "'Annual inspection'" in refused.value.remedy
    assert "ransponder" not in refused.value.remedy


def test_a_sign_that_only_looks_like_a_number_is_no_engine(settled: Planned) -> None:
    with pytest.raises(Refused, match="No requirement"):
        _asked(settled, "N012AP engine ²")


def test_a_package_is_asked_for_by_its_number_too(settled: Planned) -> None:
    number = settled.view().package.number
    assert _asked(settled, f"{number.lower()} order") == _asked(settled, "N012AP order")


def test_the_scope_is_explained_for_what_the_airplane_has(settled: Planned) -> None:
    working = _asked(settled, "N012AP coverage")
    assert "items" in working.result
    assert all(step.result for step in working.steps)


def test_when_work_is_done_is_explained_once_it_is_laid_out(settled: Planned) -> None:
    for thing in ("plan", "promise", "card 1 when"):
        with pytest.raises(Refused, match="isn't laid out yet"):
            _asked(settled, f"N012AP {thing}")


def test_the_usage_is_explained(settled: Planned) -> None:
    assert "h a month" in _asked(settled, "N012AP usage").result


def test_the_flight_check_is_made_by_a_private_pilot_or_higher_of_those_on_record(settled: Planned) -> None:
    told = _asked(settled, "N012AP flight check")
    assert told.result == "Olive Tarn", "the owner alone holds a pilot certificate"
    assert {step.text: step.result for step in told.steps}["Ina Marsh"] == "may not"
    assert told.rules[0].citation == "14 CFR 91.407(b)"


def test_a_card_says_who_may_do_it_and_why_it_stands_where_it_does(settled: Planned) -> None:
    number = next(card.number for card in settled.view().cards if card.title == "Engine mount")
    working = _asked(settled, f"N012AP card {number}")
    assert "signed by inspector" in working.result
    authority, place = working.parts
    assert "inspection authorization" in authority.result
    assert place.title.startswith(f"Why 'Engine mount' stands at {number} of")


def test_the_order_lists_every_card_that_is_in(settled: Planned) -> None:
    assert len(_asked(settled, "N012AP order").steps) == len(settled.view().cards)


def test_the_package_gives_each_decision_with_its_reason(settled: Planned) -> None:
    working = _asked(settled, "N012AP package")
    assert [(step.text, step.result) for step in working.steps] == [
        (item.due.title, item.reason) for item in settled.view().items
    ]
    assert len(working.parts) == len(working.steps)
    with settled.fleet.reading() as work:
        alone = [explain_item(work, item.item_id, TODAY, settled.library) for item in settled.view().items]
    assert list(working.parts) == alone


def test_a_package_is_explained_by_hardly_more_queries_than_one_of_its_items(settled: Planned) -> None:
    item_id = settled.view().items[0].item_id
    with statements(settled.fleet) as of_one, settled.fleet.reading() as work:
        explain_item(work, item_id, TODAY, settled.library)
    with statements(settled.fleet) as of_all:
        assert len(_asked(settled, "N012AP package").parts) == 5
    assert len(of_all) < 2 * len(of_one)


def test_an_item_shows_proposal_decision_and_due_point_together(settled: Planned) -> None:
    item = next(item for item in settled.view().items if item.due.title == "Vacuum pump")
    with settled.fleet.reading() as work:
        lines = as_lines(explain_item(work, item.item_id, TODAY, settled.library))
    assert any("decided = do now" in line for line in lines)
    assert any("as a share of the interval" in line for line in lines)


def test_after_the_visit_a_thing_done_in_it_is_due_by_its_projected_point(settled: Planned) -> None:
    working = _asked(settled, "N012AP after Transponder")
    projected, recorded = working.parts
    assert "31 May 2028" in working.result
    assert working.result == projected.result != recorded.result
    oil = _asked(settled, "N012AP after oil and filter")
    assert "552.3" in oil.result
    assert any("Hours expected" in part.title and "502.3" in part.result for part in oil.parts[0].parts)


def test_after_the_visit_a_thing_left_is_due_as_it_was(settled: Planned) -> None:
    working = _asked(settled, "N012AP after hoses")
    [recorded] = working.parts
    assert "10 Jan 2031" in working.result
    assert recorded == _asked(settled, "N012AP hoses")
    assert any((each.name, each.value) == ("done in this visit", "no") for each in working.inputs)


def test_every_line_of_what_is_due_after_the_visit_has_its_working(settled: Planned) -> None:
    with settled.fleet.reading() as work:
        for after in settled.view().due_after:
            working = explain_due_after(work, settled.package_id, after.requirement_id, TODAY)
            assert len(working.parts) == (2 if after.done_now else 1)
            if after.due_on is not None:
                assert said_date(after.due_on) in working.result
        with pytest.raises(Refused, match="no longer in the fleet"):
            explain_due_after(work, settled.package_id, 999, TODAY)


@pytest.mark.parametrize(
    ("what", "said", "remedy"),
    [
        ("", "Nothing was asked for", "Name an airplane"),
        ("N012AP", "What of N012AP", "card 12"),
        ("N012AP e", "may mean several", "'Engine hoses'"),
        ("N012AP flux", "No requirement", "'Annual inspection'"),
        ("N012AP card 999", "no card 999", "numbered 1 to"),
        ("N0XX annual", "N0XX", "N012AP"),
    ],
)
def test_what_cannot_be_answered_is_refused_with_the_choices(
    settled: Planned, what: str, said: str, remedy: str
) -> None:
    with pytest.raises(Refused) as caught:
        _asked(settled, what)
    assert said in caught.value.said
    assert remedy in caught.value.remedy


def test_without_a_package_its_order_cannot_be_asked_for(planned: Planned) -> None:
    from annual_planner.planning.packages import RemovePackage

    planned.apply(RemovePackage(planned.package_id))
    with pytest.raises(Refused, match="No package is planned"):
        _asked(planned, "N012AP order")
