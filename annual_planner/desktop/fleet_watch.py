"""Once the window stands: a quick look at the fleet file and at where it lies; what is wrong is said."""

from __future__ import annotations

import logging
from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import QTimer

from annual_planner.desktop.jobs import Jobs
from annual_planner.desktop.widgets import Strip

if TYPE_CHECKING:
    from annual_planner.desktop.progress import Progress
    from annual_planner.store.drives import Surroundings
    from annual_planner.store.session import Fleet

log = logging.getLogger(__name__)
LOOK_AFTER_MS = 2_000
"""After the window is up: the start has the disk to itself."""

LOOKING = (
    "Your login may only look at this fleet: nothing you do is saved, and what is due stays as last kept."
)
LOOKING_REMEDY = "Ask whoever runs the server for a login that may write."


class Watched(NamedTuple):
    """What a person must be told of the fleet file, and what to do; empty when all is well."""

    said: str = ""
    remedy: str = ""


def watch_later(jobs: Jobs, strip: Strip) -> None:
    """Look at the fleet file a little later, unless the window has gone by then; at a server, ever after."""
    QTimer.singleShot(LOOK_AFTER_MS, strip, lambda: _begin(jobs, strip))


def _begin(jobs: Jobs, strip: Strip) -> None:
    watch(jobs, strip)
    if jobs.fleet.path is None:
        from annual_planner.desktop.other_benches import OtherBenches

        OtherBenches(jobs, strip)


def watch(jobs: Jobs, strip: Strip) -> None:
    """Look at the fleet file off the window's thread and say what is wrong."""

    def work(progress: Progress) -> Watched:
        from annual_planner.store.drives import surroundings

        return looked_at(jobs.fleet, surroundings(), progress)

    def done(watched: Watched) -> None:
        if watched.said:
            strip.say(watched.said, watched.remedy)

    jobs.long(work, strip, done, lambda _error: None, topic="watch", says="Looking through the fleet file")


def looked_at(fleet: Fleet, around: Surroundings, progress: Progress) -> Watched:
    """Whether the file is damaged, else whether it lies on a network drive."""
    from annual_planner.store.drives import network_drive
    from annual_planner.store.quick_look import quick_faults

    if fleet.path is None:
        return Watched(LOOKING, LOOKING_REMEDY) if fleet.read_only else Watched()
    faults = quick_faults(fleet, progress)
    if faults:
        log.error("%s is damaged: %s", fleet.path, "; ".join(faults))
        return Watched(
            f"The fleet file {fleet.path.name} is damaged: {faults[0]}.",
            "Nothing was removed. Record nothing more in it and keep it aside. Restore the last backup under"
            " a new name (File, Restore backup), then open that.",
        )
    drive = network_drive(fleet.path.resolve(), around)
    if drive:
        return Watched(
            f"The fleet file lies on a network drive ({drive}). It can be damaged there, and what was saved"
            " can be lost.",
            "Back it up to this computer's own disk (File, Back up fleet) and work with that file. Several"
            " benches share a fleet on a PostgreSQL server.",
        )
    return Watched()
