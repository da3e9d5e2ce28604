"""What can be done in the place Discrepancies: its actions, and which may come next."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QAction, QGuiApplication

from annual_planner.desktop.discrepancies.out import ListOut
from annual_planner.desktop.discrepancies.recording import Recording
from annual_planner.desktop.discrepancies.words import life_of_line
from annual_planner.desktop.page_doings import PageAction, PageDoings, always
from annual_planner.trade import discrepancy_life as life

if TYPE_CHECKING:
    from annual_planner.desktop.discrepancies.page import DiscrepanciesPage

STEPS = (
    "judge",
    "decide",
    "defer",
    "begin",
    "correct",
    "inspect",
    "sign",
    "answer",
    "wait",
    "photograph",
    "change",
    "reopen",
)
"""Actions shown as buttons on the sheet, in the order of a life."""


class Doings(PageDoings):
    """Actions of the page. Each edit goes through the one writer and can be taken back."""

    new: QAction
    several: QAction
    export: QAction
    airplane: QAction
    card: QAction

    def __init__(self, page: DiscrepanciesPage) -> None:
        super().__init__(page, ACTIONS)
        self.page = page
        self.recording = Recording(page)
        self.out = ListOut(page)

    def may(self, step: str) -> bool:
        """The chosen discrepancy may take this step next."""
        seen = self.page.seen if self.on else None
        return seen is not None and not life.may_follow(life_of_line(seen.sheet.line), step)

    @property
    def may_defer(self) -> bool:
        """It may be asked whether the chosen one can be deferred."""
        return self.may(life.DECIDED)

    @property
    def is_corrected(self) -> bool:
        """The chosen one is corrected, and not inspected yet."""
        seen = self.page.seen if self.on else None
        return seen is not None and seen.sheet.line.state == life.CORRECTED

    @property
    def still_open(self) -> bool:
        """The chosen one isn't closed."""
        seen = self.page.seen if self.on else None
        return seen is not None and seen.sheet.line.closed_on is None

    @property
    def some_chosen(self) -> bool:
        """More than one row is chosen."""
        return len(self.page.review.view.selected_places()) > 1

    @property
    def on_card(self) -> bool:
        """The chosen one was found on a card, or belongs to a package."""
        seen = self.page.seen if self.on else None
        return seen is not None and seen.sheet.line.package_id is not None

    def to_airplane(self) -> None:
        """Go to the airplane."""
        if self.page.seen is not None:
            self.page.goes.emit("aircraft", self.page.seen.sheet.line.aircraft_id)

    def to_card(self) -> None:
        """Go to the card it was found on, else to the annual in which it is to be put right."""
        if self.page.seen is not None:
            line = self.page.seen.sheet.line
            self.page.goes.emit(
                "annual", [line.package_id, line.card_id] if line.card_id else line.package_id
            )

    def copy_placard(self) -> None:
        """Put the placard text on the clipboard."""
        if self.page.seen is not None:
            QGuiApplication.clipboard().setText(self.page.seen.sheet.line.placard)
            self.page.strip.say("The placard text is copied.", self.page.seen.sheet.line.placard)


def _step(
    name: str, text: str, starts: str, tip: str, step: str, key: str | None = None, drawing: str = ""
) -> PageAction[Doings]:
    return PageAction(
        name,
        text,
        lambda doings: getattr(doings.recording, starts)(),
        tip,
        key,
        drawing,
        edits=True,
        when=lambda doings: doings.may(step),
    )


ACTIONS: tuple[PageAction[Doings], ...] = (
    PageAction(
        "new",
        "&Raise a discrepancy…",
        lambda doings: doings.recording.start_raise(),
        "Write down what was found",
        "Ctrl+D",
        "add",
        button=True,
        leading=True,
        edits=True,
        when=always,
    ),
    PageAction(
        "several",
        "Change the c&hosen ones…",
        lambda doings: doings.recording.start_several(),
        "Change all chosen rows at once: choose several with Ctrl or Shift",
        "Ctrl+Shift+E",
        "edit",
        button=True,
        edits=True,
        when=lambda doings: doings.some_chosen,
    ),
    _step("judge", "&Judge…", "start_judge", "Airworthy or not, and the risk", life.JUDGED, "Ctrl+J"),
    _step("decide", "De&cide…", "start_decide", "What becomes of it", life.DECIDED, "Ctrl+Shift+D"),
    PageAction(
        "defer",
        "May it be de&ferred?",
        lambda doings: doings.recording.start_deferral(),
        "Go through the questions of a deferral",
        "Ctrl+Shift+F",
        edits=True,
        when=lambda doings: doings.may_defer,
    ),
    _step("begin", "&Begin…", "start_begin", "Begin to put it right", life.IN_WORK, "Ctrl+B"),
    _step("correct", "C&orrected…", "start_correct", "Write down what was done", life.CORRECTED, "Ctrl+E"),
    _step("inspect", "&Inspected…", "start_inspect", "Write down who inspected it", life.INSPECTED, "Ctrl+I"),
    PageAction(
        "sign",
        "Sign with a k&ey…",
        lambda doings: doings.recording.start_sign(),
        "Sign what was done with your own key; that is its inspection",
        "Ctrl+Shift+I",
        edits=True,
        when=lambda doings: doings.is_corrected,
    ),
    _step(
        "answer",
        "O&wner's answer…",
        "start_answer",
        "What the owner answered, when and how",
        life.ANSWERED,
        "Ctrl+Shift+W",
    ),
    _step("wait", "Wai&ts for…", "start_wait", "Who or what is waited for", life.WAITING, "Ctrl+T"),
    PageAction(
        "photograph",
        "Add a &photograph…",
        lambda doings: doings.recording.add_photograph(),
        "Keep a picture with it",
        "Ctrl+Shift+A",
        edits=True,
    ),
    PageAction(
        "change",
        "Change what is writte&n…",
        lambda doings: doings.recording.start_change(),
        "Other words, place or estimates",
        "F2",
        "edit",
        edits=True,
        when=lambda doings: doings.still_open,
    ),
    _step("reopen", "Reopen it (&u)…", "start_reopen", "Say why it is open again", life.REOPENED, "Ctrl+U"),
    PageAction(
        "placard",
        "Cop&y the placard text",
        Doings.copy_placard,
        "For the placard in the cockpit",
        "Ctrl+Shift+C",
        drawing="copy",
        when=lambda doings: (
            doings.on and doings.page.seen is not None and bool(doings.page.seen.sheet.line.placard)
        ),
    ),
    PageAction(
        "paper",
        "Print the &list…",
        lambda doings: doings.out.print_list(),
        "Print the list as it is shown",
        "Ctrl+P",
        "print",
        button=True,
        when=always,
    ),
    PageAction(
        "export",
        "&Save the list…",
        lambda doings: doings.out.export(),
        "The list as it is shown, as a PDF or, with all that is known of each, as a spreadsheet",
        "Ctrl+Shift+S",
        "save",
        when=always,
    ),
    PageAction(
        "keep",
        "&Keep this view…",
        lambda doings: doings.recording.start_keep(),
        "Keep filters, groups and order under a name",
        "Ctrl+Shift+K",
        edits=True,
        when=always,
    ),
    PageAction(
        "airplane", "Open the &airplane", Doings.to_airplane, "Go to its airplane", "Ctrl+Return", "aircraft"
    ),
    PageAction(
        "card",
        "Open its card or annual (&g)",
        Doings.to_card,
        "Go to the card it was found on, or to the annual it belongs to",
        "Ctrl+Shift+O",
        "annual",
        when=lambda doings: doings.on_card,
    ),
)
