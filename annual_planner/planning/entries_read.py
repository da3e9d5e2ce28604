"""Entries as they are printed and written out: text, who signed, the newest seal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from annual_planner.planning.closing import unairworthy_lines
from annual_planner.records.standing import Standing, signatures_on
from annual_planner.store.filed_reads import EntryLine, entries_of
from annual_planner.store.fleet_reads import fleet_fact
from annual_planner.store.signed_reads import last_link
from annual_planner.trade.refused import Refused
from annual_planner.trade.seals import seal_text

if TYPE_CHECKING:
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class EntryRead:
    """One entry with every signature on it, the oldest first."""

    line: EntryLine
    standings: tuple[Standing, ...]

    @property
    def signed(self) -> tuple[str, ...]:
        """Who signed it, with certificates, and whether it holds, a line each; none while nobody did."""
        return tuple(each.says_whole for each in self.standings)


@dataclass(frozen=True, slots=True)
class EntriesRead:
    """Entries of one airplane. `last_seal` is empty before the first signature of the fleet."""

    registration: str
    package: str
    """The package's number, empty where the entries belong to none or to several."""
    today: date
    demo: bool
    last_seal: str
    entries: tuple[EntryRead, ...]
    owner_list: tuple[str, ...] = ()
    """What is unairworthy today, where an inspection of these doesn't approve (14 CFR 43.11(b))."""


def read_entries(
    work: Work, today: date, *, package_id: int | None = None, entry_ids: Sequence[int] = ()
) -> EntriesRead:
    """Read the standing entries of a package, or the entries named by id: a fixed number of queries.

    Refused where there is none, and for entries of more than one airplane.
    """
    lines = entries_of(work, package_id=package_id, entry_ids=entry_ids)
    if not lines:
        raise Refused("There is no entry to print yet.", "Draft the entries under Closing first.")
    if len({line.aircraft_id for line in lines}) > 1:
        raise Refused("Those entries are of more than one airplane.", "Print them airplane by airplane.")
    signed = signatures_on(work, "log_entry", [line.entry_id for line in lines])
    last = last_link(work)
    packages = {line.package for line in lines}
    return EntriesRead(
        registration=lines[0].registration,
        package=packages.pop() if len(packages) == 1 else "",
        today=today,
        demo=fleet_fact(work, "demo") == "yes",
        last_seal=seal_text(last.seal) if last.link else "",
        entries=tuple(EntryRead(line, signed.get(line.entry_id, ())) for line in lines),
        owner_list=_owner_list(work, lines, today),
    )


def _owner_list(work: Work, lines: Sequence[EntryLine], today: date) -> tuple[str, ...]:
    """For the package of an inspection that doesn't approve; none for any other."""
    for line in lines:
        if line.kind == "inspection" and line.approved is False and line.package_id is not None:
            return unairworthy_lines(work, line.package_id, today)
    return ()
