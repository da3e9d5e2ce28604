"""The trail as a list, on both databases: of the fleet, an airplane, an owner, and searched."""

from __future__ import annotations

from annual_planner.records.apply import apply
from annual_planner.records.people import AddPerson
from annual_planner.records.row_edits import ChangeRow, Subject
from annual_planner.store.session import Fleet
from annual_planner.store.trail_reads import trail_ids, trail_lines
from tests.fleets import ANN, TODAY, airplane, made


def test_the_trail_is_narrowed_to_an_airplane_an_owner_or_words(fleet: Fleet) -> None:
    owner = made(fleet, AddPerson("Ola Reed", ("owner",)))
    own = made(fleet, airplane(owner_id=owner))
    other = made(fleet, airplane(registration="N013AP"))
    for plane, base in ((own, "a meadow"), (other, "100 % grass")):
        of = Subject("aircraft", f"base {base}", plane)
        apply(fleet, ChangeRow(of, "aircraft", plane, {}, {"base": base}), ANN, TODAY)
    with fleet.reading() as work:
        everything = trail_ids(work)
        assert everything == sorted(everything, reverse=True), "the newest first"
        assert trail_ids(work, oldest_first=True) == everything[::-1]
        lines = {line.audit_id: line for line in trail_lines(work, everything)}
        assert {lines[each].registration for each in trail_ids(work, aircraft_id=other)} == {"N013AP"}
        assert {lines[each].registration for each in trail_ids(work, owner_id=owner)} == {"N012AP"}
        (found,) = trail_ids(work, search="BASE 100 %")
        assert lines[found].after == {"base": "100 % grass"}
        assert lines[found].changed_by == ANN
        assert trail_ids(work, search="no such words") == []
