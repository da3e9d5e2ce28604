"""The tabs of an annual; the parts that only show it are made when somebody first looks at them."""

from __future__ import annotations

from functools import partial
from typing import cast

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from annual_planner.desktop.annual.preview import PreviewPane
from annual_planner.desktop.annual.seen import Shown
from annual_planner.desktop.annual.tabs import After, Coverage, OwnerPrepares, PeopleAndHours, Supplies
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.parts import TabsLater


class AnnualTabs(TabsLater):
    """In the order of the work; the owner's own list comes first for an owner."""

    said = Signal(str, str)
    """What became of the paper."""

    def __init__(self, desk: Desk, work: tuple[tuple[str, QWidget, str], ...]) -> None:
        """Take the parts in which the work is done, each with its name and words."""
        super().__init__("Parts of the annual", self._show_on)
        self._desk = desk
        self._shown: Shown | None = None
        self._behind: set[str] = set()
        for name, part, words in work:
            self.add_later(name, words, partial(_itself, part))
            self.get(name)
        self.add_later("hours", "Hours", lambda: PeopleAndHours(desk))
        self.add_later("owner", "Owner prepares", self._make_owner)
        self.add_later("supplies", "Parts and tools", lambda: Supplies(desk))
        self.add_later("coverage", "Coverage", lambda: Coverage(desk))
        self.add_later("after", "Due after", lambda: After(desk))
        self.add_later("preview", "Print preview", self._make_preview)
        self.order()
        self.turned.connect(self.build_front)

    def _make_owner(self) -> OwnerPrepares:
        made = OwnerPrepares(self._desk)
        made.wants_paper.connect(self._show_list_on_paper)
        return made

    def _show_list_on_paper(self) -> None:
        self.preview.show_paper("owner")
        self.show_part(self.preview)
        self.preview.setFocus()

    def _make_preview(self) -> PreviewPane:
        made = PreviewPane(self._desk)
        made.out.said.connect(self.said)
        return made

    @property
    def hours(self) -> PeopleAndHours:
        """Who must do how much."""
        return cast(PeopleAndHours, self.get("hours"))

    @property
    def owner(self) -> OwnerPrepares:
        """What the owner may prepare."""
        return cast(OwnerPrepares, self.get("owner"))

    @property
    def supplies(self) -> Supplies:
        """Parts and tools."""
        return cast(Supplies, self.get("supplies"))

    @property
    def coverage(self) -> Coverage:
        """What looks at each item of the scope."""
        return cast(Coverage, self.get("coverage"))

    @property
    def after(self) -> After:
        """What is due afterwards."""
        return cast(After, self.get("after"))

    @property
    def preview(self) -> PreviewPane:
        """The paper."""
        return cast(PreviewPane, self.get("preview"))

    def order(self) -> None:
        """Put the tabs in the order of the person at the window, the first one in front for an owner."""
        own = not self._desk.who.person.may_edit
        names = [name for name in self.names if not (own and name == "owner")]
        for place, name in enumerate(("owner", *names) if own else names):
            self.tabBar().moveTab(self.index_of(name), place)
        if own:
            self.setCurrentIndex(0)
            self.build_front()

    def take(self, shown: Shown) -> None:
        """Show a package on the part in front, and on the others once somebody looks at them."""
        self._shown = shown
        self._behind = {name for name in self.names if self.is_made(name)}
        self.get(self.name_in_front)

    def get(self, name: str) -> QWidget:
        """The part of that name, made where it wasn't yet, showing the package as it is now."""
        part = super().get(name)
        if name in self._behind:
            self._behind.discard(name)
            self._show_on(part)
        return part

    def _show_on(self, part: QWidget) -> None:
        if self._shown is None:
            return
        if isinstance(part, PreviewPane):
            part.take(self._shown.view)
        elif isinstance(part, PeopleAndHours | OwnerPrepares | Supplies | Coverage | After):
            part.take(self._shown)


def _itself(part: QWidget) -> QWidget:
    return part
