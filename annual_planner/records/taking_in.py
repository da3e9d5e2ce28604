"""Taking in an airplane that another keeper handed over: looked at first, then recorded, all or nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import TYPE_CHECKING, Any, Protocol

from annual_planner.records.chain import signed_content
from annual_planner.records.edits import Changed
from annual_planner.records.received import chain_faults
from annual_planner.records.trial import cant_take, keep_due, tried
from annual_planner.store.audit import note_change
from annual_planner.store.hand_over_rows import FILES, HandedOver, SentChain
from annual_planner.store.named_steps import reached
from annual_planner.store.taking_writes import (
    Ids,
    assemblies_known,
    names_taken,
    same_airplane,
    take_chain,
    take_rows,
)
from annual_planner.trade.answer import said_date
from annual_planner.trade.refused import Refused
from annual_planner.trade.seals import fingerprint, seal_text

if TYPE_CHECKING:
    from annual_planner.store.rows import DueLine
    from annual_planner.store.session import Work

CONTACT = "named in records that were taken in"
"""Stands with people who are in the fleet only because records taken in name them."""
RECEIVED = "Received: "
"""Stands before the title of a paper that another keeper filed."""
KINDS = frozenset(
    {"aircraft", "reading", "requirement", "compliance", "due", "package", "card", "person", "discrepancy"}
    | {"signature", "paper", "engine", "work", "photograph"}
)
_DUES_SHOWN = 5
_SAID = {
    "assembly": "assemblies", "installation": "fittings", "meter_reading": "meter readings",
    "requirement": "requirements", "compliance": "doings of them", "work_package": "work packages",
    "work_card": "cards", "discrepancy": "discrepancies", "discrepancy_step": "steps of them",
    "spark_plug": "spark plugs", "plug_check": "looks at them", "compression_test": "compression tests",
    "photograph": "photographs", "filed_paper": "filed papers",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Preview:
    """What would be recorded, and what a person should know before it is."""

    lines: tuple[str, ...]
    remarks: tuple[str, ...]
    changed: tuple[str, ...]
    """Which of the remarks say that a row was changed after it was signed."""
    dues: tuple[DueLine, ...] = ()
    """What would be due first."""


def check_seals(records: HandedOver) -> None:
    """Raises Refused, naming the first fault, where a signed record of the file no longer matches."""
    for chain in records.chains:
        links = [each.link for each in chain.links]
        faults = chain_faults(links, chain.last_link, chain.last_seal) or _foreign(chain)
        if chain is records.chains[-1]:
            faults = faults or list(_misplaced(chain, records.aircraft["id"]))
        if faults:
            more = f" ({len(faults) - 1} more)" if len(faults) > 1 else ""
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


def preview(work: Work, records: HandedOver, today: date) -> Preview:
    """What taking it in would record, after doing so in a fleet that is thrown away.

    Raises Refused for broken seals, for an airplane that is here, and for records that don't fit together.
    """
    check_seals(records)
    _check_new(work, records)
    trial = tried(records, today)
    dues = trial.dues[:_DUES_SHOWN]
    lines = (*_lines(records), *(_due_line(line) for line in dues))
    return Preview(lines, (*_remarks(work, records), *trial.changed), trial.changed, dues)


def _due_line(line: DueLine) -> str:
    return f"due: {line.title}, {line.state}{f', {said_date(line.due_on)}' if line.due_on else ''}"


def _check_new(work: Work, records: HandedOver) -> None:
    airplane = records.aircraft
    here = same_airplane(work, airplane["registration"], airplane["maker"], airplane["serial"])
    if here:
        raise Refused(
            f"{here} is in this fleet already; the file holds {airplane['registration']}, "
            f"{airplane['maker']} {airplane['model']}, serial {airplane['serial']}.",
            "An airplane is taken in once; nothing was recorded.",
        )


def _lines(records: HandedOver) -> Iterator[str]:
    airplane, last = records.aircraft, records.chains[-1]
    yield (
        f"{airplane['registration']}, {airplane['maker']} {airplane['model']}, serial {airplane['serial']}, "
        f"handed over by {last.keeper} on {last.handed_on}"
    )
    counted = [f"{said} {len(records.tables[name])}" for name, said in _SAID.items() if records.tables[name]]
    yield f"holds: {', '.join(counted)}"
    for chain in records.chains:
        yield from _chain_lines(chain)


def _chain_lines(chain: SentChain) -> Iterator[str]:
    if not chain.links:
        yield f"signed records of {chain.keeper}: none"
        return
    yield f"signed records of {chain.keeper}: {len(chain.links)}, each whole and good with its key"
    yield from (f"  {line}" for line in _signers(chain))
    yield f"  last seal of that keeper's chain: {seal_text(chain.last_seal)}"


def _signers(chain: SentChain) -> list[str]:
    found: dict[tuple[str, str], int] = {}
    for each in chain.links:
        who = (each.link.person, fingerprint(each.link.sealed.public_key))
        found[who] = found.get(who, 0) + 1
    return [f"{name}, key {key}: {count}" for (name, key), count in sorted(found.items())]


def _remarks(work: Work, records: HandedOver) -> Iterator[str]:
    yield "signatures of earlier keepers are kept as received; they never count as signatures of this fleet"
    yield "who owns the airplane now isn't in the file; say so on its page"
    yield from _Names(work, records).changed
    known = assemblies_known(work, [each["serial"] for each in records.tables["assembly"] if each["serial"]])
    for each in records.tables["assembly"]:
        if (each["kind"], each["maker"], each["serial"]) in known:
            yield f"{each['kind']} {each['serial']} is in this fleet already; it would stand there twice"
    serial = str(records.aircraft["serial"])
    for chain in records.chains:
        for sent in chain.links:
            told = _signed_serial(sent.link)
            if told not in ("", serial):
                yield f"link {sent.link.sealed.link} of {chain.keeper} was signed about serial {told}"


def _signed_serial(link: Any) -> str:
    content = signed_content(link).get("content")
    airplane = content.get("airplane") if isinstance(content, Mapping) else None
    return str(airplane.get("serial") or "") if isinstance(airplane, Mapping) else ""


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

    @property
    def says(self) -> str:
        """What the trail calls it."""
        return f"took in {self.records.aircraft['registration']} from {self.records.chains[-1].keeper}"

    def apply(self, work: Work, today: date) -> Changed:
        """Check the seals again and record it. Raises Refused where anything of it can't be recorded."""
        check_seals(self.records)
        _check_new(work, self.records)
        names = _Names(work, self.records)
        ids = take_rows(work, self.records, _Finishing(names, self.files).columns)
        aircraft_id = ids["aircraft"][self.records.aircraft["id"]]
        reached("airplane written")
        for chain in self.records.chains:
            take_chain(work, chain, ids, aircraft_id, file_sha256=self.file_sha256, taken_at=self.at)
        reached("received records written")
        keep_due(work, aircraft_id, today)
        reached("due list kept")
        self._note(work, aircraft_id, ids)
        reached("airplane taken in")
        return Changed(KINDS, None, aircraft_id, aircraft_id)

    def _note(self, work: Work, aircraft_id: int, ids: Ids) -> None:
        told: dict[str, object] = {name: len(made) for name, made in ids.items() if made}
        told |= {
            "file SHA-256": self.file_sha256,
            "keeper": self.records.chains[-1].keeper,
            "changed after signing": list(self.changed),
            "signed records": sum(len(chain.links) for chain in self.records.chains),
        }
        note_change(work, "aircraft", aircraft_id, aircraft_id, self.says, {}, told)


class _Names:
    """Names that are unique in a fleet, changed where this fleet has given them away."""

    def __init__(self, work: Work, records: HandedOver) -> None:
        registration = str(records.aircraft["registration"])
        self.changed: list[str] = []
        self.tags = self._free(work, records, "spark_plug", "tag", f" ({registration})")
        self.numbers = self._free(work, records, "work_package", "number", " (received)")
        self.people = self._free(work, records, "person", "name", f" (records of {registration})")

    def _free(
        self, work: Work, records: HandedOver, table: str, column: str, suffix: str
    ) -> Mapping[str, str]:
        wanted = [str(row[column]) for row in records.tables[table]]
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

    def __init__(self, names: _Names, files: Files) -> None:
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
