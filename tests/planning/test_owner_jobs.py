from __future__ import annotations

from pathlib import Path

from sqlalchemy import select

from annual_planner.library.shelf import Library
from annual_planner.store.mappings import AircraftRow, CertificateRow
from tests.planning.conftest import Planned, plan
from tests.planning.fleet import AIRPLANE, HELPER, small_fleet


def test_an_owner_without_a_pilot_certificate_works_only_under_supervision(
    tmp_path: Path, library: Library
) -> None:
    with small_fleet(tmp_path) as fleet:
        with fleet.work("a test") as work:
            work.session.get_one(AircraftRow, AIRPLANE).owner_id = HELPER
        jobs = plan(fleet, library).view().owner_jobs
    assert {job.authority for job in jobs} == {"under the mechanic's eye, no signature"}


def test_a_card_names_as_doer_only_an_owner_whose_certificate_allows_it(
    tmp_path: Path, library: Library
) -> None:
    with small_fleet(tmp_path) as fleet:
        doers = {card.doer for card in plan(fleet, library).view().cards}
        assert "owner" in doers
        with fleet.work("a test") as work:
            for row in work.session.scalars(select(CertificateRow).where(CertificateRow.kind == "pilot")):
                row.ratings = ["sport"]
        sport = plan(fleet, library, days_later=1).view()
        with fleet.work("a test") as work:
            work.session.get_one(AircraftRow, AIRPLANE).owner_id = HELPER
        club = plan(fleet, library, days_later=2).view()
    for view in (sport, club):
        assert not {"owner"} & {one for card in view.cards for one in (card.doer, card.signer)}
        assert any("no certificate on record lets this owner" in text for text in view.leave_alone)
    assert {job.authority for job in sport.owner_jobs} == {"under the mechanic's eye, no signature"}


def test_hired_out_under_part_135_the_owner_may_do_no_preventive_work(
    tmp_path: Path, library: Library
) -> None:
    with small_fleet(tmp_path) as fleet:
        with fleet.work("a test") as work:
            work.session.get_one(AircraftRow, AIRPLANE).uses = ["part 135"]
        jobs = plan(fleet, library).view().owner_jobs
    assert not any(job.authority.startswith("may do") for job in jobs)


def test_each_job_has_a_reason_and_the_cautions_of_its_card(settled: Planned) -> None:
    view = settled.view()
    cards = {card.number: card for card in view.cards}
    assert all(job.why for job in view.owner_jobs)
    for job in view.owner_jobs:
        named = cards[job.card_number].content["cautions"]
        assert [caution.key for caution in job.cautions] == named


def test_what_a_card_asks_to_leave_to_the_shop_is_no_job_but_said(settled: Planned) -> None:
    view = settled.view()
    assert any("leave this one to the shop" in text for text in view.leave_alone)
    assert any("propeller" in text for text in view.leave_alone)
    assert not any("leave this one" in job.why.lower() for job in view.owner_jobs)


def test_what_the_owner_gets_ready_first_is_no_work_and_said_once(settled: Planned) -> None:
    view = settled.view()
    texts = [note.text for note in view.owner_first]
    assert any("logbook" in text for text in texts)
    assert any("squawk" in text for text in texts)
    assert len(set(texts)) == len(texts)
    assert not {note.card_number for note in view.owner_first} & {job.card_number for job in view.owner_jobs}
    assert not any(text.lower().startswith("leave") for text in texts)
    assert {note.card_number for note in view.owner_first} <= {card.number for card in view.cards}


def test_a_job_says_how_much_of_the_shops_time_it_saves(settled: Planned) -> None:
    view = settled.view()
    likely = {card.number: card.hours_likely for card in view.cards}
    for job in view.owner_jobs:
        assert job.why.startswith(f"Saves the shop about {likely[job.card_number].normalize():f} h of work")
