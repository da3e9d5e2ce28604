"""Taking in an airplane that another keeper handed over: looked at first, then recorded, all or nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import TYPE_CHECKING, Any, Protocol

from annual_planner.records.closing_statement import check_statement, handed_to, signed_by
from annual_planner.records.edits import Changed
from annual_planner.records.held_against import held_against
from annual_planner.records.joining import RECEIVED, Joined
from annual_planner.records.known import Again, Same, known_airplane
from annual_planner.records.received import chain_faults
from annual_planner.records.trial import cant_take, keep_due
from annual_planner.store.audit import note_change
from annual_planner.store.hand_over_rows import FILES, HandedOver, SentChain
from annual_planner.store.named_steps import reached
from annual_planner.store.taking_writes import Ids, go_on, names_taken, take_chain, take_rows
from annual_planner.store.writing import lock_aircraft
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work

CONTACT = "named in records that were taken in"
"""Stands with people who are in the fleet only because records taken in name them."""
KINDS = frozenset(
    {"aircraft", "reading", "requirement", "compliance", "due", "package", "card", "person", "discrepancy"}
    | {"signature", "paper", "engine", "work", "photograph"}
)


_MOST_FAULTS = 2
"""The first is said, and that there are more."""


def check_seals(records: HandedOver) -> None:
    """Raises Refused, naming the first fault, where a signed record of the file no longer matches."""
    for chain in records.chains:
        links = [each.link for each in chain.links]
        faults = chain_faults(links, chain.last_link, chain.last_seal, most=_MOST_FAULTS) or _foreign(chain)
        if chain is records.chains[-1]:
            faults = faults or list(_misplaced(chain, records.aircraft["id"]))
        if faults:
            more = " (and more)" if len(faults) > 1 else ""
            raise cant_take(f"signed by {chain.keeper}, {faults[0]}{more}")


def _foreign(chain: SentChain) -> list[str]:
    """Links of one chain are about one airplane of its fleet, and each is there for a reason."""
    about = {each.link.sealed.aircraft_id for each in chain.links if each.link.sealed.kind != "key closed"}
    return [f"its records are about {len(about)} airplanes"] if len(about) > 1 or None in about else []


def _misplaced(chain: SentChain, aircraft_id: int) -> Iterator[str]:
    """The last keeper's numbers are those of the file: nothing signed is put beside another row."""
    for each in chain.links:
        sealed = each.link.sealed
        if each.row_id not in (None, sealed.subject_id) or each.package_id not in (None, sealed.package_id):
            yield f"link {sealed.link}: it stands beside another row than was signed"
        if sealed.aircraft_id not in (None, aircraft_id):
            yield f"link {sealed.link}: it is about another airplane"


class Files(Protocol):
    """Gives the pictures and papers that belong to the rows."""

    def bytes_of(self, table: str, sha256: str) -> bytes:
        """A picture or a paper."""
        ...

    def thumbnail_of(self, sha256: str) -> bytes:
        """A photograph made small."""
        ...


@dataclass(frozen=True, slots=True)
class TakeIn:
    """Record everything that a checked hand-over file holds; it can't be taken back."""

    records: HandedOver
    file_sha256: str
    files: Files = field(repr=False)
    at: datetime
    changed: tuple[str, ...] = ()
    """What the preview found changed after it was signed; it goes into the trail."""
    same: Same = field(default=Same())
    """What a person said is known here already."""

    @property
    def says(self) -> str:
        """What the trail calls it."""
        return f"took in {self.records.aircraft['registration']} from {self.records.chains[-1].keeper}"

    def apply(self, work: Work, today: date) -> Changed:
        """Check the seals again and record it. Raises Refused where anything of it can't be recorded."""
        check_seals(self.records)
        check_statement(self.records)
        again = known_airplane(work, self.records)
        if again is not None:
            _check_said(again, self.same)
            lock_aircraft(work, again.here.aircraft_id)
        held = held_against(work, self.records, self.same, again)
        ids = self._rows(work, held)
        aircraft_id = ids["aircraft"][self.records.aircraft["id"]]
        reached("airplane written")
        for chain in self.records.chains if again is None else again.chains:
            take_chain(work, chain, ids, aircraft_id, file_sha256=self.file_sha256, taken_at=self.at)
        reached("received records written")
        keep_due(work, aircraft_id, today)
        reached("due list kept")
        self._note(work, aircraft_id, held, again)
        reached("airplane taken in")
        return Changed(KINDS, None, aircraft_id, aircraft_id)

    def _rows(self, work: Work, held: Joined) -> Ids:
        names = Names(work, self.records, held.known)
        finish = _Finishing(names, self.files).columns
        ids = take_rows(work, self.records, finish, known=held.known, withheld=held.withheld)
        rows = {name: {row["id"]: row for row in each} for name, each in self.records.tables.items()}
        aircraft_id = ids["aircraft"][self.records.aircraft["id"]]
        for each in held.gone_on:
            row = rows[each.table][each.file_id]
            go_on(work, each.table, row, ids, each.columns, each.here_id, aircraft_id)
        return ids

    def _note(self, work: Work, aircraft_id: int, held: Joined, again: Again | None) -> None:
        told: dict[str, object] = {name: number for name, number in held.new.items() if number}
        chains = self.records.chains if again is None else again.chains
        told |= {
            "file SHA-256": self.file_sha256,
            "keeper": self.records.chains[-1].keeper,
            "changed after signing": list(self.changed),
            "signed records": sum(len(chain.links) for chain in chains),
            "closing statement signed by": signed_by(self.records.statement),
        }
        to = handed_to(self.records.statement)
        if to is not None:
            told |= {"handed to": to.name, "handed on": to.on}
        if again is not None:
            told["known here already"] = sum(len(each) for each in held.known.values())
        note_change(work, "aircraft", aircraft_id, aircraft_id, self.says, {}, told)


def _check_said(again: Again, same: Same) -> None:
    if not same.airplane:
        raise Refused(
            f"{again.here.registration} is in this fleet already.",
            "Say that it is the airplane known here: what is new is then recorded beside what is here. "
            "Nothing was recorded.",
        )


class Names:
    """Names that are unique in a fleet, changed where this fleet has given them away."""

    def __init__(self, work: Work, records: HandedOver, known: Ids) -> None:
        registration = str(records.aircraft["registration"])
        self._known = known
        self.changed: list[str] = []
        self.tags = self._free(work, records, "spark_plug", "tag", f" ({registration})")
        self.numbers = self._free(work, records, "work_package", "number", " (received)")
        self.people = self._free(work, records, "person", "name", f" (records of {registration})")

    def _free(
        self, work: Work, records: HandedOver, table: str, column: str, suffix: str
    ) -> Mapping[str, str]:
        known = self._known.get(table, {})
        wanted = [str(row[column]) for row in records.tables[table] if row["id"] not in known]
        taken = names_taken(work, table, column, wanted)
        given: dict[str, str] = {}
        for name in wanted:
            found = name
            while found in taken or found in given.values():
                found = f"{found}{suffix}"
                taken |= names_taken(work, table, column, [found])
            given[name] = found
            if found != name:
                self.changed.append(f"'{name}' is somebody or something else here: taken in as '{found}'")
        return given


class _Finishing:
    """Gives the columns that a hand-over leaves out, or that are otherwise in this fleet."""

    def __init__(self, names: Names, files: Files) -> None:
        self._names = names
        self._files = files

    def columns(self, table: str, row: Mapping[str, Any], ids: Ids) -> dict[str, Any]:
        """Those of one row."""
        if table in FILES:
            return self._file(table, row)
        if table == "person":
            return {"name": self._names.people[row["name"]], "roles": [], "contact": CONTACT}
        if table == "aircraft":
            return {"owner_id": None}
        if table == "spark_plug":
            return {"tag": self._names.tags[row["tag"]], "spare": False}
        if table == "work_package":
            return {"number": self._names.numbers[row["number"]]}
        if table == "work_card":
            return {"content": _with_ids(row["content"], "requirements", ids["requirement"])}
        return {"facts": _with_ids(row["facts"], "card", ids["work_card"])} if "facts" in row else {}

    def _file(self, table: str, row: Mapping[str, Any]) -> dict[str, Any]:
        content = self._files.bytes_of(table, row["sha256"])
        if table == "filed_paper":
            title = str(row["title"]).removeprefix(RECEIVED)
            return {"pdf": content, "title": f"{RECEIVED}{title}"}
        return {"jpeg": content, "thumbnail": self._files.thumbnail_of(row["sha256"])}


def _with_ids(values: Mapping[str, Any], name: str, ids: Mapping[int, int]) -> dict[str, Any]:
    """The values with the ids under one name turned into those of this fleet."""
    told = values.get(name)
    if isinstance(told, Sequence) and not isinstance(told, str):
        return {**values, name: [ids[each] for each in told if isinstance(each, int) and each in ids]}
    return {**values, name: ids.get(told)} if isinstance(told, int) else dict(values)
