"""The moment at which something is written down, while the clock passes midnight."""

from __future__ import annotations

from datetime import date, datetime, tzinfo

import pytest

from annual_planner.desktop import moment
from annual_planner.desktop.moment import moment_of
from annual_planner.desktop.window import MainWindow
from demo_fleet.loader import DEMO_TODAY

pytestmark = pytest.mark.desktop


class Clock(datetime):
    """A clock that is set by hand."""

    shows = "2027-02-28T23:59:58"

    @classmethod
    def now(cls, tz: tzinfo | None = None) -> Clock:
        return cls.fromisoformat(cls.shows)


@pytest.fixture(autouse=True)
def clock(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(moment, "datetime", Clock)


def set_clock(monkeypatch: pytest.MonkeyPatch, shows: str) -> None:
    monkeypatch.setattr(Clock, "shows", shows)


def test_on_a_day_that_is_fixed_no_moment_lies_before_an_earlier_one(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = moment_of(window.desk)
    assert first.isoformat() == f"{DEMO_TODAY}T23:59:58+00:00"
    set_clock(monkeypatch, "2027-03-01T00:00:03")
    assert moment_of(window.desk) == first
    window.desk.jobs.today = date(2026, 5, 5)
    assert moment_of(window.desk).isoformat() == "2026-05-05T00:00:03+00:00"


def test_just_after_midnight_the_moment_is_that_of_the_new_day(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.desk.jobs.today = date(2027, 2, 28)
    assert moment_of(window.desk).isoformat() == "2027-02-28T23:59:58+00:00"
    set_clock(monkeypatch, "2027-03-01T00:02:00")
    assert moment_of(window.desk).isoformat() == "2027-03-01T00:02:00+00:00"
