from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from annual_planner.records.aircraft import ChangeAircraft
from annual_planner.records.apply import apply
from annual_planner.records.discrepancies import RecordDiscrepancy
from annual_planner.records.people import AddPerson, ChangePerson
from annual_planner.records.requirements import AddRequirement, TakeOnTemplates
from annual_planner.store.fleet_reads import aircraft_sheet, assemblies, due_page, fleet_ids, people
from annual_planner.store.session import Fleet
from annual_planner.trade.periods import Force, Interval
from annual_planner.trade.refused import Refused
from annual_planner.trade.requirements import CountsOn, RequirementTemplate, Use
from tests.fleets import ANN, TODAY, airplane, made


def test_an_airplane_joins_with_what_is_fitted_and_leaves_whole_when_undone(fleet: Fleet) -> None:
    changed = apply(fleet, airplane(" n012ap "), ANN, TODAY)
    assert changed.aircraft_id == changed.made_id is not None
    with fleet.reading() as work:
        sheet = aircraft_sheet(work, changed.made_id)
        kinds = [(each.kind, each.hours_now) for each in assemblies(work, changed.made_id)]
    assert (sheet.registration, sheet.hours_now) == ("N012AP", Decimal(1500))
    assert kinds == [("airframe", Decimal(1500)), ("engine", Decimal(500)), ("propeller", Decimal(100))]
    assert changed.back is not None
    undone = apply(fleet, changed.back, ANN, TODAY)
    with fleet.reading() as work:
        assert fleet_ids(work) == []
        assert assemblies(work, changed.made_id) == []
    assert undone.back is not None
    apply(fleet, undone.back, ANN, TODAY)
    with fleet.reading() as work:
        again = aircraft_sheet(work, changed.made_id)
        assert [(each.kind, each.hours_now) for each in assemblies(work, changed.made_id)] == kinds
    assert again == sheet


def test_every_fault_of_a_new_airplane_is_named_at_once(fleet: Fleet) -> None:
    made(fleet, airplane())
    wrong = airplane(year_built=2031, read_on=date(2026, 6, 1), hours_now=Decimal(-1))
    with pytest.raises(Refused) as refused:
        apply(fleet, wrong, ANN, TODAY)
    for said in ("already in this fleet", "2031", "after today", "-1 h"):
        assert said in refused.value.said


def test_a_change_of_particulars_is_taken_back(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    with fleet.reading() as work:
        before = aircraft_sheet(work, plane)
    saw = {"uses": (), "base": ""}
    changed = apply(fleet, ChangeAircraft(plane, saw, {"uses": ("hire",), "base": "Hill"}), ANN, TODAY)
    with fleet.reading() as work:
        sheet = aircraft_sheet(work, plane)
    assert (sheet.uses, sheet.base, sheet.version) == (("hire",), "Hill", before.version + 1)
    assert changed.back is not None
    apply(fleet, changed.back, ANN, TODAY)
    with fleet.reading() as work:
        assert (aircraft_sheet(work, plane).uses, aircraft_sheet(work, plane).base) == ((), "")


def test_what_an_airplane_does_not_have_is_not_changed(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    made(fleet, airplane("N034BQ"))
    with pytest.raises(Refused, match="has no 'id'"):
        apply(fleet, ChangeAircraft(plane, {}, {"id": 7}), ANN, TODAY)
    taken = ChangeAircraft(plane, {"registration": "N012AP"}, {"registration": "n034bq"})
    with pytest.raises(Refused, match="already in this fleet"):
        apply(fleet, taken, ANN, TODAY)


def template(
    key: str, counts_on: CountsOn = CountsOn.NONE, *, uses: tuple[Use, ...] = (Use.ANY,), needs: str = ""
) -> RequirementTemplate:
    interval = Interval(calendar_months=12)
    needed = (needs,) if needs else ()
    return RequirementTemplate(key, key, "c", Force.RULE, "s", interval, counts_on, uses, needed)


def test_templates_are_taken_on_by_use_and_equipment_and_only_once(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    offered = (
        template("annual"),
        template("oil", CountsOn.ENGINE),
        template("overhaul", CountsOn.PROPELLER),
        template("for hire", uses=(Use.HIRE,)),
        template("elt", needs="elt"),
        template("floats", needs="floats"),
        RequirementTemplate("elsewhere", "e", "c", Force.DIRECTIVE, "s", None, CountsOn.NONE),
    )
    changed = apply(fleet, TakeOnTemplates(plane, offered), ANN, TODAY)
    with fleet.reading() as work:
        taken = {line.key: line.counts_on for line in due_page(work)}
    assert taken == {"annual": "airframe", "oil": "engine 1", "overhaul": "propeller 1", "elt": "airframe"}
    assert apply(fleet, TakeOnTemplates(plane, offered), ANN, TODAY).back is None
    assert changed.back is not None
    apply(fleet, changed.back, ANN, TODAY)
    with fleet.reading() as work:
        assert due_page(work, aircraft_id=plane) == []


def test_a_requirement_needs_a_title_and_something_to_count(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    with pytest.raises(Refused, match="title"):
        apply(fleet, AddRequirement(plane, " ", "rule", Interval(days=30)), ANN, TODAY)
    with pytest.raises(Refused, match="neither an interval nor a day"):
        apply(fleet, AddRequirement(plane, "Battery", "rule"), ANN, TODAY)
    made(fleet, AddRequirement(plane, "Battery", "rule", fixed_on=date(2026, 5, 20)))
    with fleet.reading() as work:
        assert (due_page(work)[0].due_on, due_page(work)[0].state) == (date(2026, 5, 20), "due soon")


def test_people_have_names_of_their_own_and_known_roles(fleet: Fleet) -> None:
    person = made(fleet, AddPerson("Olive Tarn", ("owner",)))
    with pytest.raises(Refused, match="already there"):
        apply(fleet, AddPerson("Olive Tarn", ()), ANN, TODAY)
    with pytest.raises(Refused, match="no role"):
        apply(fleet, AddPerson("Mel Rook", ("pirate",)), ANN, TODAY)
    with pytest.raises(Refused, match="needs a name"):
        apply(fleet, ChangePerson(person, {"name": "Olive Tarn"}, {"name": " "}), ANN, TODAY)
    apply(fleet, ChangePerson(person, {"contact": ""}, {"contact": "mornings"}), ANN, TODAY)
    with fleet.reading() as work:
        assert people(work)[0].contact == "mornings"


def test_a_discrepancy_needs_words_and_a_disposition_that_there_is(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    with pytest.raises(Refused, match="few words"):
        apply(fleet, RecordDiscrepancy(plane, TODAY, "engine", " "), ANN, TODAY)
    with pytest.raises(Refused, match="no disposition 'mend it'"):
        apply(
            fleet,
            RecordDiscrepancy(plane, TODAY, "engine", "Baffle cracked", disposition="mend it"),
            ANN,
            TODAY,
        )
