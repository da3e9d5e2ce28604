"""The moment at which something is written down: the clock's time, on the day the program works from."""

from __future__ import annotations

from datetime import datetime

from annual_planner.desktop.desk import Desk


def moment_of(desk: Desk) -> datetime:
    """Now, with the zone of this computer; on the sample fleet's own day where one is set."""
    now = datetime.now().astimezone()
    return datetime.combine(desk.today, now.time().replace(microsecond=0)).astimezone()


def moment_text(moment: datetime) -> str:
    """A moment as people read it, in the zone of this computer: 4 May 14:05."""
    here = moment.astimezone()
    return f"{here.day} {here:%b} {here:%H:%M}"
