"""The menu bar, made from the table of actions."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from itertools import groupby

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMenu, QMenuBar

from annual_planner.desktop.actions import ACTIONS, MENUS, ActionWords
from annual_planner.desktop.icons import icon
from annual_planner.desktop.page import GROUP, Page
from annual_planner.desktop.places import Place
from annual_planner.desktop.theme import Theme


class Menus(QObject):
    """Every action of the window, by name, and the menus they stand in."""

    def __init__(
        self, bar: QMenuBar, theme: Theme, does: Mapping[str, Callable[[], object]], parent: QObject
    ) -> None:
        super().__init__(parent)
        self._theme = theme
        self._words = {words.name: words for words in ACTIONS}
        self._groups: dict[str, QActionGroup] = {}
        self.actions: dict[str, QAction] = {}
        self.menus: dict[str, QMenu] = {name: bar.addMenu(title) for name, title in MENUS}
        for words in ACTIONS:
            if words.name.startswith("-"):
                self.menus[words.menu].addSeparator()
            else:
                self._add(words, does[words.name])
        for menu in self.menus.values():
            menu.setToolTipsVisible(True)
            menu.setAccessibleName(menu.title().replace("&", ""))
        self._here: Page | None = None
        self.menus["here"].aboutToShow.connect(self._fill_here)
        theme.changed.connect(self.draw)

    def _add(self, words: ActionWords, does: Callable[[], object]) -> None:
        made = QAction(words.text, self)
        made.setObjectName(words.name)
        made.setShortcuts(_keys(words))
        keys = made.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
        made.setToolTip(f"{words.tip} ({keys})" if keys else words.tip)
        made.setStatusTip(words.tip)
        made.setCheckable(bool(words.choice))
        if words.choice and words.choice != "alone":
            self._groups.setdefault(words.choice, QActionGroup(self)).addAction(made)
        made.triggered.connect(partial(_call, does))
        self.actions[words.name] = made
        self.menus[words.menu].addAction(made)

    def add_places(self, places: tuple[Place, ...], go: Callable[[str], object]) -> None:
        """Give each place an entry in 'Go' and a key, Ctrl+1 and on."""
        for number, place in enumerate(places, start=1):
            made = QAction(f"{place.title}", self)
            made.setObjectName(f"go-{place.name}")
            made.setShortcut(QKeySequence(f"Ctrl+{number}"))
            made.setToolTip(f"{place.tip} (Ctrl+{number})")
            made.setStatusTip(place.tip)
            made.triggered.connect(partial(_call, partial(go, place.name)))
            self.actions[made.objectName()] = made
            self.menus["go"].addAction(made)

    def show_here(self, page: Page) -> None:
        """Fill the menu 'Here' with what the shown place can do."""
        self._here = page
        self._fill_here()

    def _fill_here(self) -> None:
        here, page = self.menus["here"], self._here
        here.clear()
        if page is None:
            return
        for title, actions in groupby(page.actions_here, key=lambda action: str(action.property(GROUP))):
            menu = here.addMenu(title) if title else here
            menu.setToolTipsVisible(True)
            menu.addActions(list(actions))
        here.menuAction().setVisible(bool(page.actions_here))

    def draw(self) -> None:
        """Draw the icons in the ink of the look in force."""
        inks = self._theme.colours
        for name, action in self.actions.items():
            words = self._words.get(name)
            drawing = words.drawing if words else name.removeprefix("go-")
            if drawing and not action.isCheckable():
                action.setIcon(icon(drawing, inks.ink, inks.faint))


def _call(does: Callable[[], object], _checked: bool = False) -> None:
    does()


def _keys(words: ActionWords) -> list[QKeySequence]:
    """All keys of an action; a platform without the standard key uses the written one."""
    keys: list[QKeySequence] = []
    for key in words.keys:
        found = [QKeySequence(key)] if isinstance(key, str) else QKeySequence.keyBindings(key)
        keys += [one for one in found if one not in keys]
    return keys
