"""What of a hand-over may be known here besides the airplane: assemblies and people, offered to a person."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from annual_planner.records.chain import signed_content
from annual_planner.records.joining import plain_name
from annual_planner.records.known import Again, of_airplane
from annual_planner.store.hand_over_rows import HandedOver
from annual_planner.store.known_here import AssemblyHere, StayHere, assemblies_like, people_like
from annual_planner.trade.said import said_date

if TYPE_CHECKING:
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class Offer:
    """Something in the file that may be something known here."""

    table: str
    """'assembly' or 'person'."""
    file_id: int
    here_id: int
    name: str
    """By which a person says that it is the same: 'engine E5', 'Mo Tarn'."""
    told: str
    """By what it may be the one known here."""
    why_not: str = ""
    """Why it can't be the same, though it seems to be; empty where it may be."""

    @property
    def said(self) -> str:
        """That it may be, or seems to be, the one known here."""
        return f"{self.name} {'is as one' if self.why_not else 'is the one'} known here ({self.told})"


def assembly_offers(work: Work, records: HandedOver, again: Again | None) -> Iterator[Offer]:
    """Assemblies of the file that may be ones known here; those of an airplane known here are its own."""
    rows = [each for each in records.tables["assembly"] if each["serial"] and each["kind"] != "airframe"]
    here = assemblies_like(work, {each["serial"] for each in rows})
    for row in rows:
        found = next((each for each in here if _what(each) == _what_row(row)), None)
        of = again.here.aircraft_id if again else None
        if found is None or any(stay.aircraft_id == of for stay in found.stays):
            continue
        name = f"{row['kind']} {row['serial']}"
        clash = _clash(_stays(records, row["id"]), found.stays)
        last = f", last on {found.stays[-1].registration}" if found.stays else ""
        told = f"{found.maker} {found.model}{last}"
        yield Offer("assembly", row["id"], found.assembly_id, name, told, clash)


def _what(here: AssemblyHere) -> tuple[str, ...]:
    return here.kind, here.maker, here.model, here.serial


def _what_row(row: Mapping[str, Any]) -> tuple[str, ...]:
    return row["kind"], row["maker"], row["model"], row["serial"]


def _stays(records: HandedOver, assembly_id: int) -> list[tuple[date, date]]:
    return [
        (row["fitted_on"], row["removed_on"] or date.max)
        for row in records.tables["installation"]
        if row["assembly_id"] == assembly_id
    ]


def _clash(file: list[tuple[date, date]], here: Iterable[StayHere]) -> str:
    for stay in here:
        for fitted, removed in file:
            if fitted < (stay.removed_on or date.max) and stay.fitted_on < removed:
                until = f" to {said_date(stay.removed_on)}" if stay.removed_on else " and is fitted to it"
                return (
                    f"here it was on {stay.registration} from {said_date(stay.fitted_on)}{until}, and in the "
                    f"file it is on this airplane from {said_date(fitted)}: it can't be on both at once. "
                    f"Write on the page of {stay.registration} when it was removed"
                )
    return ""


def person_offers(work: Work, records: HandedOver, again: Again | None) -> Iterator[Offer]:
    """People of the file with the name of somebody here; the same only where a certificate number says so."""
    registration = str(records.aircraft["registration"])
    rows = records.tables["person"]
    plain = {row["id"]: plain_name("person", row, registration) for row in rows}
    people = people_like(work, set(plain.values()))
    settled = settled_people(work, records, again)
    for row in rows:
        if row["id"] in settled or plain[row["id"]] not in people:
            continue
        here_id, held = people[plain[row["id"]]]
        told = _certificates(records, row, plain)
        told_by, why_not = _compared(told, held)
        yield Offer("person", row["id"], here_id, row["name"], told_by, why_not)


def settled_people(work: Work, records: HandedOver, again: Again | None) -> dict[int, int]:
    """People whom the airplane's own records here name: the same, unless their certificate numbers differ."""
    if again is None:
        return {}
    found, names = of_airplane(records, again), {row["id"]: row["name"] for row in again.tables["person"]}
    people = people_like(work, set(names.values()))
    registration = str(records.aircraft["registration"])
    rows = {row["id"]: row for row in records.tables["person"]}
    plain = {row_id: plain_name("person", row, registration) for row_id, row in rows.items()}
    return {
        file_id: here_id
        for file_id, here_id in found.items()
        if not _other(_certificates(records, rows[file_id], plain), people[names[here_id]][1])
    }


def _other(told: set[tuple[str, str]], held: frozenset[tuple[str, str]]) -> set[str]:
    """Kinds of certificate whose numbers differ."""
    return {kind for kind, number in told for kind_, number_ in held if kind == kind_ and number != number_}


def _compared(told: set[tuple[str, str]], held: frozenset[tuple[str, str]]) -> tuple[str, str]:
    same = sorted(told & held)
    if same and not _other(told, held):
        kind, number = same[0]
        return f"the same certificate, {kind.replace('_', ' ')} {number}", ""
    if told and held:
        return "the same name", "their certificate numbers are not the same"
    missing = "the file names no certificate number" if not told else "no certificate is written down here"
    return "the same name", missing


def _certificates(
    records: HandedOver, row: Mapping[str, Any], plain: Mapping[int, str]
) -> set[tuple[str, str]]:
    """Kind and number of the certificates that stand in what the person signed."""
    mine = plain[row["id"]]
    alone = [each for each, name in plain.items() if name == mine] == [row["id"]] or row["name"] != mine
    found: set[tuple[str, str]] = set()
    for chain in records.chains:
        for sent in chain.links:
            last = chain is records.chains[-1]
            by = sent.link.sealed.person_id == row["id"] if last else alone and sent.link.person == mine
            if by and sent.link.person == mine:
                found |= set(_signed_with(signed_content(sent.link)))
    return found


def _signed_with(content: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    signer = content.get("signer")
    held = signer.get("certificates") if isinstance(signer, Mapping) else None
    for each in held if isinstance(held, list) else ():
        if isinstance(each, Mapping) and each.get("number"):
            yield str(each.get("kind", "")), str(each["number"])
