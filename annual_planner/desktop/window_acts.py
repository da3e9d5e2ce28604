"""What the menus of the main window do beyond going about in it; imported when one is first asked for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QDesktopServices

from annual_planner.desktop.icons import icon

if TYPE_CHECKING:
    from annual_planner.desktop.listing import AnyListing
    from annual_planner.desktop.window import MainWindow

SAID_MS = 4000


def go_to_anything(window: MainWindow) -> None:
    """Open the box for everything: places, actions, airplanes, questions to a rule."""
    from annual_planner.desktop.go_to import Goal, GoTo, action_goal, question_goals

    ink = window.desk.theme.colours.ink
    places = [
        Goal(p.title, p.tip, partial(window.go, p.name), icon(p.name, ink)) for p in window.open_places()
    ]
    actions = [
        action_goal(action, action.icon())
        for action in [*window.page.actions_here, *window.menus.actions.values()]
        if action.isEnabled() and action.isVisible() and not action.objectName().startswith("go")
    ]
    goals = [*places, *actions, *question_goals(window.go, icon("library", ink))]
    box = GoTo(window.desk, goals, lambda aircraft_id: window.go("aircraft", aircraft_id), window)
    corner = window.mapToGlobal(window.rect().topLeft())
    box.move(corner.x() + (window.width() - box.width()) // 2, corner.y() + window.height() // 8)
    box.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    box.show()
    box.box.setFocus()


def set_up_shop(window: MainWindow) -> None:
    """Open the set-up of the shop: hours, days off, people, bays, equipment, room."""
    from annual_planner.desktop.shop.dialog import ShopSetUp

    actions = window.menus.actions
    shown = window.popup("shop", lambda: ShopSetUp(window.desk, actions["undo"], actions["redo"], window))
    shown.show()
    shown.raise_()


def open_logs(window: MainWindow) -> None:
    """Open the folder of the log where files are looked at."""
    QDesktopServices.openUrl(QUrl.fromLocalFile(window.log_folder))


def say_saved(window: MainWindow) -> None:
    """Say when the last change was saved."""
    window.status.showMessage(f"Changes save themselves. {window.status.say_saved()}.", SAID_MS)


def copy(window: MainWindow) -> None:
    """Copy from whatever the keys act on; there Ctrl+C does the same."""
    copies = getattr(window.focusWidget(), "copy", None)
    if callable(copies):
        copies()
    else:
        window.status.showMessage("Nothing is chosen that could be copied.", SAID_MS)


def export_list(window: MainWindow) -> None:
    """Save the list that the keys act on, or the place's own, for a spreadsheet."""
    from annual_planner.desktop.list_out import ask_and_export

    _with_list(window, lambda listing: ask_and_export(listing, window.page.strip))


def sort_list(window: MainWindow) -> None:
    """Offer what that list can be sorted by."""
    _with_list(window, lambda listing: listing.view.open_sort_menu())


def _with_list(window: MainWindow, use: Callable[[AnyListing], None]) -> None:
    from annual_planner.desktop.list_here import list_here

    listing = list_here(window.page, window.focusWidget())
    if listing is None:
        window.status.showMessage("There is no list here.", SAID_MS)
    else:
        use(listing)


def back_up(window: MainWindow) -> None:
    """Ask where to, and write a checked copy of the fleet."""
    from annual_planner.desktop.back_up import ask_and_back_up

    ask_and_back_up(window, window.desk, window.strip)


def restore_backup(window: MainWindow) -> None:
    """Ask which backup, and restore it under a new name."""
    from annual_planner.desktop.back_up import ask_and_restore

    ask_and_restore(window, window.desk, window.strip)


def take_in(window: MainWindow) -> None:
    """Ask for a hand-over file, take the airplane in and go to it."""
    from annual_planner.desktop.hand_over.taking import ask_and_take_in

    def show(aircraft_id: int, said: str) -> None:
        window.go("aircraft", aircraft_id)
        window.page.strip.say(said, "Say under Particulars who owns it now.")

    ask_and_take_in(window.desk, window, show)


ACTS: Mapping[str, Callable[[MainWindow], None]] = {
    "saved": say_saved,
    "backup": back_up,
    "restore": restore_backup,
    "take_in": take_in,
    "shop": set_up_shop,
    "export": export_list,
    "sort": sort_list,
    "copy": copy,
    "goto": go_to_anything,
    "logs": open_logs,
}
"""By the name of the action in the menus."""
