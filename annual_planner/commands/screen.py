"""The window, and whether there is a screen to open it on."""

from __future__ import annotations

import argparse
import os
import sys

from annual_planner.commands.opened import shop_library
from annual_planner.trade.refused import Refused


def open_window(asked: argparse.Namespace) -> int:
    """Open the window on the fleet asked for, else on the last one."""
    from annual_planner.desktop.app import run

    check_screen()
    return run(asked.fleet or None, lambda: shop_library(asked.shop))


def check_screen() -> None:
    """Refuse where Qt would find no screen and end the program itself."""
    ways = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    if sys.platform == "linux" and not any(os.environ.get(way) for way in ways):
        raise Refused(
            "There is no screen to open the window on.",
            "Sit at one, or work without a window: 'annual-planner --help' shows the commands.",
        )
