"""The actions of plugs and cylinders: their words, their keys, and when each is allowed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from annual_planner.desktop.page_doings import PageAction
from annual_planner.desktop.plugs.forms import loose_plugs

if TYPE_CHECKING:
    from annual_planner.desktop.plugs.doings import Doings


def plugs_out(doings: Doings) -> bool:
    """Plugs lie in the tray."""
    return doings.on and doings.page.view is not None and doings.page.view.tray is not None


def plugs_fitted(doings: Doings) -> bool:
    """There are plugs in the engine that could come out."""
    view = doings.page.view
    return doings.on and view is not None and any(each.plug is not None for each in view.places)


def places_empty(doings: Doings) -> bool:
    """Some places have no plug and no tray is open."""
    view = doings.page.view
    return (
        doings.on
        and view is not None
        and view.tray is None
        and any(each.plug is None for each in view.places)
    )


def test_in_front(doings: Doings) -> bool:
    """A test is chosen on the tab in front."""
    page = doings.page
    if not doings.on or page.tabs.name_in_front != "compression":
        return False
    return page.tabs.compression.chosen_test is not None


def reading_in_front(doings: Doings) -> bool:
    """A cylinder of a test is chosen on the tab in front."""
    return test_in_front(doings) and doings.page.tabs.compression.chosen_reading is not None


def plugs_loose(doings: Doings) -> bool:
    """A plug that suits this engine lies somewhere and could be scrapped."""
    view = doings.page.view
    return doings.on and view is not None and bool(loose_plugs(view))


def plugs_spare(doings: Doings) -> bool:
    """A plug that suits this engine lies in the drawer."""
    view = doings.page.view
    return doings.on and view is not None and bool(view.spares)


def work_written(doings: Doings) -> bool:
    """Work on some cylinder is written down."""
    view = doings.page.view
    return doings.on and view is not None and any(each.changes for each in view.cylinders)


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
        when=plugs_fitted,
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
        when=plugs_out,
    ),
    PageAction(
        "test",
        "&Compression test…",
        lambda doings: doings.to_test(),
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
        lambda doings: doings.to_check(),
        "Type the check of the plug in front of the tray",
        "Ctrl+E",
        "edit",
        edits=True,
        when=plugs_out,
    ),
    PageAction(
        "swap",
        "S&wap the chosen plug",
        lambda doings: doings.swap_chosen(),
        "Take the chosen plug up; arrows and Space lay it down where another lies",
        "Ctrl+Shift+W",
        edits=True,
        when=plugs_out,
    ),
    PageAction(
        "other",
        "Another plug &there…",
        lambda doings: doings.other_there(),
        "Let another plug than the rotation's go into the chosen place, with a reason",
        "Ctrl+Shift+O",
        edits=True,
        when=plugs_out,
    ),
    PageAction(
        "gasket",
        "&Gasket missing…",
        lambda doings: doings.recording.start_missing(),
        "Say at which cylinder a gasket did not come out",
        "Ctrl+G",
        "warn",
        edits=True,
        when=plugs_out,
    ),
    PageAction(
        "home",
        "Put all back where they were",
        lambda doings: doings.recording.put_back(),
        "Put every plug back into the place it came out of",
        "Ctrl+Shift+H",
        drawing="back",
        edits=True,
        when=plugs_out,
    ),
    PageAction(
        "fit",
        "&Fit plugs…",
        lambda doings: doings.stock.start_fit(),
        "Fit plugs into the empty places: a first fitting",
        "Ctrl+Shift+F",
        "add",
        edits=True,
        when=places_empty,
    ),
    PageAction(
        "bought",
        "A&dd plugs to the drawer…",
        lambda doings: doings.stock.start_bought(),
        "Write down plugs that were bought",
        "Ctrl+D",
        drawing="add",
        edits=True,
    ),
    PageAction(
        "drawer_check",
        "Chec&k a plug of the drawer…",
        lambda doings: doings.stock.start_drawer_check(),
        "Write down a look at a plug that lies in the drawer, such as a new one's gap",
        "Ctrl+Shift+D",
        drawing="tick",
        edits=True,
        when=plugs_spare,
    ),
    PageAction(
        "scrap",
        "&Scrap a plug…",
        lambda doings: doings.stock.start_scrap(),
        "Scrap a plug of the tray or the drawer, with the reason",
        "Ctrl+Shift+Del",
        drawing="close",
        edits=True,
        when=plugs_loose,
    ),
    PageAction(
        "cylinder",
        "Cylinder wo&rk…",
        lambda doings: doings.cylinders.start_cylinder_work(),
        "Write down work on a cylinder, after which its readings begin anew",
        "Ctrl+Shift+C",
        drawing="assembly",
        edits=True,
    ),
    PageAction(
        "undo_work",
        "Remo&ve cylinder work…",
        lambda doings: doings.cylinders.start_undo_work(),
        "Take work on a cylinder that was written down by mistake out of the records",
        "Ctrl+Shift+N",
        drawing="remove",
        edits=True,
        when=work_written,
    ),
    PageAction(
        "amend",
        "Correct the t&est…",
        lambda doings: doings.cylinders.start_correcting_test(),
        "Put the conditions of the chosen compression test right",
        "Ctrl+Shift+E",
        drawing="edit",
        edits=True,
        when=test_in_front,
    ),
    PageAction(
        "reading",
        "Correct a readi&ng…",
        lambda doings: doings.cylinders.start_correcting_reading(),
        "Put the reading of the chosen cylinder in the chosen test right",
        "Ctrl+Shift+R",
        drawing="edit",
        edits=True,
        when=reading_in_front,
    ),
    PageAction(
        "remove",
        "Take the test awa&y",
        lambda doings: doings.cylinders.remove_test(),
        "Take the chosen compression test out of the records; Undo brings it back",
        "Del",
        "remove",
        edits=True,
        when=test_in_front,
    ),
    PageAction(
        "wrench",
        "Set the tor&que wrench…",
        lambda doings: doings.wrench_setting.start(),
        "Work out what to set the wrench to where an adapter or a joint stands before the plug",
        "Ctrl+Shift+Q",
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
        "Ctrl+Shift+I",
        drawing="open",
        edits=True,
    ),
    PageAction(
        "write_out",
        "Write the history o&ut…",
        lambda doings: doings.history_files.start_writing(),
        "Write plugs and compression tests of this engine to a file, as it can be read in",
        "Ctrl+Shift+S",
        drawing="save",
    ),
    PageAction(
        "kind",
        "Change t&he engine type…",
        lambda doings: doings.start_type(),
        "Say of which type this engine is",
        "Ctrl+Shift+K",
        drawing="library",
        edits=True,
    ),
    PageAction(
        "airplane",
        "Open the &airplane",
        lambda doings: doings.to_airplane(),
        "Go to the airplane of this engine",
        "Ctrl+Shift+V",
        drawing="aircraft",
    ),
)
