"""The life of a discrepancy: whatever is done, the row is what its steps add up to, and no step is lost."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from annual_planner.library.deferral import load_equipment
from annual_planner.records.alike import alike
from annual_planner.records.apply import apply
from annual_planner.records.discrepancies import RecordDiscrepancy
from annual_planner.records.discrepancy_changes import ChangeDiscrepancy, ChangeSeveral
from annual_planner.records.discrepancy_found import Found
from annual_planner.records.discrepancy_life import (
    Begin,
    Correct,
    Decide,
    Inspect,
    Judge,
    OwnerAnswered,
    Reopen,
    WaitFor,
)
from annual_planner.records.discrepancy_rows import held_life
from annual_planner.records.edits import Edit
from annual_planner.records.people import AddPerson
from annual_planner.store.discrepancy_reads import discrepancy_sheet, steps_of
from annual_planner.store.opening import open_fleet
from annual_planner.store.refusals import ChangedMeanwhile
from annual_planner.store.session import Fleet
from annual_planner.store.writing import rows_where, values_of
from annual_planner.trade.deferral import deferral
from annual_planner.trade.discrepancy_life import Life, LifeStep, life_of
from annual_planner.trade.refused import Refused
from tests.fleets import ANN, BEN, TODAY, airplane, made
from tests.trail import newest_lines

NOON = datetime(2026, 5, 4, 12, tzinfo=UTC)


def found(
    fleet: Fleet, text: str = "Baffle cracked", on: date = TODAY, zone: str = "engine"
) -> tuple[int, int]:
    plane = made(fleet, airplane())
    mel = made(fleet, AddPerson("Mel Rook", ("mechanic",)))
    return made(fleet, Found(plane, on, zone, text, NOON, mel, "looking")), mel


def settled(fleet: Fleet, row_id: int) -> None:
    """The row says what the steps add up to."""
    with fleet.reading() as work:
        steps = steps_of(work, row_id)
        row = values_of(work, "discrepancy", row_id)
    assert life_of(LifeStep(each.step, each.on, each.facts) for each in steps) == held_life(row)


def test_a_whole_life_is_written_step_by_step(fleet: Fleet) -> None:
    row, mel = found(fleet)
    for edit in (
        Judge(row, TODAY, NOON, mel, airworthy=False, risk="stops the airplane"),
        WaitFor(row, "owner", TODAY, NOON, mel),
        OwnerAnswered(row, "yes, mend it", "by telephone", TODAY, NOON, mel),
        Decide(row, TODAY, NOON, mel, disposition="correct now"),
        Begin(row, TODAY, NOON, mel),
        Correct(row, TODAY, NOON, mel, "stop-drilled and patched by the maker's manual"),
        Inspect(row, TODAY, NOON, mel),
    ):
        apply(fleet, edit, ANN, TODAY)
        settled(fleet, row)
    with fleet.reading() as work:
        sheet = discrepancy_sheet(work, row)
    assert [each.step for each in sheet.steps] == [
        "found", "judged", "waiting", "answered", "decided", "in work", "corrected", "inspected",
    ]  # fmt: skip
    assert {each.name for each in sheet.steps} == {"Mel Rook"}
    assert (sheet.line.state, sheet.line.closed_on, sheet.line.waits_for) == ("signed", TODAY, "")
    assert sheet.line.risk == "stops the airplane"
    apply(fleet, Reopen(row, TODAY, NOON, mel, "the patch cracked"), ANN, TODAY)
    settled(fleet, row)
    with fleet.reading() as work:
        assert discrepancy_sheet(work, row).line.closed_on is None
        assert len(discrepancy_sheet(work, row).steps) == 9


def test_steps_out_of_their_turn_are_refused_with_what_comes_first(fleet: Fleet) -> None:
    row, mel = found(fleet)
    for edit, said in (
        (Decide(row, TODAY, NOON, mel, disposition="watch"), "Judge first"),
        (Begin(row, TODAY, NOON, mel), "Decide first"),
        (Inspect(row, TODAY, NOON, mel), "Write down first"),
        (Reopen(row, TODAY, NOON, mel, "why not"), "still open"),
        (Judge(row, date(2026, 5, 5), NOON, mel, airworthy=True), "can't be"),
        (Judge(row, TODAY, NOON, None, airworthy=True), "who judged"),
        (Judge(row, TODAY, NOON, mel, airworthy=True, risk="scary"), "no risk"),
        (WaitFor(row, "the moon", TODAY), "Nothing waits"),
        (OwnerAnswered(row, " ", "by letter", TODAY), "few words"),
    ):
        with pytest.raises(Refused, match=said):
            apply(fleet, edit, ANN, TODAY)
    apply(fleet, Judge(row, TODAY, NOON, mel, airworthy=False), ANN, TODAY)
    for disposition, said in (
        ("watch", "can't just be watched"),
        ("defer", "deferral questions"),
        ("pray", "no dec"),
    ):
        with pytest.raises(Refused, match=said):
            apply(fleet, Decide(row, TODAY, NOON, mel, disposition=disposition), ANN, TODAY)


def test_a_later_judgement_that_it_is_unairworthy_takes_back_watching_it(fleet: Fleet) -> None:
    row, mel = found(fleet)
    apply(fleet, Judge(row, TODAY, NOON, mel, airworthy=True), ANN, TODAY)
    apply(fleet, Decide(row, TODAY, NOON, mel, disposition="watch"), ANN, TODAY)
    apply(fleet, Judge(row, TODAY, NOON, mel, airworthy=False), ANN, TODAY)
    settled(fleet, row)
    with fleet.reading() as work:
        line = discrepancy_sheet(work, row).line
    assert (line.state, line.disposition) == ("judged", "")


def test_only_the_last_step_is_taken_back_and_the_trail_keeps_it(fleet: Fleet) -> None:
    row, mel = found(fleet)
    judged = apply(fleet, Judge(row, TODAY, NOON, mel, airworthy=True), ANN, TODAY).back
    decided = apply(fleet, Decide(row, TODAY, NOON, mel, disposition="watch"), ANN, TODAY).back
    assert judged is not None
    assert decided is not None
    with pytest.raises(Refused, match="Later steps"):
        apply(fleet, judged, ANN, TODAY)
    settled(fleet, row)
    forth = apply(fleet, decided, ANN, TODAY).back
    assert forth is not None
    apply(fleet, judged, ANN, TODAY)
    settled(fleet, row)
    with fleet.reading() as work:
        trail = [line for line in newest_lines(work) if line.table == "discrepancy_step"]
    assert sum(line.what.startswith("removed") for line in trail) == 2


def test_what_is_recorded_and_decided_in_one_go_has_its_steps_too(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    settled(fleet, made(fleet, RecordDiscrepancy(plane, TODAY, "engine", "Seep", True, None, "watch")))


def test_several_are_changed_and_taken_back_as_one(fleet: Fleet) -> None:
    row, mel = found(fleet)
    plane = made(fleet, airplane("N013AP", serial="18"))
    other = made(fleet, Found(plane, TODAY, "tail", "Screw missing", NOON))
    saw: dict[int, dict[str, object]] = {each: {"waits_for": "", "risk": ""} for each in (row, other)}
    with fleet.reading() as work:
        before = rows_where(work, "discrepancy")
    wants = {"waits_for": "parts", "risk": "nuisance"}
    back = apply(fleet, ChangeSeveral(saw, wants, NOON, mel), ANN, TODAY).back
    for each in (row, other):
        settled(fleet, each)
        with fleet.reading() as work:
            line = discrepancy_sheet(work, each).line
        assert (line.waits_for, line.waits_since, line.risk) == ("parts", TODAY, "nuisance")
    with pytest.raises(ChangedMeanwhile):
        apply(fleet, ChangeSeveral(saw, {"waits_for": "owner"}, NOON, mel), ANN, TODAY)
    assert back is not None
    apply(fleet, back, ANN, TODAY)
    with fleet.reading() as work:
        assert rows_where(work, "discrepancy") == before
    with pytest.raises(Refused, match="Can't change: state"):
        apply(fleet, ChangeDiscrepancy(row, {"state": "found"}, {"state": "signed"}), ANN, TODAY)
    with pytest.raises(Refused, match="can't be"):
        apply(fleet, ChangeDiscrepancy(row, {}, {"cost_estimate": Decimal(-1)}), ANN, TODAY)


def test_the_third_time_in_two_years_is_said(fleet: Fleet) -> None:
    row, _ = found(fleet, "Oil seeps at push-rod tube of cylinder 3", date(2024, 6, 1))
    other = made(fleet, airplane("N013AP", serial="18"))
    with fleet.reading() as work:
        plane = values_of(work, "discrepancy", row)["aircraft_id"]
    assert isinstance(plane, int)
    made(fleet, Found(plane, date(2025, 7, 1), "engine", "Oil seep, push rod tube cylinder 3", NOON))
    made(fleet, Found(plane, date(2025, 8, 1), "cockpit", "Door latch worn", NOON))
    made(fleet, Found(other, date(2025, 9, 1), "engine", "Cylinder 3 push-rod tube seeps oil", NOON))
    with fleet.reading() as work:
        worked = alike(work, plane, "engine", "Oil seeping at the push-rod tube of cylinder 3", TODAY)
        none = alike(work, plane, "tail", "Bonding strap broken", TODAY)
    assert worked.value.says == "Third time in 2 years on this airplane; found 1 time on others of its type"
    assert (worked.value.count, len(worked.working.steps)) == (3, 3)
    assert none.value.says == "Not found before"


ORDINARY = ["judge yes", "judge no", "correct now", "watch", "owner declined", "begin", "correct", "inspect"]
KINDS = st.sampled_from([*ORDINARY, "reopen", "wait", "answer", "undo"])


def step(kind: str, row: int, mel: int) -> Edit:
    if kind.startswith("judge"):
        return Judge(row, TODAY, NOON, mel, airworthy=kind.endswith("yes"))
    plain: dict[str, Edit] = {
        "begin": Begin(row, TODAY, NOON, mel),
        "correct": Correct(row, TODAY, NOON, mel, "mended"),
        "inspect": Inspect(row, TODAY, NOON, mel),
        "reopen": Reopen(row, TODAY, NOON, mel, "again"),
        "wait": WaitFor(row, "parts", TODAY, NOON, mel),
        "answer": OwnerAnswered(row, "yes", "by letter", TODAY, NOON, mel),
    }
    return plain.get(kind) or Decide(row, TODAY, NOON, mel, disposition=kind)


@settings(max_examples=25)
@given(kinds=st.lists(KINDS, max_size=25))
def test_whatever_is_done_the_row_is_its_steps_and_none_is_lost(
    kinds: list[str], tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder: Path = tmp_path_factory.mktemp("life")
    with open_fleet(folder / "a.fleet", create=True) as fleet:
        row, mel = found(fleet)
        backs: list[Edit] = []
        kept = 1
        for kind in kinds:
            try:
                if kind == "undo":
                    if not backs:
                        continue
                    apply(fleet, backs.pop(), ANN, TODAY)
                else:
                    back = apply(fleet, step(kind, row, mel), ANN, TODAY).back
                    assert back is not None
                    backs.append(back)
            except Refused:
                continue
            settled(fleet, row)
            with fleet.reading() as work:
                count = len(steps_of(work, row))
            assert count >= kept or kind == "undo"
            kept = count
        with fleet.reading() as work:
            trail = [line for line in newest_lines(work, most=1000) if line.table == "discrepancy_step"]
        added = sum(line.what.startswith("added") for line in trail)
        assert added - sum(line.what.startswith("removed") for line in trail) == kept


def test_a_deferral_writes_its_placard_day_and_working_into_the_step(fleet: Fleet) -> None:
    row, mel = found(fleet, "Cabin heat cable broken", zone="cockpit")
    answers = {
        "item": "cabin_heat", "flight": "VFR day", "mel": "no", "small": "yes", "type_data": "no",
        "equipment_list": "no", "other_rule": "no", "directive": "no", "how": "deactivated", "hazard": "yes",
    }  # fmt: skip
    may = deferral(answers, load_equipment(), date(2027, 5, 31))
    may_not = deferral({**answers, "directive": "yes"}, load_equipment())
    apply(fleet, Judge(row, TODAY, NOON, mel, airworthy=False), ANN, TODAY)
    with pytest.raises(Refused, match="don't let it"):
        apply(fleet, Decide(row, TODAY, NOON, mel, disposition="defer", deferral=may_not), ANN, TODAY)
    apply(fleet, Decide(row, TODAY, NOON, mel, disposition="defer", deferral=may), ANN, TODAY)
    settled(fleet, row)
    with fleet.reading() as work:
        sheet = discrepancy_sheet(work, row)
    assert (sheet.line.deferred_until, sheet.line.placard) == (date(2027, 5, 31), "Cabin heat: INOPERATIVE")
    assert sheet.steps[-1].facts["working"]["result"] == may.value.says


def test_a_judgement_does_not_pass_over_another_that_was_not_seen(fleet: Fleet) -> None:
    row, mel = found(fleet)
    seen = Life()
    apply(fleet, Judge(row, TODAY, NOON, mel, airworthy=False, saw=seen), BEN, TODAY)
    with pytest.raises(ChangedMeanwhile, match=f"The discrepancy was changed by {BEN}") as told:
        apply(fleet, Judge(row, TODAY, NOON, mel, airworthy=True, saw=seen), ANN, TODAY)
    assert "Airworthy: it is now no, you saw nothing, you want yes." in told.value.said
    with fleet.reading() as work:
        sheet = discrepancy_sheet(work, row)
    assert [each.step for each in sheet.steps] == ["found", "judged"]
    assert sheet.line.airworthy is False
