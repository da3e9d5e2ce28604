"""Record entries composed from what was done on a package: one for each book, sort of work and performer.

The airframe, each engine and each propeller have a book. An inspection gives one entry in each book (it is
of the airplane as a whole; separate books commonly get one each: common practice, no source); work done gives
one for each book and performer, and so does what was found and put right; a directive gives one of its own.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from annual_planner.library.rules import load_rules
from annual_planner.planning.card_content import CardContent, from_stored
from annual_planner.planning.entitled import may, work_piece
from annual_planner.store.done_reads import DirectiveMet, DoneCard, done_cards
from annual_planner.store.fleet_reads import aircraft_sheet, assemblies, person_values
from annual_planner.store.packages import PackageDates, package_dates
from annual_planner.store.repair_reads import RepairMade, repairs_made
from annual_planner.store.rows import AircraftSheet, AssemblyLine
from annual_planner.store.session import Work
from annual_planner.trade.cards import Phase, WorkKind
from annual_planner.trade.clauses import RuleSet
from annual_planner.trade.entry_text import EntryTemplate, composed
from annual_planner.trade.people import Person, WorkPiece
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date, said_hours
from annual_planner.trade.working import Working


@dataclass(frozen=True, slots=True)
class NextDue:
    """When a directive is next due: by time and by date, each where it has such a limit."""

    hours: Decimal | None
    on: date | None


NO_DUES: Mapping[int, NextDue] = {}

REPAIR_STATION = "repair station"
"""Who writes the entries for its own work itself."""

BOOK_KINDS = ("engine", "propeller")


@dataclass(frozen=True, slots=True)
class Book:
    """A record that entries go into: the airframe's (no assembly), an engine's or a propeller's."""

    said: str
    assembly_id: int | None
    hours: Decimal | None


@dataclass(frozen=True, slots=True)
class ComposedEntry:
    """An entry that is yet to be read, edited and signed."""

    template: EntryTemplate
    book: Book
    work_on: date
    facts: Mapping[str, str]
    text: str
    card_ids: tuple[int, ...]
    working: Working
    discrepancy_ids: tuple[int, ...] = ()
    """Discrepancies whose repair it tells of."""


@dataclass(slots=True)
class _Composer:
    """What all entries of one package share."""

    templates: Mapping[str, EntryTemplate]
    sheet: AircraftSheet
    package: PackageDates
    books: tuple[Book, ...]
    people: Mapping[int, Person]
    rules: RuleSet
    work_on: date
    next_dues: Mapping[int, NextDue]
    made: list[ComposedEntry] = field(default_factory=list)

    def add(
        self,
        key: str,
        book: Book,
        facts: Mapping[str, str],
        cards: Iterable[DoneCard],
        repairs: Iterable[RepairMade] = (),
    ) -> None:
        """Compose one entry with what every entry says."""
        full = {**self._always(book), **facts}
        text = composed(self.templates[key], full)
        ids = tuple(card.card_id for card in cards)
        mended = tuple(repair.discrepancy_id for repair in repairs)
        self.made.append(
            ComposedEntry(
                self.templates[key], book, self.work_on, full, text.value, ids, text.working, mended
            )
        )

    def _always(self, book: Book) -> dict[str, str]:
        facts = {
            "work_date": said_date(self.work_on),
            "of_what": f"{self.sheet.registration}, {self.sheet.maker} {self.sheet.model}, "
            f"serial {self.sheet.serial}, {book.said}",
            "total_time": said_hours(self.sheet.hours_now) if self.sheet.hours_now is not None else "",
        }
        if book.assembly_id is not None and book.hours is not None:
            facts |= {"book": book.said.split(",")[0], "book_time": said_hours(book.hours)}
        return facts

    def book_of(self, card: DoneCard) -> Book:
        """The book a card belongs in: that of its engine or propeller, else the airframe's."""
        content = from_stored(card.content)
        if content.subject in BOOK_KINDS:
            wanted = f"{content.subject} {content.engine or 1}"
            for book in self.books:
                if book.said.startswith(wanted):
                    return book
        return self.books[0]

    def book_of_repair(self, repair: RepairMade) -> Book:
        """The book of the assembly that was put right, else that of its zone, else the airframe's."""
        for book in self.books:
            if book.assembly_id is not None and book.assembly_id == repair.assembly_id:
                return book
        side = side_of(repair)
        return next((book for book in self.books if book.said.startswith(side)), self.books[0])

    def performer_to_name(self, card: DoneCard) -> str:
        """The name of who did the card, where they may not sign for it themselves; else empty."""
        piece = work_piece(card.title, card.kind, from_stored(card.content))
        return self._performer(piece, card.done_by_id, card.done_by)

    def mender_to_name(self, repair: RepairMade) -> str:
        """The name of who put it right, where they may not sign for it themselves; else empty."""
        piece = WorkPiece(repair.text, WorkKind.REPAIR, side_of(repair), major=repair.major)
        return self._performer(piece, repair.done_by_id, repair.done_by)

    def _performer(self, piece: WorkPiece, person_id: int | None, name: str) -> str:
        if person_id is None:
            return ""
        entitled = may(piece, self.people[person_id], self.sheet, person_id, self.work_on, self.rules)
        return "" if entitled.may_sign else name


def compose_entries(
    work: Work,
    package_id: int,
    templates: Mapping[str, EntryTemplate],
    *,
    approved: bool,
    work_on: date,
    inspection: str = "annual",
    next_dues: Mapping[int, NextDue] = NO_DUES,
) -> tuple[ComposedEntry, ...]:
    """Every entry that the done cards of a package call for; nothing is written down.

    `next_dues`: when each recurring directive is next due once this doing counts, by requirement.

    Raises Refused where the airplane's time in service isn't known, or nothing of the package is done.
    """
    package = package_dates(work, package_id)
    sheet = aircraft_sheet(work, package.aircraft_id)
    cards, repairs = done_cards(work, package_id), repairs_made(work, package_id)
    if not cards:
        raise Refused(f"Nothing of package {package.number} is done.", "Do its cards first.")
    if sheet.hours_now is None:
        raise Refused("The time in service isn't known.", "Record a meter reading of the airplane first.")
    books = books_of(assemblies(work, package.aircraft_id), sheet)
    making = _Composer(
        templates, sheet, package, books, person_values(work), load_rules(), work_on, next_dues
    )
    if any(card.entry == "43.11" for card in cards):
        _inspection(making, cards, inspection, approved)
    _directives(making, cards)
    _work_done(making, cards)
    _repairs(making, repairs)
    return tuple(making.made)


def books_of(fitted: Iterable[AssemblyLine], sheet: AircraftSheet) -> tuple[Book, ...]:
    """The airframe's book, then those of the engines and propellers that are fitted."""
    now = [each for each in fitted if each.removed_on is None and each.kind in BOOK_KINDS]
    return (
        Book("airframe", None, sheet.hours_now),
        *(
            Book(
                f"{each.kind} {each.position}, {each.maker} {each.model}, serial {each.serial}",
                each.assembly_id,
                each.hours_now,
            )
            for each in sorted(now, key=lambda each: (each.kind, each.position))
        ),
    )


def _inspection(making: _Composer, cards: Iterable[DoneCard], inspection: str, approved: bool) -> None:
    inspected = [card for card in cards if card.entry == "43.11"]
    key = f"{inspection}_{'approved' if approved else 'not_approved'}"
    numbers = [card.number for card in inspected]
    for book in making.books:
        facts = {
            "extent": "whole airplane to the scope and detail of 14 CFR 43 Appendix D, checklist of work "
            f"package {making.package.number}, {len(numbers)} inspection cards "
            f"({min(numbers)} to {max(numbers)})",
            "list_date": said_date(making.work_on),
            "engine_run": _engine_run(making, cards, book) if approved else "",
            "directives": ", ".join(
                dict.fromkeys(
                    each.number for card in cards if making.book_of(card) == book for each in card.directives
                )
            ),
        }
        making.add(key, book, facts, inspected)


def _engine_run(making: _Composer, cards: Iterable[DoneCard], book: Book) -> str:
    """What the engine's run before approval showed; empty for a book that is no engine's."""
    if not book.said.startswith("engine"):
        return ""
    ran = [card for card in cards if card.phase == Phase.RUN_UP and making.book_of(card) == book]
    return "; ".join(result for card in ran for result in card.results)


def _directives(making: _Composer, cards: Iterable[DoneCard]) -> None:
    for card in cards:
        for directive in card.directives:
            making.add("directive", making.book_of(card), _directive_facts(making, card, directive), [card])


def _directive_facts(making: _Composer, card: DoneCard, directive: DirectiveMet) -> dict[str, str]:
    due = making.next_dues.get(directive.requirement_id, NextDue(None, None))
    return {
        "directive_number": directive.number,
        "revision_date": said_date(directive.revised_on) if directive.revised_on else "",
        "method": card.note.strip() or f"{card.title}, as the directive says; card {card.number}",
        "performer": making.performer_to_name(card),
        "next_hours": said_hours(due.hours) if due.hours is not None else "",
        "next_date": said_date(due.on) if due.on is not None else "",
    }


def _work_done(making: _Composer, cards: Iterable[DoneCard]) -> None:
    """One entry for each book and performer; what an owner signs alone is preventive maintenance."""
    groups: dict[tuple[str, str, str], list[DoneCard]] = {}
    for card in cards:
        if card.entry == "43.9" and card.signer != REPAIR_STATION and not card.directives:
            owner = making.sheet.owner_id is not None and card.done_by_id == making.sheet.owner_id
            own = owner and bool(from_stored(card.content).preventive) and not making.performer_to_name(card)
            key = "preventive" if own else "work"
            group = (key, making.book_of(card).said, making.performer_to_name(card))
            groups.setdefault(group, []).append(card)
    for (key, _, performer), group_cards in groups.items():
        making.add(key, making.book_of(group_cards[0]), _work_facts(group_cards, performer), group_cards)


def _work_facts(cards: list[DoneCard], performer: str) -> dict[str, str]:
    return {
        "description": "\n".join(_described(card) for card in cards),
        "data": "; ".join(dict.fromkeys(text for card in cards for text in _data(from_stored(card.content)))),
        "parts": "; ".join(part for card in cards for part in card.parts),
        "performer": performer,
    }


def side_of(repair: RepairMade) -> str:
    """Side of the airplane by whose ratings a repair is signed: engine, propeller or airframe."""
    return repair.zone if repair.zone in BOOK_KINDS else "airframe"


def _repairs(making: _Composer, repairs: Iterable[RepairMade]) -> None:
    """One entry for each book and performer over what was found and put right without a card of its own."""
    groups: dict[tuple[str, str], list[RepairMade]] = {}
    for repair in repairs:
        group = (making.book_of_repair(repair).said, making.mender_to_name(repair))
        groups.setdefault(group, []).append(repair)
    for (_, performer), made in groups.items():
        facts = {
            "description": "\n".join(f"{each.text.rstrip('.')}: {each.said.rstrip('.')}." for each in made),
            "data": "",
            "parts": "; ".join(part for each in made for part in each.parts),
            "performer": performer,
        }
        making.add("work", making.book_of_repair(made[0]), facts, (), made)


def _described(card: DoneCard) -> str:
    results = f" ({'; '.join(card.results)})" if card.results else ""
    note = f" {card.note.strip()}" if card.note.strip() else ""
    return f"{card.title}{results}.{note}"


def _data(content: CardContent) -> tuple[str, ...]:
    """The acceptable data a card names, rules left out: those say that, not how."""
    return tuple(text for text in content.references if not text.startswith("14 CFR"))
