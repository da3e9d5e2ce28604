"""Work off the window's thread: many readers, one writer, answers on the window's thread.

    jobs.read(lambda work: fleet_lines(work, ids), self, self._show)           # reads in one session
    jobs.write(RecordReading(...), self, done=self._saved, failed=self._said)  # one edit through the writer
    jobs.long(lambda progress: make_pdf(..., progress), self, done, says="Drawing the package")

A newer question of the same asker and topic replaces an older one; an answer to a closed page is dropped.
What is asked before the fleet is open waits, without a thread, until it is taken in.
Work gets plain values and returns plain values; it touches no widget.
"""

from __future__ import annotations

import logging
import traceback
from collections.abc import Callable
from datetime import date, datetime
from functools import cached_property
from typing import TYPE_CHECKING, Any, TypeVar

import shiboken6
from PySide6.QtCore import QObject, Qt, Signal

from annual_planner.desktop.progress import Cancelled, Progress
from annual_planner.desktop.trail import Trail, Way
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from concurrent.futures import Future, ThreadPoolExecutor

    from annual_planner.records.edits import Changed, Edit
    from annual_planner.store.session import Fleet, Work

T = TypeVar("T")
Failed = Callable[[Exception], None]
log = logging.getLogger(__name__)

READERS = 2
LONGEST_SAVING_S = 20
"""How long a window that closes waits for a server to take what is being saved."""
LONGEST_ANSWER_S = 0.5
"""How long it waits for answers that nobody wants any more, before it hangs up on a server."""


class Job:
    """One piece of work on its way, and whom its answer is for."""

    def __init__(
        self,
        progress: Progress,
        asker: QObject,
        topic: str,
        done: Callable[[Any], None] | None,
        failed: Failed | None,
    ) -> None:
        self.progress = progress
        self.asker = asker
        self.topic = topic
        self.done = done
        self.failed = failed
        self.stale = False


class Jobs(QObject):
    """The readers, the one writer and the answers still awaited."""

    changed = Signal(frozenset)
    """Kinds that an edit has touched; pages that show one of them ask again."""
    saved = Signal(datetime)
    refused = Signal(object)
    """A Refused that no asker took: shown by the window."""
    broke = Signal(str, str)
    """A fault of the program: one calm sentence, and the report."""
    running = Signal()
    """The list of running jobs changed, or one of them came further."""
    _arrived = Signal(object, object, object)

    def __init__(
        self,
        fleet: Fleet | None,
        by: Callable[[], str],
        today: date,
        parent: QObject | None = None,
        *,
        may_edit: Callable[[], bool] = lambda: True,
    ) -> None:
        super().__init__(parent)
        self._fleet = fleet
        self.today = today
        self.trail = Trail(self)
        self._by = by
        self._may_edit = may_edit
        self._awaited: list[Job] = []
        self._held: list[tuple[Callable[[Progress], Any], Job]] = []
        self._reads: set[Future[None]] = set()
        self._writes: set[Future[None]] = set()
        self._closed = False
        self._arrived.connect(self._answer, Qt.ConnectionType.QueuedConnection)

    @property
    def fleet(self) -> Fleet:
        """The fleet. LookupError while it is still being opened: no job has begun then."""
        if self._fleet is None:
            raise LookupError("the fleet is still being opened")
        return self._fleet

    @property
    def is_open(self) -> bool:
        """True once the fleet is there."""
        return self._fleet is not None

    def take(self, fleet: Fleet) -> None:
        """Take in the fleet that was awaited, and begin what was asked meanwhile."""
        self._fleet = fleet
        held, self._held = self._held, []
        for work, job in held:
            if not job.stale:
                self._begin(work, job)
            else:
                self._awaited.remove(job)
        self.running.emit()

    @cached_property
    def _readers(self) -> ThreadPoolExecutor:
        """The threads that read, begun with the first question: the window is painted before."""
        from concurrent.futures import ThreadPoolExecutor

        return ThreadPoolExecutor(READERS, "reader")

    @cached_property
    def _writer(self) -> ThreadPoolExecutor:
        """The one thread that writes, begun with the first edit."""
        from concurrent.futures import ThreadPoolExecutor

        return ThreadPoolExecutor(1, "writer")

    @property
    def awaited(self) -> tuple[Progress, ...]:
        """The jobs whose answers are still to come, oldest first."""
        return tuple(job.progress for job in self._awaited if not job.stale)

    def read(
        self,
        work_fn: Callable[[Work], T],
        asker: QObject,
        done: Callable[[T], None],
        failed: Failed | None = None,
        *,
        topic: str = "",
        says: str = "Reading the fleet",
    ) -> Progress:
        """Ask the fleet off the window's thread. `done` gets the value on the window's thread."""

        def work(progress: Progress) -> T:
            progress.check()
            with self.fleet.reading() as reading:
                return work_fn(reading)

        return self._start(work, Job(Progress(says), asker, topic, done, failed))

    def long(
        self,
        work_fn: Callable[[Progress], T],
        asker: QObject,
        done: Callable[[T], None],
        failed: Failed | None = None,
        *,
        topic: str = "long",
        says: str = "Working",
    ) -> Progress:
        """Do long work that reports its progress and can be stopped; it may open `self.fleet.reading()`."""
        job = Job(Progress(says, lambda _progress: self.running.emit()), asker, topic, done, failed)
        return self._start(work_fn, job)

    def write(
        self,
        edit: Edit,
        asker: QObject,
        done: Callable[[Changed], None] | None = None,
        failed: Failed | None = None,
    ) -> Progress:
        """Apply an edit through the one writer; it can be taken back from the Edit menu.

        Whoever may only look is refused here, whatever a page offers.
        """
        if not self._may_edit():
            self._tell(
                Refused(
                    "Owners look at the fleet and change nothing in it.", "Ask the shop to write it down."
                ),
                failed,
            )
            return Progress(edit.says)
        return self._write(edit, edit.says, "new", asker, done, failed)

    def bring_forward(self, today: date) -> Progress:
        """Bring what is kept as due up to this day, off the window's thread: days pass without an edit."""
        from annual_planner.records.due_today import bring_forward

        self.today, by = today, self._by()

        def work(progress: Progress) -> int:
            return bring_forward(self.fleet, by, today, go_on=progress.check)

        def brought(count: int) -> None:
            if count:
                self.changed.emit(frozenset({"aircraft", "due"}))

        job = Job(Progress("Bringing what is due up to today"), self, "forward", brought, None)
        return self._start(work, job)

    def undo(self, asker: QObject) -> None:
        """Take the newest edit back, by the same door as every edit."""
        entry = self.trail.undo
        if entry is not None and self._may_edit() and not self._writing():
            self._write(entry.edit, entry.says, "undo", asker, None, None)

    def redo(self, asker: QObject) -> None:
        """Do again what was taken back last."""
        entry = self.trail.redo
        if entry is not None and self._may_edit() and not self._writing():
            self._write(entry.edit, entry.says, "redo", asker, None, None)

    def close(self) -> None:
        """Stop what reads, finish what writes, and let no thread behind."""
        self._closed = True
        for job in self._awaited:
            job.stale = True
            if job.topic != "write":
                job.progress.cancel()
        self._held.clear()
        if self._fleet is not None:
            from concurrent.futures import wait

            self._readers.shutdown(wait=False, cancel_futures=True)
            wait(self._writes, None if self._fleet.path else LONGEST_SAVING_S)
            while wait(self._reads, LONGEST_ANSWER_S).not_done:
                self._fleet.hang_up()  # a server that answers no more would keep them for ever
            self._readers.shutdown(wait=True)
            self._writer.shutdown(wait=True)

    def _writing(self) -> bool:
        return any(job.topic == "write" for job in self._awaited)

    def _write(
        self,
        edit: Edit,
        says: str,
        way: Way,
        asker: QObject,
        done: Callable[[Changed], None] | None,
        failed: Failed | None,
    ) -> Progress:
        from annual_planner.records.apply import apply

        by = self._by()

        def work(_progress: Progress) -> Changed:
            return apply(self.fleet, edit, by, self.today)

        def wrote(changed: Changed) -> None:
            self.trail.applied(way, says, changed.back)
            self.saved.emit(datetime.now().astimezone())
            self.changed.emit(changed.kinds)
            if done is not None and shiboken6.isValid(asker):
                done(changed)

        def refused(error: Exception) -> None:
            self.trail.drop(way)
            if isinstance(error, Refused) and self._may_be_stale(error):
                from annual_planner.records.edits import KINDS

                self.changed.emit(KINDS)  # by whom and how isn't known: whatever is shown is read again
            self._tell(error, failed if shiboken6.isValid(asker) else None)

        return self._start(work, Job(Progress(f"Saving {says}"), self, "write", wrote, refused))

    def _may_be_stale(self, error: Refused) -> bool:
        """Say whether what is shown may differ from the fleet: on a server another bench may be the cause."""
        return error.stale or (not error.passing and self._fleet is not None and self._fleet.path is None)

    def _start(self, work: Callable[[Progress], Any], job: Job) -> Progress:
        if self._closed:
            return job.progress
        if job.topic != "write":
            self._replace(job)
        self._awaited.append(job)
        if self._fleet is None:
            self._held.append((work, job))
        else:
            self._begin(work, job)
        self.running.emit()
        return job.progress

    def _begin(self, work: Callable[[Progress], Any], job: Job) -> None:
        pool = self._writer if job.topic == "write" else self._readers
        future = pool.submit(self._attempt, work, job)
        running = self._writes if job.topic == "write" else self._reads
        running.add(future)
        future.add_done_callback(running.discard)

    def _replace(self, newer: Job) -> None:
        for job in self._awaited:
            if job.asker is newer.asker and job.topic == newer.topic:
                job.stale = True
                job.progress.cancel()

    def _attempt(self, work: Callable[[Progress], Any], job: Job) -> None:
        """Run on a worker thread: a value or an exception comes out; nothing is raised here."""
        try:
            value, error = work(job.progress), None
        except Exception as caught:
            value, error = None, caught
        if not self._closed:
            self._arrived.emit(job, value, error)

    def _answer(self, job: Job, value: object, error: Exception | None) -> None:
        self._awaited.remove(job)
        self.running.emit()
        if self._closed or job.stale or not shiboken6.isValid(job.asker):
            return
        if error is None:
            if job.done is not None:
                job.done(value)
        elif job.topic == "write" and job.failed is not None:
            job.failed(error)
        else:
            self._tell(error, job.failed)

    def _tell(self, error: Exception, failed: Failed | None) -> None:
        """Tell the asker, or the window where the asker takes no errors; log what is a fault of ours."""
        if isinstance(error, Cancelled):
            return
        if not isinstance(error, Refused):
            report = "".join(traceback.format_exception(error))
            log.error("%s", report)
            self.broke.emit("Something went wrong in the program. Nothing was lost.", report)
        elif failed is None:
            self.refused.emit(error)
        if failed is not None:
            failed(error)
