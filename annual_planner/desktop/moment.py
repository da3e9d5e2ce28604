"""The moment at which something is written down: the clock's time, on the day the program works from."""

from __future__ import annotations

from datetime import datetime, timedelta

from annual_planner.desktop.desk import Desk
from annual_planner.trade.said import said_date

ONE_DAY = timedelta(days=1)
"""The day the program works from follows the clock a few minutes after midnight."""


def moment_of(desk: Desk) -> datetime:
    """Now, with the zone of this computer; on the sample fleet's own day where one is set.

    A day that is fixed has no tomorrow: once the clock has passed midnight, its last moment stands.
    """
    now = datetime.now().astimezone().replace(microsecond=0)
    if timedelta() <= now.date() - desk.today <= ONE_DAY:
        return now
    there, before = datetime.combine(desk.today, now.time()).astimezone(), desk.last_moment
    desk.last_moment = max(there, before) if before is not None and before.date() == desk.today else there
    return desk.last_moment


def moment_text(moment: datetime) -> str:
    """A moment as people read it, in the zone of this computer: 4 May 14:05."""
    here = moment.astimezone()
    return f"{here.day} {here:%b} {here:%H:%M}"


def moment_with_zone(moment: datetime) -> str:
    """A moment on this computer's clock, with year and zone: 4 May 2026 14:05 UTC."""
    here = moment.astimezone()
    return f"{said_date(here.date())} {here:%H:%M %Z}"
