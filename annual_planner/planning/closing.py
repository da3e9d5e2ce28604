"""Whether a package may be closed, and what is missing, as one list with what each line is about."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from annual_planner.library.shelf import Library
from annual_planner.library.zone_words import zone_words
from annual_planner.planning.card_content import from_stored
from annual_planner.planning.compose import REPAIR_STATION
from annual_planner.records.standing import Standing, signatures_on
from annual_planner.store.closing_reads import ClosingCard, ClosingEntry, closing_cards, closing_entries
from annual_planner.store.done_reads import FoundOnPackage, found_on_package
from annual_planner.store.fleet_reads import aircraft_sheet
from annual_planner.store.packages import package_dates
from annual_planner.store.repair_reads import RepairMade, repairs_made
from annual_planner.store.session import Work
from annual_planner.trade.answer import answer
from annual_planner.trade.card_states import DONE, FINISHED, NOT_APPLICABLE
from annual_planner.trade.cards import InspectionItem
from annual_planner.trade.coverage import why_not_applicable
from annual_planner.trade.discrepancy_life import CORRECT_NOW, DECLINED, DEFER, SIGNED, WATCH
from annual_planner.trade.retention import discrepancy_list_until
from annual_planner.trade.said import said_date
from annual_planner.trade.working import Step, Worked

ENGINE_RUN = "14 CFR 43.15(c)(2)"


class About(StrEnum):
    """What a missing thing is about, so that a reader can go there."""

    CARD = "card"
    ITEM = "item"
    DISCREPANCY = "discrepancy"
    ENTRY = "entry"
    PACKAGE = "package"


@dataclass(frozen=True, slots=True)
class Lacking:
    """One thing that keeps a package from being closed; `subject_id` 0 where there is nothing to go to."""

    about: About
    subject_id: int
    said: str
    rule: str = ""


@dataclass(frozen=True, slots=True)
class ClosingState:
    """What is missing, what keeps the airplane from approval, and which entries stand.

    `unairworthy`: what goes on the signed and dated list to the owner; with any of it the result is 'not
    approved', still a completed inspection. `before_entries`: what is missing before entries can be drafted.
    """

    lacking: tuple[Lacking, ...]
    unairworthy: tuple[FoundOnPackage, ...]
    entries: tuple[ClosingEntry, ...]
    before_entries: tuple[Lacking, ...]

    @property
    def may_close(self) -> bool:
        """Whether nothing is missing."""
        return not self.lacking

    @property
    def approved(self) -> bool:
        """Whether nothing unairworthy is left."""
        return not self.unairworthy


def closing_state(work: Work, package_id: int, library: Library, today: date) -> Worked[ClosingState]:
    """Everything that is asked before a package closes, with its rules. Refused when there is no package."""
    dates = package_dates(work, package_id)
    sheet = aircraft_sheet(work, dates.aircraft_id)
    cards = closing_cards(work, package_id)
    found = found_on_package(work, package_id, dates.aircraft_id)
    unairworthy = tuple(each for each in found if _keeps_from_approval(each, today))
    entries = closing_entries(work, package_id)
    signed = signatures_on(work, "log_entry", [entry.entry_id for entry in entries])
    work_lacking = (
        *_cards_lacking(cards),
        *_items_lacking(library.items, frozenset(sheet.features), cards),
        *_discrepancies_lacking(found, today),
        *(_run_lacking(cards) if not unairworthy else ()),
    )
    entry_lacking = (
        *_entries_lacking(cards, entries, signed, not unairworthy),
        *_repairs_lacking(repairs_made(work, package_id), entries),
    )
    run_lacking = tuple(_run_signer_lacking(cards, entries, signed))
    state = ClosingState((*work_lacking, *entry_lacking, *run_lacking), unairworthy, entries, work_lacking)
    return _worked(dates.number, cards, state)


def _keeps_from_approval(found: FoundOnPackage, today: date) -> bool:
    """An unairworthy item that was neither corrected and signed nor lawfully deferred."""
    if found.airworthy is not False or found.state == SIGNED:
        return False
    return not _deferred(found, today)


def _deferred(found: FoundOnPackage, today: date) -> bool:
    """Deferred as a guided answer allowed it, with its placard, and not past its day."""
    if found.disposition != DEFER or not found.placard:
        return False
    return found.deferred_until is None or found.deferred_until >= today


def _cards_lacking(cards: Iterable[ClosingCard]) -> Iterator[Lacking]:
    for card in cards:
        said = f"Card {card.number} '{card.title}'"
        if card.state not in FINISHED:
            yield Lacking(About.CARD, card.card_id, f"{said} is {card.state}: do it, or say why not.")
        elif card.state != DONE and not card.state_why.strip():
            yield Lacking(About.CARD, card.card_id, f"{said} is {card.state} without a reason.")
        elif card.out and not card.found:
            out = f"{said} is out of limits: {', '.join(card.out)}"
            yield Lacking(About.CARD, card.card_id, f"{out}. Put it right, or write a discrepancy on it.")


def _items_lacking(
    items: Iterable[InspectionItem], features: frozenset[str], cards: Sequence[ClosingCard]
) -> Iterator[Lacking]:
    """Every item of the inspection's scope is answered: by a card that is done, or by a reason."""
    answered = {
        item
        for card in cards
        if card.state in (DONE, NOT_APPLICABLE)
        for item in from_stored(card.content).covers
    }
    for item in items:
        if item.id not in answered and not why_not_applicable(item, features):
            said = f"{item.ref}: {item.subject} is not answered"
            remedy = "do its card, or say on the airplane's page what it has."
            yield Lacking(About.ITEM, 0, f"{said}: {remedy}", "14 CFR 43.15(c)(1)")


def _discrepancies_lacking(found: Iterable[FoundOnPackage], today: date) -> Iterator[Lacking]:
    for each in found:
        why = _open_because(each, today)
        if why:
            yield Lacking(About.DISCREPANCY, each.discrepancy_id, f"'{each.text}': {why}", "14 CFR 43.11(b)")


def _open_because(found: FoundOnPackage, today: date) -> str:
    """Why a discrepancy is not settled; empty when signed, deferred, watched, declined or listed."""
    if found.state == SIGNED or found.airworthy is False:
        return ""  # what is unairworthy and not deferred stands on the list to the owner
    if found.airworthy is None:
        return "nobody has judged whether it is airworthy."
    if found.disposition == DEFER:
        return "" if _deferred(found, today) else "it is deferred without a placard, or past its day."
    if found.disposition == CORRECT_NOW:
        return "it is to be corrected now, and is not inspected and signed."
    return "" if found.disposition in (WATCH, DECLINED) else "nobody has decided what becomes of it."


def _run_lacking(cards: Iterable[ClosingCard]) -> Iterator[Lacking]:
    """Before approval every engine is run, with its figures written down and within their limits."""
    runs = [card for card in cards if any(item.startswith("R-") for item in from_stored(card.content).covers)]
    if not runs:
        yield Lacking(About.PACKAGE, 0, "No card has the engine run before approval on it.", ENGINE_RUN)
    for card in runs:
        wanted = {each.name for each in from_stored(card.content).measurements}
        blank = sorted(name for name in wanted if not any(_is_of(name, result) for result in card.results))
        if card.state == DONE and blank:
            said = f"Card {card.number} '{card.title}' lacks: {', '.join(blank)}."
            yield Lacking(About.CARD, card.card_id, said, ENGINE_RUN)
        if card.state == DONE and card.out:
            said = f"Card {card.number} '{card.title}' shows out of limits: {', '.join(card.out)}."
            again = "Run it again within them, or judge it unairworthy; approval says that it is within."
            yield Lacking(About.CARD, card.card_id, f"{said} {again}", ENGINE_RUN)


def _is_of(name: str, result: str) -> bool:
    """Whether a result stands for a measurement: its name, or that with a number behind it."""
    return result == name or result.startswith((f"{name} ", f"{name},", f"{name}:"))


def _run_signer_lacking(
    cards: Iterable[ClosingCard], entries: Iterable[ClosingEntry], signed: Mapping[int, tuple[Standing, ...]]
) -> Iterator[Lacking]:
    """The person who approves makes the run."""
    approvers = {
        standing.line.person_id
        for entry in entries
        if entry.kind == "inspection" and entry.approved
        for standing in signed.get(entry.entry_id, ())
        if standing.holds
    }
    for card in cards:
        covers = from_stored(card.content).covers
        ran = card.state == DONE and any(item.startswith("R-") for item in covers)
        if ran and approvers and card.done_by_id not in approvers:
            said = f"Card {card.number} '{card.title}' was done by {card.done_by}, who did not approve."
            yield Lacking(About.CARD, card.card_id, said, ENGINE_RUN)


def _entries_lacking(
    cards: Sequence[ClosingCard],
    entries: Sequence[ClosingEntry],
    signed: Mapping[int, tuple[Standing, ...]],
    approved: bool,
) -> Iterator[Lacking]:
    entered = {card_id for entry in entries for card_id in entry.card_ids}
    owing = [c for c in cards if c.state == DONE and c.entry and c.signer != REPAIR_STATION]
    without = [card for card in owing if card.card_id not in entered]
    if without:
        said = f"{len(without)} cards have no entry: {_numbers(without)}. Draft the entries."
        yield Lacking(About.PACKAGE, 0, said, "14 CFR 43.9(a), 43.11(a)")
    for entry in entries:
        if entry.kind == "inspection" and entry.approved is not approved:
            wanted = "approves" if approved else "does not approve"
            said = f"The inspection entry for {_the(entry.book)} must be one that {wanted}. Draft it again."
            yield Lacking(About.ENTRY, entry.entry_id, said, "14 CFR 43.11(a)")
        elif not any(standing.holds for standing in signed.get(entry.entry_id, ())):
            yield Lacking(
                About.ENTRY, entry.entry_id, f"The {entry.kind} entry for {_the(entry.book)} is not signed."
            )


def _repairs_lacking(repairs: Iterable[RepairMade], entries: Sequence[ClosingEntry]) -> Iterator[Lacking]:
    """Whatever was put right stands in an entry."""
    entered = {each for entry in entries for each in entry.facts.get("discrepancy_ids", ())}
    for repair in repairs:
        if repair.discrepancy_id not in entered:
            said = f"'{repair.text}' was put right, and no entry says so. Draft the entries."
            yield Lacking(About.DISCREPANCY, repair.discrepancy_id, said, "14 CFR 43.9(a)")


def _numbers(cards: Sequence[ClosingCard]) -> str:
    shown = ", ".join(str(card.number) for card in cards[:8])
    return shown + (f" and {len(cards) - 8} more" if len(cards) > 8 else "")


def _worked(number: str, cards: Sequence[ClosingCard], state: ClosingState) -> Worked[ClosingState]:
    counts = {name: sum(card.state == name for card in cards) for name in FINISHED}
    result = "may be closed" if state.may_close else f"{len(state.lacking)} things are missing"
    outcome = "nothing unairworthy is left" if state.approved else "not approved, with a list to the owner"
    return answer(
        state,
        f"Closing of package {number}",
        f"{result}; {outcome}",
        citation="14 CFR 43.11; 14 CFR 43.15(c)",
        says="every card and every item of the scope is answered, and every discrepancy settled or listed",
        inputs=[
            ("cards", str(len(cards))),
            ("entries", str(len(state.entries))),
            ("unairworthy", str(len(state.unairworthy))),
        ],
        assumptions=["What was ticked, measured and found is written down as it was; whoever signs decides."],
        steps=[
            *(Step(f"cards {name}", str(count)) for name, count in counts.items()),
            *(
                Step(f"unairworthy: {each.text}", f"{each.state}, {each.disposition or 'undecided'}")
                for each in state.unairworthy
            ),
            *(Step("missing", f"{each.said} {each.rule}".strip()) for each in state.lacking),
        ],
    )


def owners_list(state: ClosingState, registration: str, on: date) -> str:
    """The list of discrepancies and unairworthy items for the owner, dated (14 CFR 43.11(b))."""
    head = f"{registration}: discrepancies and unairworthy items, {said_date(on)}"
    rule = discrepancy_list_until(on, None).working.rules[0].citation
    keep = f"The owner keeps this list until everything on it is put right and approved ({rule})."
    return "\n".join([head, *_listed(state.unairworthy), keep])


def unairworthy_lines(work: Work, package_id: int, on: date) -> tuple[str, ...]:
    """What keeps the airplane of a package from approval on a day, a numbered line each: two queries."""
    found = found_on_package(work, package_id, package_dates(work, package_id).aircraft_id)
    return _listed([each for each in found if _keeps_from_approval(each, on)])


def _the(book: str) -> str:
    """The book inside a sentence: 'the airframe', but 'engine 1'."""
    return book if book[-1:].isdigit() else f"the {book}"


def _listed(items: Iterable[FoundOnPackage]) -> tuple[str, ...]:
    return tuple(f"{n}. {zone_words(each.zone)}: {each.text}" for n, each in enumerate(items, 1))
