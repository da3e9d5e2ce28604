"""What can be done with the plan of an annual: the menu 'Who and when' within 'Here'."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import TYPE_CHECKING

from PySide6.QtGui import QAction

from annual_planner.desktop.page_doings import PageAction, PageDoings, subject_here

if TYPE_CHECKING:
    from annual_planner.desktop.annual.page import AnnualPage
    from annual_planner.desktop.annual.timeline.tab import Timeline

Does = Callable[["Timeline"], object]
When = Callable[["WhenDoings"], bool]


class WhenDoings(PageDoings):
    """Actions of the plan. Those that need no chosen card work from every part of the annual."""

    earlier: QAction
    later: QAction
    keep: QAction
    put_back: QAction
    promise: QAction

    def __init__(self, page: AnnualPage) -> None:
        super().__init__(page, ACTIONS)
        self.page = page

    def go(self, does: Does) -> None:
        """Show the plan, and do it once the plan is read."""
        self.page.tabs.show_part(self.page.when)
        made = self.page.when.made
        if made is not None:
            made.when_read(lambda: does(made))

    @property
    def shown(self) -> Timeline | None:
        """The plan, while it is the part that is shown."""
        return self.page.when.made if self.on and self.page.tabs.part is self.page.when else None

    @property
    def still(self) -> bool:
        """No search is on its way."""
        made = self.page.when.made
        return self.on and (made is None or not made.replanning.running)

    @property
    def searching(self) -> bool:
        """A search is on its way and can be ended."""
        return self.shown is not None and self.shown.replanning.running

    @property
    def laid_out(self) -> bool:
        """A plan is shown."""
        return self.shown is not None and self.shown.plan is not None

    @property
    def card_chosen(self) -> bool:
        """A bar is chosen in the plan."""
        return self.shown is not None and self.shown.drawing.bar is not None

    @property
    def movable(self) -> bool:
        """The chosen bar can be moved."""
        return self.card_chosen and self.still

    @property
    def pinned(self) -> bool:
        """The chosen card is held by hand."""
        bar = self.shown.drawing.bar if self.shown is not None else None
        return bar is not None and bool(bar.held) and bar.card_id is not None

    @property
    def asked(self) -> bool:
        """A move was tried and waits for an answer."""
        return self.shown is not None and self.shown.pinning.asks


def _action(
    name: str,
    text: str,
    does: Does,
    tip: str,
    key: str | None = None,
    when: When = subject_here,
    edits: bool = True,
    drawing: str = "",
) -> PageAction[WhenDoings]:
    return PageAction(
        name,
        text,
        lambda doings: doings.go(does),
        tip,
        key,
        drawing,
        edits=edits,
        group="&Who and when",
        when=when,
    )


def _looks(
    name: str, text: str, does: Does, tip: str, key: str, when: When = lambda doings: doings.laid_out
) -> PageAction[WhenDoings]:
    return _action(name, text, does, tip, key, when, edits=False)


def _moves(name: str, text: str, hours: float, tip: str, key: str) -> PageAction[WhenDoings]:
    by = timedelta(hours=hours)
    return _action(name, text, lambda tab: tab.move_card(by), tip, key, lambda doings: doings.movable)


def _ask_hour_worth(tab: Timeline) -> None:
    from annual_planner.desktop.annual.timeline.cost import ask_hour_worth

    ask_hour_worth(tab)


def _show_cost(tab: Timeline) -> None:
    from annual_planner.desktop.annual.timeline.cost import show_cost

    show_cost(tab)


def _rows(by: str, key: str) -> PageAction[WhenDoings]:
    return _looks(f"by_{by}", f"Rows by {by}", lambda tab: tab.show_by(by), f"A row for each {by}", key)


ACTIONS: tuple[PageAction[WhenDoings], ...] = (
    _action(
        "replan",
        "&Re-plan",
        lambda tab: tab.replanning.lay_out(),
        "Lay the work out again: what has begun stays, and little else moves",
        "Ctrl+Shift+R",
        when=lambda doings: doings.still,
    ),
    _action(
        "anew",
        "&Lay out from the beginning",
        lambda tab: tab.replanning.lay_out_anew(),
        "Lay the work out as if it never was: only what has begun or is pinned stays",
        "Ctrl+Shift+L",
        when=lambda doings: doings.still,
    ),
    _action(
        "value",
        "&Value of an hour…",
        _ask_hour_worth,
        "Weigh cost of hours: say what a finish an hour earlier is worth",
        "Ctrl+Shift+F9",
        when=lambda doings: doings.still,
    ),
    _action(
        "stop",
        "&Stop the search here",
        lambda tab: tab.replanning.stop(),
        "Take the best plan found so far",
        "Ctrl+.",
        when=lambda doings: doings.searching,
    ),
    _action(
        "cancel",
        "&Give the search up",
        lambda tab: tab.replanning.cancel(),
        "Back to the last good plan",
        "Ctrl+,",
        when=lambda doings: doings.searching,
    ),
    _moves("earlier", "&Earlier", -0.25, "Move the chosen card a quarter of an hour earlier", "Alt+Up"),
    _moves("later", "La&ter", 0.25, "Move the chosen card a quarter of an hour later", "Alt+Down"),
    _moves(
        "half_earlier",
        "Half a day earlier",
        -4,
        "Move the chosen card half a day earlier",
        "Alt+Shift+Up",
    ),
    _moves("half_later", "Half a day later", 4, "Move the chosen card half a day later", "Alt+Shift+Down"),
    _action(
        "pin",
        "&Pin the card…",
        lambda tab: tab.pinning.try_here(),
        "Hold the chosen card where it stands",
        "Ctrl+Shift+I",
        when=lambda doings: doings.movable,
    ),
    _action(
        "unpin",
        "&Unpin the card",
        lambda tab: tab.pinning.release(),
        "Let the chosen card lie where the plan puts it",
        "Ctrl+Shift+U",
        when=lambda doings: doings.pinned,
    ),
    _action(
        "keep",
        "&Keep it there",
        lambda tab: tab.pinning.keep(),
        "Hold the moved card where it was tried",
        "Ctrl+Shift+K",
        when=lambda doings: doings.asked,
    ),
    _action(
        "put_back",
        "Put it &back",
        lambda tab: tab.pinning.put_back(),
        "The plan as it was before the move",
        "Esc",
        when=lambda doings: doings.asked,
    ),
    _action(
        "away",
        "Somebody is &away…",
        lambda tab: tab.writing_down.somebody_away(),
        "Write down who is away, and re-plan",
        "Ctrl+Shift+A",
    ),
    _action(
        "part",
        "A&wait a part…",
        lambda tab: tab.writing_down.add_part(),
        "Write down what is ordered and when it comes",
        "Ctrl+Shift+E",
    ),
    _action(
        "part_day",
        "A part comes on another &day…",
        lambda tab: tab.writing_down.change_part_day(),
        "Change the day of an awaited part, and re-plan",
        "Ctrl+Shift+D",
    ),
    _action(
        "part_here",
        "The part is &here",
        lambda tab: tab.writing_down.part_is_here(),
        "The awaited part has come",
        "Ctrl+Shift+G",
    ),
    _action(
        "promise",
        "Pro&mise a date…",
        lambda tab: tab.writing_down.promise(),
        "Promise the owner a date; the likely one is proposed",
        "Ctrl+Shift+M",
    ),
    _looks(
        "why_not",
        "Why &not earlier?",
        lambda tab: tab.why(),
        "What keeps the chosen card from being earlier",
        "Ctrl+Shift+W",
        when=lambda doings: doings.card_chosen,
    ),
    _looks(
        "cost",
        "Cost of the hours",
        _show_cost,
        "What the hours of the plan cost, person by person",
        "Ctrl+F9",
    ),
    *(_rows(by, f"Ctrl+Alt+{number}") for number, by in enumerate(("person", "zone", "card"), 1)),
    _looks("wider", "Wider da&ys", lambda tab: tab.drawing.widen(1.5), "Draw the days wider", "F8"),
    _looks("narrower", "Narr&ower days", lambda tab: tab.drawing.widen(1 / 1.5), "And narrower", "F7"),
    _looks("print_plan", "Pr&int the plan…", lambda tab: tab.sending.print_paper(), "On paper", "Ctrl+Alt+P"),
    _looks(
        "save_plan", "Save the plan as PD&F…", lambda tab: tab.sending.save_paper(), "As a PDF", "Ctrl+Alt+S"
    ),
    _looks(
        "calendars",
        "&Calendars out…",
        lambda tab: tab.sending.save_calendars(),
        "Save a calendar file for each person",
        "Ctrl+Shift+O",
    ),
)
