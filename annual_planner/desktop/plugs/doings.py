"""What can be done with plugs and cylinders: actions, the forms they open, the edits they make."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QWidget

from annual_planner.desktop.page_doings import PageAction, PageDoings
from annual_planner.desktop.plugs.compression_tab import CompressionTab
from annual_planner.desktop.plugs.cylinder_recording import CylinderRecording
from annual_planner.desktop.plugs.forms import loose_plugs
from annual_planner.desktop.plugs.history_files import HistoryFiles
from annual_planner.desktop.plugs.recording import Recording
from annual_planner.desktop.plugs.rotation_tab import RotationTab
from annual_planner.desktop.plugs.sheets_out import SheetsOut
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
        self.page = page
        self._scheme = ""
        self.recording = Recording(page)
        self.cylinders = CylinderRecording(page)
        self.sheets_out = SheetsOut(page)
        self.history_files = HistoryFiles(page)
        self.wrench_setting = WrenchSetting(page)

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

    # -- which are allowed -----------------------------------------------------------------------------

    @property
    def plugs_out(self) -> bool:
        """Plugs lie in the tray."""
        return self.on and self.page.view is not None and self.page.view.tray is not None

    @property
    def plugs_fitted(self) -> bool:
        """There are plugs in the engine that could come out."""
        view = self.page.view
        return self.on and view is not None and any(each.plug is not None for each in view.places)

    @property
    def places_empty(self) -> bool:
        """Some places have no plug and no tray is open."""
        view = self.page.view
        return (
            self.on
            and view is not None
            and view.tray is None
            and any(each.plug is None for each in view.places)
        )

    @property
    def test_in_front(self) -> bool:
        """A test is chosen on the tab in front."""
        page = self.page
        if not self.on or page.tabs.name_in_front != "compression":
            return False
        return page.tabs.compression.chosen_test is not None

    @property
    def reading_in_front(self) -> bool:
        """A cylinder of a test is chosen on the tab in front."""
        return self.test_in_front and self.page.tabs.compression.chosen_reading is not None

    @property
    def plugs_loose(self) -> bool:
        """A plug that suits this engine lies somewhere and could be scrapped."""
        view = self.page.view
        return self.on and view is not None and bool(loose_plugs(view))

    @property
    def plugs_spare(self) -> bool:
        """A plug that suits this engine lies in the drawer."""
        view = self.page.view
        return self.on and view is not None and bool(view.spares)

    @property
    def work_written(self) -> bool:
        """Work on some cylinder is written down."""
        view = self.page.view
        return self.on and view is not None and any(each.changes for each in view.cylinders)

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


ACTIONS: tuple[PageAction[Doings], ...] = (
    PageAction(
        "out",
        "Take plugs &out…",
        lambda doings: doings.recording.start_out(),
        "Take plugs out of the engine into the tray",
        "Ctrl+T",
        "tray",
        button=True,
        edits=True,
        when=lambda doings: doings.plugs_fitted,
    ),
    PageAction(
        "put",
        "Put plugs &in…",
        lambda doings: doings.recording.start_in(),
        "Put the plugs back by the rotation, with new gaskets",
        "Ctrl+Shift+T",
        "rotate",
        button=True,
        edits=True,
        when=lambda doings: doings.plugs_out,
    ),
    PageAction(
        "test",
        "&Compression test…",
        Doings.to_test,
        "Make a compression test, safety steps first",
        "Ctrl+M",
        "meter",
        button=True,
        leading=True,
        edits=True,
    ),
    PageAction(
        "check",
        "Check the p&lug in front",
        Doings.to_check,
        "Type the check of the plug in front of the tray",
        "Ctrl+E",
        "edit",
        edits=True,
        when=lambda doings: doings.plugs_out,
    ),
    PageAction(
        "swap",
        "S&wap the chosen plug",
        Doings.swap_chosen,
        "Take the chosen plug up; arrows and Space lay it down where another lies",
        "Ctrl+Shift+W",
        edits=True,
        when=lambda doings: doings.plugs_out,
    ),
    PageAction(
        "other",
        "Another plug &there…",
        Doings.other_there,
        "Let another plug than the rotation's go into the chosen place, with a reason",
        edits=True,
        when=lambda doings: doings.plugs_out,
    ),
    PageAction(
        "gasket",
        "&Gasket missing…",
        lambda doings: doings.recording.start_missing(),
        "Say at which cylinder a gasket did not come out",
        "Ctrl+G",
        "warn",
        edits=True,
        when=lambda doings: doings.plugs_out,
    ),
    PageAction(
        "home",
        "Put all &back where they were",
        lambda doings: doings.recording.put_back(),
        "Put every plug back into the place it came out of",
        drawing="back",
        edits=True,
        when=lambda doings: doings.plugs_out,
    ),
    PageAction(
        "fit",
        "&Fit plugs…",
        lambda doings: doings.recording.start_fit(),
        "Fit plugs into the empty places: a first fitting",
        "Ctrl+Shift+F",
        "add",
        edits=True,
        when=lambda doings: doings.places_empty,
    ),
    PageAction(
        "bought",
        "A&dd plugs to the drawer…",
        lambda doings: doings.recording.start_bought(),
        "Write down plugs that were bought",
        drawing="add",
        edits=True,
    ),
    PageAction(
        "drawer_check",
        "Chec&k a plug of the drawer…",
        lambda doings: doings.recording.start_drawer_check(),
        "Write down a look at a plug that lies in the drawer, such as a new one's gap",
        drawing="tick",
        edits=True,
        when=lambda doings: doings.plugs_spare,
    ),
    PageAction(
        "scrap",
        "&Scrap a plug…",
        lambda doings: doings.recording.start_scrap(),
        "Scrap a plug of the tray or the drawer, with the reason",
        drawing="close",
        edits=True,
        when=lambda doings: doings.plugs_loose,
    ),
    PageAction(
        "cylinder",
        "Cylinder wo&rk…",
        lambda doings: doings.cylinders.start_cylinder_work(),
        "Write down work on a cylinder, after which its readings begin anew",
        drawing="assembly",
        edits=True,
    ),
    PageAction(
        "undo_work",
        "Remo&ve cylinder work…",
        lambda doings: doings.cylinders.start_undo_work(),
        "Take work on a cylinder that was written down by mistake out of the records",
        drawing="remove",
        edits=True,
        when=lambda doings: doings.work_written,
    ),
    PageAction(
        "amend",
        "Correct the t&est…",
        lambda doings: doings.cylinders.start_correcting_test(),
        "Put the conditions of the chosen compression test right",
        drawing="edit",
        edits=True,
        when=lambda doings: doings.test_in_front,
    ),
    PageAction(
        "reading",
        "Correct a readi&ng…",
        lambda doings: doings.cylinders.start_correcting_reading(),
        "Put the reading of the chosen cylinder in the chosen test right",
        drawing="edit",
        edits=True,
        when=lambda doings: doings.reading_in_front,
    ),
    PageAction(
        "remove",
        "Take the test awa&y",
        lambda doings: doings.cylinders.remove_test(),
        "Take the chosen compression test out of the records; Undo brings it back",
        "Del",
        "remove",
        edits=True,
        when=lambda doings: doings.test_in_front,
    ),
    PageAction(
        "wrench",
        "Set the tor&que wrench…",
        lambda doings: doings.wrench_setting.start(),
        "Work out what to set the wrench to where an adapter or a joint stands before the plug",
        drawing="meter",
    ),
    PageAction(
        "sheets",
        "&Print the sheets…",
        lambda doings: doings.sheets_out.start(),
        "Plug box, rotation, compression and history on paper",
        "Ctrl+P",
        "print",
    ),
    PageAction(
        "read_in",
        "Read a history fro&m a file…",
        lambda doings: doings.history_files.start_reading(),
        "Read plugs and compression tests of this engine from a file, seen before they are written down",
        drawing="open",
        edits=True,
    ),
    PageAction(
        "write_out",
        "Write the history o&ut…",
        lambda doings: doings.history_files.start_writing(),
        "Write plugs and compression tests of this engine to a file, as it can be read in",
        drawing="save",
    ),
    PageAction(
        "kind",
        "Change t&he engine type…",
        Doings.start_type,
        "Say of which type this engine is",
        drawing="library",
        edits=True,
    ),
    PageAction(
        "airplane",
        "Open the &airplane",
        Doings.to_airplane,
        "Go to the airplane of this engine",
        drawing="aircraft",
    ),
)
