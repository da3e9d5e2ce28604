from __future__ import annotations

import json

from hypothesis import given
from hypothesis import strategies as st

from annual_planner.library.shelf import Library
from annual_planner.planning.card_content import (
    as_stored,
    counts_for,
    from_stored,
)
from annual_planner.planning.drafts import annual_drafts
from tests.planning.conftest import Planned


def test_every_card_comes_back_from_json_as_it_was_written(settled: Planned, library: Library) -> None:
    drafts = annual_drafts(library.cards, settled.view().aircraft)
    assert drafts
    for draft in drafts:
        assert from_stored(json.loads(json.dumps(as_stored(draft.content)))) == draft.content


def test_what_a_stored_card_does_not_hold_stays_empty() -> None:
    content = from_stored({"template": "oil"})
    assert (content.template, content.parts, content.engine) == ("oil", (), 0)


@given(engines=st.integers(2, 4), each=st.integers(1, 9))
def test_the_shares_of_all_engines_make_up_the_whole(engines: int, each: int) -> None:
    counts = {"engines": engines, "cylinders": engines * each}
    share = counts_for(counts, 1)
    assert share["cylinders"] * engines == counts["cylinders"]
    assert share["plugs"] == 2 * share["cylinders"]
    assert share["engines"] == 1


def test_a_card_of_the_whole_airplane_counts_all_of_it() -> None:
    assert counts_for({"engines": 2, "plugs": 24}, 0) == {"engines": 2, "plugs": 24, "cylinders": 12}
