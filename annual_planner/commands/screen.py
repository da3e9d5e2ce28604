"""The window, and whether there is a screen to open it on."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from typing import TYPE_CHECKING

from annual_planner.commands.opened import shop_library
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.desktop.desk import LoadLibrary


def open_window(asked: argparse.Namespace) -> int:
    """Open the window on the fleet asked for, else on the last one."""
    return show_window(asked.fleet or None, lambda: shop_library(asked.shop))


def show_window(fleet: str | None, load_library: LoadLibrary | None = None) -> int:
    """Show the window on this fleet until it is closed; gives the exit status. Refused without a screen."""
    check_screen()
    gc.disable()  # nothing that the start makes is garbage: the window turns it on again once it is calm
    try:
        from annual_planner.desktop.app import run

        return run(fleet, load_library)
    finally:
        gc.enable()


def check_screen() -> None:
    """Refuse where Qt would find no screen and end the program itself."""
    ways = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    if sys.platform == "linux" and not any(os.environ.get(way) for way in ways):
        raise Refused(
            "There is no screen to open the window on.",
            "Sit at one, or work without a window: 'annual-planner --help' shows the commands.",
        )
