"""Signing a log entry: the draft becomes the record, and the entry that it corrects is superseded."""

from __future__ import annotations

from typing import TYPE_CHECKING

from annual_planner.records.card_signing import card_work, piece_of
from annual_planner.records.signable import Signable
from annual_planner.store.signed_subjects import EntryToSign, card_to_sign, entry_to_sign, newest_signed
from annual_planner.store.writing import change
from annual_planner.trade.cards import WorkKind
from annual_planner.trade.people import WorkPiece
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date
from annual_planner.trade.signing import AIRWORTHY, LIST_GIVEN, PERFORMED, ToSign, meanings_of

if TYPE_CHECKING:
    from annual_planner.store.session import Work

TABLE = "log_entry"
INSPECTIONS = ("annual", "100-hour", "progressive")
_SIDES = ("airframe", "engine", "propeller")


def read_entry(work: Work, entry_id: int) -> ToSign:
    """The entry as it stands."""
    entry = entry_to_sign(work, entry_id)
    works = works_of(work, entry)
    return ToSign(
        kind="entry",
        said=f"entry {entry_id} of {said_date(entry.work_on)}",
        values=entry.values,
        work_on=entry.work_on,
        meanings=_meanings(entry, works),
        works=works,
        aircraft_id=entry.aircraft_id,
        package_id=entry.package_id,
        performer_id=_performer(entry),
        corrects_id=newest_signed(work, TABLE, entry.corrects_id) if entry.corrects_id else None,
        correction_why=entry.correction_why,
    )


def _meanings(entry: EntryToSign, works: tuple[WorkPiece, ...]) -> tuple[str, ...]:
    if entry.kind == "inspection":
        return (AIRWORTHY if entry.approved else LIST_GIVEN,)
    return (PERFORMED,) if entry.kind == "preventive maintenance" else meanings_of(works)


def _performer(entry: EntryToSign) -> int | None:
    found = entry.facts.get("performer_id")
    return found if isinstance(found, int) else None


def works_of(work: Work, entry: EntryToSign) -> tuple[WorkPiece, ...]:
    """The pieces of work an entry is about, each of which its signer must be entitled to.

    An inspection's entry always asks for the right to make that inspection, whatever else its facts say.
    """
    told = entry.facts.get("work")
    pieces = [piece_of(_title(entry), each) for each in told] if isinstance(told, list) else []
    if entry.card_id is not None:
        pieces.append(card_work(card_to_sign(work, entry.card_id)))
    if entry.kind == "inspection":
        return (_inspection(entry), *pieces)
    return tuple(pieces) or (_cautious(entry),)


def _title(entry: EntryToSign) -> str:
    return f"{entry.kind} on the {entry.side}"


def _side(entry: EntryToSign) -> str:
    return entry.side if entry.side in _SIDES else "airframe"


def _inspection(entry: EntryToSign) -> WorkPiece:
    inspection = str(entry.facts.get("inspection") or "annual")
    title = f"{inspection} inspection"
    return WorkPiece(title, WorkKind.INSPECT, _side(entry), inspection=inspection)


def _cautious(entry: EntryToSign) -> WorkPiece:
    """Where nothing says what the work was: a repair, or what the preventive list names."""
    named = entry.facts.get("preventive")
    listed = tuple(str(each) for each in named) if isinstance(named, list) else ()
    if entry.kind == "preventive maintenance":
        return WorkPiece(_title(entry), WorkKind.SERVICE, _side(entry), preventive=listed)
    return WorkPiece(_title(entry), WorkKind.REPAIR, _side(entry))


def check_entry(work: Work, entry_id: int) -> None:
    """Raise Refused for an entry that is no draft or leaves open what its signature would mean."""
    entry = entry_to_sign(work, entry_id)
    if entry.state != "draft":
        raise Refused(
            f"Entry {entry_id} is {entry.state} already.",
            "Write a new entry that corrects it, and sign that.",
        )
    if not str(entry.values["text"]).strip():
        raise Refused(f"Entry {entry_id} has no text.", "Write what was done, then sign it.")
    if entry.kind == "inspection":
        _check_inspection(entry_id, entry)
    if entry.corrects_id is not None:
        _check_correction(work, entry)


def _check_inspection(entry_id: int, entry: EntryToSign) -> None:
    if entry.approved is None:
        raise Refused(
            f"Entry {entry_id} leaves open whether the airplane was found airworthy.",
            "Settle it: approved, or not approved with the list of discrepancies.",
        )
    if str(entry.facts.get("inspection") or "annual") not in INSPECTIONS:
        raise Refused(
            f"'{entry.facts['inspection']}' is no inspection that the rules require.",
            f"Choose among {', '.join(INSPECTIONS)}.",
        )


def _check_correction(work: Work, entry: EntryToSign) -> None:
    if not entry.correction_why.strip():
        raise Refused("The correction gives no reason.", "Write why the earlier entry is corrected.")
    corrected = entry_to_sign(work, entry.corrects_id or 0)
    if corrected.state != "signed":
        raise Refused(
            f"Entry {entry.corrects_id} is {corrected.state}; only a signed entry is corrected.",
            "Correct the newest signed entry, or change the draft itself.",
        )


def settle_entry(work: Work, entry_id: int, record_id: int) -> None:
    """Make the draft a record, and the entry that it corrects a superseded one."""
    entry = entry_to_sign(work, entry_id)
    _set_state(work, entry_id, entry.aircraft_id, "draft", "signed")
    if entry.corrects_id is not None:
        _set_state(work, entry.corrects_id, entry.aircraft_id, "signed", "superseded")


def _set_state(work: Work, entry_id: int, aircraft_id: int, saw: str, wants: str) -> None:
    said = f"entry {entry_id}"
    change(work, TABLE, entry_id, {"state": saw}, {"state": wants}, aircraft_id=aircraft_id, said=said)


SIGNABLE = Signable(read_entry, check_entry, settle_entry, touches="entry")
