"""What can be done with plugs and cylinders: where each action leads, and what each tab asks for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QWidget

from annual_planner.desktop.page_doings import PageDoings
from annual_planner.desktop.plugs.actions import ACTIONS
from annual_planner.desktop.plugs.compression_tab import CompressionTab
from annual_planner.desktop.plugs.cylinder_recording import CylinderRecording
from annual_planner.desktop.plugs.history_files import HistoryFiles
from annual_planner.desktop.plugs.recording import Recording
from annual_planner.desktop.plugs.rotation_tab import RotationTab
from annual_planner.desktop.plugs.sheets_out import SheetsOut
from annual_planner.desktop.plugs.stock_recording import StockRecording
from annual_planner.desktop.plugs.tray_tab import TrayTab
from annual_planner.desktop.plugs.wrench import WrenchSetting
from annual_planner.planning.engine_view import EngineView

if TYPE_CHECKING:
    from annual_planner.desktop.plugs.page import PlugsPage


class Doings(PageDoings):
    """Actions of the page. Each edit goes through the one writer and can be taken back."""

    out: QAction
    put: QAction
    test: QAction
    check: QAction
    swap: QAction
    other: QAction
    gasket: QAction
    home: QAction
    fit: QAction
    bought: QAction
    drawer_check: QAction
    scrap: QAction
    cylinder: QAction
    undo_work: QAction
    amend: QAction
    reading: QAction
    remove: QAction
    wrench: QAction
    sheets: QAction
    read_in: QAction
    write_out: QAction
    kind: QAction
    airplane: QAction

    def __init__(self, page: PlugsPage) -> None:
        super().__init__(page, ACTIONS)
        # Each with its type: the table of actions, which this module imports, is checked against them first.
        self.page: PlugsPage = page
        self._scheme = ""
        self.recording: Recording = Recording(page)
        self.stock: StockRecording = StockRecording(page)
        self.cylinders: CylinderRecording = CylinderRecording(page)
        self.sheets_out: SheetsOut = SheetsOut(page)
        self.history_files: HistoryFiles = HistoryFiles(page)
        self.wrench_setting: WrenchSetting = WrenchSetting(page)

    def follow_made(self, tab: QWidget) -> None:
        """Do what a tab that was just made asks for."""
        if isinstance(tab, TrayTab):
            self.follow_tray(tab)
        elif isinstance(tab, RotationTab):
            self.follow_rotation(tab)
        elif isinstance(tab, CompressionTab):
            tab.saves.connect(self.cylinders.write_test)
            for table in (tab.tests, tab.cylinders):
                table.pointed.connect(lambda _row: self.follow())

    def follow_tray(self, tab: TrayTab) -> None:
        """Do what the tray asks for."""
        record = self.recording
        tab.checked.connect(record.write_check)
        tab.gasket.connect(record.write_gasket)
        tab.gaskets_all.connect(record.write_all_gaskets)
        tab.swapped.connect(record.start_swap)
        tab.wants_out.connect(record.start_out)

    def follow_rotation(self, tab: RotationTab) -> None:
        """Do what the rotation asks for."""
        record = self.recording
        tab.scheme_wanted.connect(self._choose_scheme)
        tab.moved_wanted.connect(record.write_moved)
        tab.departs.connect(record.start_other)
        tab.straight.connect(record.back_to_scheme)
        tab.puts_in.connect(record.start_in)

    # -- what they do ----------------------------------------------------------------------------------

    def scheme_key(self, view: EngineView) -> str:
        """The scheme that is looked at: of the open tray, else what was chosen here, else the usual one."""
        known = {each.value.scheme.key for each in view.schemes}
        return self._scheme if view.tray is None and self._scheme in known else view.scheme_key

    def _choose_scheme(self, key: str) -> None:
        view = self.page.view
        if view is None:
            return
        self._scheme = key
        if view.tray is not None:
            self.recording.write_scheme(key)
        else:
            self.page.tabs.rotation.take(view, key, may_edit=self.page.desk.who.person.may_edit)

    def start_type(self) -> None:
        """Ask of which type the engine is."""
        self.recording.start_type()

    def to_check(self) -> None:
        """Go to the check of the plug in front."""
        self.page.tabs.show_part(self.page.tabs.tray)
        self.page.tabs.tray.start()

    def to_test(self) -> None:
        """Go to the entry of a new compression test."""
        page = self.page
        page.tabs.show_part(page.tabs.compression)
        boxes = list(page.tabs.compression.safety.boxes.values())
        first = next((box for box in boxes if not box.isChecked()), None)
        if first is not None:
            first.setFocus()
        else:
            page.tabs.compression.readings.start()

    def swap_chosen(self) -> None:
        """Take the chosen plug up, as Space in the tray does."""
        page = self.page
        page.tabs.show_part(page.tabs.tray)
        page.tabs.tray.drawing.setFocus()
        page.tabs.tray.drawing.take_up()

    def other_there(self) -> None:
        """Ask which other plug goes into the chosen place."""
        going = self.page.tabs.rotation.going
        self.page.tabs.show_part(self.page.tabs.rotation)
        if going is not None:
            self.recording.start_other(going.place)

    def to_airplane(self) -> None:
        """Go to the airplane."""
        self.page.goes.emit("aircraft", self.page.aircraft_id)
