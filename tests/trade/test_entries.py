from __future__ import annotations

from enum import StrEnum

from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.entries import (
    DirectivePart,
    EntryPart,
    directive_record_missing,
    inspection_entry_missing,
    vor_entry_missing,
    work_entry_missing,
)


@given(st.sets(st.sampled_from(EntryPart)))
def test_an_entry_lacks_what_is_asked_and_not_there(present: set[EntryPart]) -> None:
    for worked in (
        work_entry_missing(present),
        inspection_entry_missing(present),
        vor_entry_missing(present),
    ):
        assert present.isdisjoint(worked.value)
        assert all(part.value in worked.working.result for part in worked.value)
    filled: set[StrEnum] = {*present, *work_entry_missing(present).value}
    assert work_entry_missing({part for part in EntryPart if part in filled}).value == ()


def test_the_performer_is_asked_only_when_another_signs() -> None:
    without = set(EntryPart) - {EntryPart.PERFORMER}
    assert work_entry_missing(without).value == ()
    assert work_entry_missing(without, performer_is_signer=False).value == (EntryPart.PERFORMER,)


def test_a_one_time_directive_needs_no_next_due() -> None:
    done = {DirectivePart.NUMBER, DirectivePart.REVISION_DATE, DirectivePart.METHOD}
    assert directive_record_missing(done, recurring=False).value == ()
    assert directive_record_missing(done, recurring=True).value == (
        DirectivePart.NEXT_HOURS,
        DirectivePart.NEXT_DATE,
    )
