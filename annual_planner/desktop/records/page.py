"""Records: entries, signatures and filed papers of the fleet or of one airplane; whether the chain holds."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QWidget

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.page import AskWhy, Page
from annual_planner.desktop.parts import TabsLater, offer_turning
from annual_planner.desktop.records.acts import RecordsActs
from annual_planner.desktop.records.columns import ENTRY_COLUMNS, PAPER_COLUMNS, SIGNED_COLUMNS
from annual_planner.desktop.records.keys import KEY_COLUMNS, HeldKey, key_text, read_keys
from annual_planner.desktop.records.keys import NOTHING as NO_KEYS
from annual_planner.desktop.records.received import (
    BROKEN,
    GOOD,
    RECEIVED_COLUMNS,
    ReceivedLine,
    read_received,
    received_text,
)
from annual_planner.desktop.records.received import NOTHING as NOT_RECEIVED
from annual_planner.desktop.records.stored_part import StoredPart, Whose
from annual_planner.desktop.records.told import ENTRIES, ENTRY_STATES, ENTRY_WORDS, SIGNATURES, SIGNED_WORDS
from annual_planner.desktop.records.trail import TrailPart
from annual_planner.desktop.widgets import label
from annual_planner.desktop.with_details import HeldPart
from annual_planner.records.chain import check_chain
from annual_planner.store.filed_reads import EntryLine, PaperLine, paper_lines, paper_pdf
from annual_planner.store.fleet_reads import registrations
from annual_planner.store.record_rows import SignedLine
from annual_planner.store.rows import PersonLine
from annual_planner.store.signed_reads import last_link
from annual_planner.trade.seals import seal_text
from annual_planner.trade.working import Working

if TYPE_CHECKING:
    from annual_planner.store.session import Work

EVERY = "Every airplane"
TABS = ("entries", "signatures", "received", "papers", "keys", "trail")
NOTHING_SIGNED = "Nothing is signed yet."


@dataclass(frozen=True, slots=True)
class Seen:
    """All that the page shows at one time."""

    papers: tuple[PaperLine, ...]
    airplanes: tuple[tuple[int, str], ...]
    last_seal: str
    """Empty before the first signature."""
    keys: tuple[HeldKey, ...]
    people: tuple[PersonLine, ...]
    received: tuple[ReceivedLine, ...]


def read_seen(work: Work, aircraft_id: int | None, owner_id: int | None) -> Seen:
    """Read the records of the fleet, of one airplane or of an owner's: a fixed number of queries."""
    airplanes = registrations(work, owner_id)
    own = {each for each, _ in airplanes}
    last = last_link(work)
    keys, everyone = read_keys(work, owner_id)
    return Seen(
        papers=paper_lines(work, aircraft_id=aircraft_id, owner_id=owner_id),
        airplanes=airplanes,
        last_seal=seal_text(last.seal) if last.link else "",
        keys=keys,
        people=everyone,
        received=read_received(work, aircraft_id, None if owner_id is None else own),
    )


class RecordsPage(Page):
    """Lists in tabs; what is signed stays as it is, and is corrected by a new record."""

    place = "records"
    title = "Records"
    listens = frozenset({"entry", "signature", "paper", "aircraft", "package", "person"})

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.seen: Seen | None = None
        self.tabs = TabsLater("Parts of the records", self._show_on)
        self.airplane = QComboBox()
        self.airplane.setAccessibleName("Airplane whose records are shown")
        self.airplane.view().setAccessibleName("Airplanes")
        self.airplane.addItem(EVERY, -1)
        self.seal = label("", faint=True)
        self.seal.setWordWrap(True)
        self.seal.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._lay_out()
        self.airplane.activated.connect(lambda _place: self.refresh())
        self.action("&Check the chain", self._check, key="Ctrl+Shift+C", drawing="tick", button=True,
                    tip="Go through every signature and its seal")  # fmt: skip
        self.action("&Open the paper", self._open_paper, key="Ctrl+Shift+O", drawing="open",
                    tip="Open the chosen filed paper, byte for byte as it was")  # fmt: skip
        self.acts = RecordsActs(self)
        self.action("&Hand the airplane over…", self._hand_over, key="Ctrl+Shift+H", drawing="save",
                    tip="Write all records of the airplane chosen at the top as one file")  # fmt: skip
        offer_turning(self, self.tabs)

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.addWidget(label("Records of", faint=True))
        row.addWidget(self.airplane)
        row.addWidget(self.seal, 1)
        self.body.addLayout(row)
        makes: tuple[Callable[[], QWidget], ...] = (
            self._make_entries, self._make_signed, self._make_received,
            self._make_papers, self._make_keys, lambda: TrailPart(self.desk),
        )  # fmt: skip
        for name, make in zip(TABS, makes, strict=True):
            self.tabs.add_later(name, name.capitalize(), make)
        self.tabs.build_front()
        self.tabs.turned.connect(self.tabs.build_front)
        self.body.addWidget(self.tabs, 1)

    # -- the lists, each made when it is first looked at or asked for ----------------------------------

    def _make_entries(self) -> StoredPart[EntryLine]:
        return StoredPart(
            self.desk, "library entries", ENTRY_COLUMNS, ENTRIES, ENTRY_WORDS, states=ENTRY_STATES
        )

    def _make_signed(self) -> StoredPart[SignedLine]:
        return StoredPart(self.desk, "library signatures", SIGNED_COLUMNS, SIGNATURES, SIGNED_WORDS)

    def _make_received(self) -> HeldPart[ReceivedLine]:
        return HeldPart(
            self.desk, "received signatures", RECEIVED_COLUMNS, received_text, states=(GOOD, BROKEN),
            state_of=lambda line: line.state, nothing=NOT_RECEIVED,
        )  # fmt: skip

    def _make_papers(self) -> HeldPart[PaperLine]:
        made: HeldPart[PaperLine] = HeldPart(
            self.desk, "papers", PAPER_COLUMNS, self._paper_text,
            nothing="Papers filed when an annual is closed are kept here as they were printed.",
        )  # fmt: skip
        made.listing.opened.connect(lambda _id: self._open_paper())
        return made

    def _make_keys(self) -> HeldPart[HeldKey]:
        return HeldPart(
            self.desk, "keys", KEY_COLUMNS, key_text, states=("open", "closing not signed", "closed"),
            state_of=lambda key: key.state, nothing=NO_KEYS,
        )  # fmt: skip

    @property
    def entries(self) -> StoredPart[EntryLine]:
        """Entries, drafts too."""
        return cast(StoredPart[EntryLine], self.tabs.get("entries"))

    @property
    def signed(self) -> StoredPart[SignedLine]:
        """Signatures."""
        return cast(StoredPart[SignedLine], self.tabs.get("signatures"))

    @property
    def received(self) -> HeldPart[ReceivedLine]:
        """Signatures that came with an airplane."""
        return cast(HeldPart[ReceivedLine], self.tabs.get("received"))

    @property
    def papers(self) -> HeldPart[PaperLine]:
        """Filed papers."""
        return cast(HeldPart[PaperLine], self.tabs.get("papers"))

    @property
    def keys(self) -> HeldPart[HeldKey]:
        """Whose keys there are."""
        return cast(HeldPart[HeldKey], self.tabs.get("keys"))

    @property
    def trail(self) -> TrailPart:
        """Who changed what."""
        return cast(TrailPart, self.tabs.get("trail"))

    def _show_on(self, part: QWidget) -> None:
        """Show what was read on a part: a HeldPart takes its own lines, a StoredPart asks for its own."""
        seen = self.seen
        if seen is None:
            return
        lines: dict[str, Sequence[Any]] = {
            "received": seen.received, "papers": seen.papers, "keys": seen.keys,
        }  # fmt: skip
        if isinstance(part, StoredPart):
            part.take(Whose(self.aircraft_id, self.desk.who.person.sees_owner_id))
        elif isinstance(part, HeldPart):
            part.take(lines[self.tabs.name_of(part)])

    # -- what the window asks of a page -------------------------------------------------------------

    def ask(self) -> None:
        """Read the records again."""
        aircraft_id, owner_id = self.aircraft_id, self.desk.who.person.sees_owner_id
        self.desk.jobs.read(
            lambda work: read_seen(work, aircraft_id, owner_id),
            self,
            self._take,
            self.failed,
            topic="records",
        )

    @property
    def aircraft_id(self) -> int | None:
        """The airplane chosen, or None for all."""
        chosen = self.airplane.currentData()
        return chosen if isinstance(chosen, int) and chosen > 0 else None

    def show_subject(self, subject: object) -> None:
        """Show a part, by its word in TABS, or the records of one airplane by its id."""
        if subject in TABS:
            self.tabs.setCurrentIndex(self.tabs.index_of(str(subject)))
        elif isinstance(subject, int):
            if self.airplane.findData(subject) < 0:
                self.airplane.addItem("…", subject)
            self.airplane.setCurrentIndex(self.airplane.findData(subject))
            self.refresh()

    @property
    def subject(self) -> object:
        """The airplane chosen, if one is."""
        return self.aircraft_id

    @property
    def aircraft_here(self) -> int | None:
        """The airplane whose records are shown."""
        return self.aircraft_id

    @property
    def shown(self) -> HeldPart[Any] | StoredPart[Any]:
        """The list in front."""
        part = self.tabs.part
        return part if isinstance(part, HeldPart | StoredPart) else self.entries

    def search_here(self) -> None:
        """Search the list in front."""
        self.shown.listing.search.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def focus_here(self) -> None:
        """The keys act on the list in front; on the tabs where it has no row."""
        view = self.shown.listing.view
        (view if view.isVisibleTo(self) else self.tabs.tabBar()).setFocus(Qt.FocusReason.OtherFocusReason)

    def why(self) -> AskWhy | Working | None:
        """Whether the chain holds, link by link."""
        return _chain_working

    # -- inside ------------------------------------------------------------------------------------------

    def _take(self, seen: Seen) -> None:
        if self.seen is None or self.seen.airplanes != seen.airplanes:
            self._take_airplanes(seen.airplanes)
        self.seen = seen
        for part in self.tabs.made_parts:
            self._show_on(part)
        self.seal.setText(f"Last seal: {seen.last_seal}" if seen.last_seal else NOTHING_SIGNED)

    def _take_airplanes(self, airplanes: Sequence[tuple[int, str]]) -> None:
        chosen = self.airplane.currentData()
        self.airplane.clear()
        self.airplane.addItem(EVERY, -1)
        for aircraft_id, name in airplanes:
            self.airplane.addItem(name, aircraft_id)
        self.airplane.setCurrentIndex(max(0, self.airplane.findData(chosen)))

    def _paper_text(self, line: PaperLine) -> str:
        return (
            f"<p><b>{escape(line.title)}</b></p>"
            f"<p>{line.pages} page{'s' * (line.pages != 1)}. Enter opens it as it was filed.</p>"
            f"<p>Newest seal when it was made: {escape(seal_text(line.last_seal))}</p>"
            f"<p>SHA-256: {escape(line.sha256)}</p>"
        )

    def _hand_over(self) -> None:
        from annual_planner.desktop.hand_over.giving import open_hand_over

        if self.aircraft_id is None:
            self.strip.say("No airplane is chosen.", "Choose one at the top first.")
        else:
            open_hand_over(self.desk, self.aircraft_id, self.window())

    def _check(self) -> None:
        self.wants_working.emit(_chain_working)

    def _open_paper(self) -> None:
        line = self.papers.listing.current
        if line is None:
            self.strip.say("No paper is chosen.", "Choose one in the list of papers.")
            return
        self.desk.jobs.read(lambda work: paper_pdf(work, line.paper_id), self, self._show_pdf, self.failed)

    def _show_pdf(self, pdf: bytes) -> None:
        """Open a copy with the system's viewer; the one in the fleet can't be changed by it."""
        with tempfile.NamedTemporaryFile(prefix="annual-planner-", suffix=".pdf", delete=False) as file:
            file.write(pdf)
        QDesktopServices.openUrl(QUrl.fromLocalFile(str(Path(file.name))))


def _chain_working(work: Work) -> Working:
    return check_chain(work).working
