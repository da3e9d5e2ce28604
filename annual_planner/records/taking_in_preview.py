"""What taking an airplane in would record, and what a person should know before it is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from annual_planner.records.chain import signed_content
from annual_planner.records.closing_statement import check_statement, statement_remarks
from annual_planner.records.held_against import held_against
from annual_planner.records.joining import GoneOn, Joined
from annual_planner.records.known import Again, Same, known_airplane, last_day
from annual_planner.records.offers import Offer, assembly_offers, person_offers
from annual_planner.records.taking_in import Names, check_seals
from annual_planner.records.trial import tried
from annual_planner.store.hand_over_rows import HandedOver, SentChain
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date
from annual_planner.trade.seals import fingerprint, seal_text

if TYPE_CHECKING:
    from annual_planner.store.rows import DueLine
    from annual_planner.store.session import Work

_DUES_SHOWN = 5
_MOST_NAMED = 20
_CALLED = (
    "title",
    "text",
    "tag",
    "registration",
    "name",
    "serial",
    "fitted_on",
    "read_on",
    "done_on",
    "kind",
)
_SAID = {
    "assembly": "assemblies", "installation": "fittings", "meter_reading": "meter readings",
    "requirement": "requirements", "compliance": "compliances", "work_package": "work packages",
    "work_card": "cards", "discrepancy": "discrepancies", "discrepancy_step": "steps of discrepancies",
    "spark_plug": "spark plugs", "plug_check": "plug checks", "compression_test": "compression tests",
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
    offers: tuple[Offer, ...] = ()
    """What may be something known here."""
    again: tuple[str, ...] = ()
    """For an airplane that is known here: until when, and what the file adds; else empty."""


def preview(work: Work, records: HandedOver, today: date, same: Same | None = None) -> Preview:
    """What taking it in would record, after doing so in a fleet that is thrown away.

    `same` is what a person said is known here; without it the airplane alone is, where it is here.
    Raises Refused for broken seals, for another airplane in its way, for a file that holds nothing new, and
    for records that don't fit together.
    """
    check_seals(records)
    check_statement(records)
    again = known_airplane(work, records)
    said = same or Same(airplane=again is not None)
    held = held_against(work, records, said, again)
    if again is not None:
        _check_more(again, held)
    trial = tried(records, today)
    dues = trial.dues[:_DUES_SHOWN]
    known = () if again is None else tuple(_again(records, again, held))
    offers = (*assembly_offers(work, records, again), *person_offers(work, records, again))
    remarks = (*_remarks(work, records, again, held, offers), *trial.changed)
    lines = (*_lines(records), *known, *(_due_line(line) for line in dues))
    return Preview(lines, remarks, trial.changed, dues, offers, known)


def _check_more(again: Again, held: Joined) -> None:
    if not any(held.new.values()) and not held.gone_on and not any(each.links for each in again.chains):
        raise Refused(
            f"{again.here.registration} is in this fleet already, and the file holds nothing more.",
            "Nothing was recorded.",
        )


def _again(records: HandedOver, again: Again, held: Joined) -> Iterator[str]:
    """Until when the airplane is known here, and what the file adds."""
    registration = again.here.registration
    until = last_day(again.tables, ())
    moments = [each.link.sealed.signed_at for chain in records.chains for each in chain.links]
    reaches = last_day(records.tables, moments)
    yield (
        f"{registration} is known here{f' up to {said_date(until)}' if until else ''}"
        f"{f'; the file goes to {said_date(reaches)}' if reaches else ''}"
    )
    if again.own:
        yield f"signed here: {_records(again.own)} in the file, each as it was signed here"
    yield f"already here: {sum(len(each) for each in held.known.values())} rows, not recorded again"
    yield f"new: {', '.join(_counted(held.new)) or 'no rows'}"
    signed = sum(len(chain.links) for chain in again.chains)
    yield f"new: {_records(signed)} of other keepers, kept as received"


def _records(number: int) -> str:
    return f"{number} signed record{'' if number == 1 else 's'}"


def _counted(numbers: Mapping[str, int]) -> list[str]:
    return [f"{said} {numbers[name]}" for name, said in _SAID.items() if numbers.get(name)]


def _due_line(line: DueLine) -> str:
    return f"due: {line.title}, {line.state}{f', {said_date(line.due_on)}' if line.due_on else ''}"


def _lines(records: HandedOver) -> Iterator[str]:
    airplane, last = records.aircraft, records.chains[-1]
    yield (
        f"{airplane['registration']}, {airplane['maker']} {airplane['model']}, serial {airplane['serial']}, "
        f"handed over by {last.keeper} on {last.handed_on}"
    )
    yield f"holds: {', '.join(_counted({name: len(rows) for name, rows in records.tables.items()}))}"
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


def _remarks(
    work: Work, records: HandedOver, again: Again | None, held: Joined, offers: Sequence[Offer]
) -> Iterator[str]:
    yield from statement_remarks(records)
    yield "signatures of earlier keepers are kept as received; they never count as signatures of this fleet"
    if again is None:
        yield "who owns the airplane now isn't in the file; say so on its page"
    yield from Names(work, records, held.known).changed
    for offer in offers:
        if offer.why_not:
            yield f"{offer.said}; they stay apart: {offer.why_not}"
    if again is not None:
        names = [row["name"] for row in records.tables["person"] if row["id"] in held.known["person"]]
        yield f"taken for the people whom its records name here: {', '.join(names) or 'nobody'}"
        yield from _gone_on(records, again, held)
    serial = str(records.aircraft["serial"])
    for chain in records.chains:
        for sent in chain.links:
            told = _signed_serial(sent.link)
            if told not in ("", serial):
                yield f"link {sent.link.sealed.link} of {chain.keeper} was signed about serial {told}"


def _gone_on(records: HandedOver, again: Again, held: Joined) -> Iterator[str]:
    """What changes of what is here, and what stays though the file says otherwise."""
    rows = {name: {row["id"]: row for row in each} for name, each in records.tables.items()}

    def named(each: GoneOn) -> str:
        columns = ", ".join(column.replace("_", " ") for column in each.columns)
        return f"{_thing(each.table, rows[each.table][each.file_id])}: {columns}"

    for each in held.gone_on[:_MOST_NAMED]:
        yield f"changed since at the other keeper, taken over with a line in the trail: {named(each)}"
    for each in held.otherwise[:_MOST_NAMED]:
        yield f"otherwise in the file, stays as it is here: {named(each)}"
    more = max(len(held.gone_on) - _MOST_NAMED, 0) + max(len(held.otherwise) - _MOST_NAMED, 0)
    if more:
        yield f"and {more} more rows that are otherwise in the file"
    for name, ids in held.withheld.items():
        if ids:
            yield f"{len(ids)} rows of {_said(name)} on cards that were signed here are left out"
    missing = {name: number for name, number in held.missing.items() if number and name != "person"}
    if missing:
        told = ", ".join(f"{_said(name)} {number}" for name, number in missing.items())
        yield f"here and not in the file, stays: {told}"
    if again.seals and not again.own:
        yield "nothing that was signed here is in the file: its chain doesn't begin as the one here"
    if again.missing:
        yield f"signed here before it went, and not in the file: link {', '.join(map(str, again.missing))}"
    if again.lost:
        yield f"{_records(again.lost)} of this fleet stand in the file and no longer here: kept as received"


def _said(name: str) -> str:
    return _SAID.get(name, name.replace("_", " "))


def _thing(table: str, row: Mapping[str, Any]) -> str:
    """What a row is called: its table, and the first thing in it that people know it by."""
    told = next((row[each] for each in _CALLED if row.get(each)), row["id"])
    called = f"of {said_date(told)}" if isinstance(told, date) else f"{told!s:.60}"
    return f"{table.replace('_', ' ')} {called}"


def _signed_serial(link: Any) -> str:
    content = signed_content(link).get("content")
    airplane = content.get("airplane") if isinstance(content, Mapping) else None
    return str(airplane.get("serial") or "") if isinstance(airplane, Mapping) else ""
