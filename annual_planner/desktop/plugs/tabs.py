"""The tabs of the place: each is built, and shows the engine, when somebody first looks at it or needs it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from annual_planner.desktop.form import Scrolled
from annual_planner.desktop.parts import Parts


class TabsLater(Parts):
    """Tabs that stand there by their words before what is on them is built."""

    def __init__(self, name: str) -> None:
        super().__init__(name)
        self.names: list[str] = []
        """Of the tabs, in their order."""
        self._makes: dict[str, Callable[[], QWidget]] = {}
        self._made: dict[str, QWidget] = {}

    def add_later(self, name: str, words: str, make: Callable[[], QWidget]) -> None:
        """Add a tab whose part is made when it is first asked for."""
        empty = QWidget()
        empty.setAccessibleName(words)
        empty.setObjectName("scrolled")
        self.names.append(name)
        self._makes[name] = make
        self.addTab(Scrolled(empty), words)

    def get(self, name: str) -> QWidget:
        """The part of that name, made where it wasn't yet."""
        found = self._made.get(name)
        if found is not None:
            return found
        part = self._made[name] = self._makes[name]()
        part.setObjectName("scrolled")
        holder = self.widget(self.names.index(name))
        assert isinstance(holder, Scrolled), "tabs are added by add_later"
        holder.setWidget(part)
        part.setAutoFillBackground(False)
        holder.setAccessibleName(part.accessibleName())
        self._holders[part] = holder
        return part

    def is_made(self, name: str) -> bool:
        """Whether somebody asked for that part already."""
        return name in self._made

    def index_of(self, name: str) -> int:
        """Where the tab of that name stands."""
        return self.names.index(name)

    @property
    def name_in_front(self) -> str:
        """The name of the tab in front."""
        return self.names[max(0, self.currentIndex())]
