from __future__ import annotations

import re
from dataclasses import replace
from io import BytesIO

import pytest
from pypdf import PdfReader

from annual_planner.paper.package import owner_list_pdf
from annual_planner.planning.owner_jobs import MAY_SIGN, SUPERVISED
from annual_planner.planning.package_view import PackageView
from tests.paper.sample import sample_view


@pytest.fixture(scope="module")
def view() -> PackageView:
    return sample_view(cards=4)


def told(view: PackageView) -> str:
    target = BytesIO()
    owner_list_pdf(view, target)
    return " ".join(re.sub(r"\s+", " ", page.extract_text()) for page in PdfReader(target).pages)


def test_what_to_bring_what_to_leave_alone_and_who_signs_stand_before_the_work(view: PackageView) -> None:
    text = told(view)
    places = [
        text.index("Before it comes in"),
        text.index(f"{view.owner_first[0].text} (card 1)"),
        text.index("Please leave alone"),
        text.index(view.leave_alone[-1]),
        text.index("Who signs"),
        text.index("What you may do"),
        text.index(f"{view.owner_jobs[0].title} (card"),
    ]
    assert places == sorted(places)


def test_each_job_has_its_reason_its_authority_and_its_cautions(view: PackageView) -> None:
    text = told(view)
    for job in view.owner_jobs:
        assert f"Why {job.why}" in text
        assert f"Your part {job.authority}" in text
        assert all(f"Caution: {caution.title}" in text for caution in job.cautions)


def test_lines_to_sign_on_are_there_only_where_the_owner_may_sign(view: PackageView) -> None:
    lines = "Preventive maintenance done by the owner"
    own = [replace(job, authority=MAY_SIGN) for job in view.owner_jobs]
    eyed = [replace(job, authority=SUPERVISED) for job in view.owner_jobs]
    assert lines in told(replace(view, owner_jobs=tuple(own)))
    assert lines not in told(replace(view, owner_jobs=tuple(eyed)))
    assert lines not in told(replace(view, owner_jobs=()))


def test_an_owner_with_nothing_to_do_brings_airplane_and_records(view: PackageView) -> None:
    nobody = replace(view.aircraft, owner="")
    bare = replace(view, aircraft=nobody, owner_jobs=(), owner_first=(), leave_alone=())
    text = told(bare)
    assert "Nothing to prepare: bring the airplane and its records." in text
    assert "For the owner, N012AP" in text
