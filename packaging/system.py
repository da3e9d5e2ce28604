"""What the machine itself must have before Python packages can help, and how to get it on Debian."""

import ctypes
import importlib.util
import os
import shutil
import subprocess
import sys
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

# Shared libraries by the Debian package that holds them, as the PySide6 wheel asks for them.
# libfontconfig1 brings a font with it, and libgl1 and libxcb-cursor0 bring the plainer X libraries.
FOR_QT = {
    "libGL.so.1": "libgl1",
    "libEGL.so.1": "libegl1",
    "libX11.so.6": "libx11-6",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libgthread-2.0.so.0": "libglib2.0-0",
    "libfontconfig.so.1": "libfontconfig1",
    "libfreetype.so.6": "libfreetype6",
    "libdbus-1.so.3": "libdbus-1-3",
    "libxkbcommon.so.0": "libxkbcommon0",
}
FOR_X_SCREEN = {
    "libX11-xcb.so.1": "libx11-xcb1",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-sync.so.1": "libxcb-sync1",
    "libxcb-util.so.1": "libxcb-util1",
    "libxcb-xfixes.so.0": "libxcb-xfixes0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
}
FOR_WAYLAND_SCREEN = {
    "libwayland-client.so.0": "libwayland-client0",
    "libwayland-cursor.so.0": "libwayland-cursor0",
}


@dataclass(frozen=True, slots=True)
class Missing:
    """Something the machine lacks, and the Debian package that brings it."""

    what: str
    package: str


def has_screen(environ: Mapping[str, str]) -> bool:
    """Tell whether a window could be shown; a chosen Qt platform is taken at its word."""
    if not sys.platform.startswith("linux"):
        return True
    return any(environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"))


def libraries_for_window(environ: Mapping[str, str]) -> dict[str, str]:
    """Return the libraries for a window on the screen that `environ` names."""
    if environ.get("DISPLAY"):
        return FOR_QT | FOR_X_SCREEN
    return FOR_QT | (FOR_WAYLAND_SCREEN if environ.get("WAYLAND_DISPLAY") else {})


def missing_for_venv() -> list[Missing]:
    """Return what is missing to make a virtual environment (Debian packs ensurepip apart)."""
    if importlib.util.find_spec("ensurepip"):
        return []
    return [Missing("the Python module ensurepip", f"python3.{sys.version_info.minor}-venv")]


def missing_libraries(libraries: Mapping[str, str]) -> list[Missing]:
    """Return those of the shared `libraries` that can't be loaded; only Linux is asked."""
    if not sys.platform.startswith("linux"):
        return []
    return [Missing(name, package) for name, package in libraries.items() if not loads(name)]


def loads(library: str) -> bool:
    """Tell whether a shared library can be loaded."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def missing_for_tests() -> list[Missing]:
    """Return what is missing for the tests on PostgreSQL, which need a server's programs."""
    debian = any(Path("/usr/lib/postgresql").glob("*/bin/pg_ctl"))
    there = os.environ.get("PG_CTL") or debian or shutil.which("pg_ctl")
    return [] if there else [Missing("a PostgreSQL server (pg_ctl)", "postgresql")]


def can_install() -> bool:
    """Tell whether this is a Debian-like machine on which we may install."""
    return sys.platform.startswith("linux") and os.geteuid() == 0 and shutil.which("apt-get") is not None


def packages_of(missing: Iterable[Missing]) -> list[str]:
    """Return the Debian packages to install, each once, in order."""
    return list(dict.fromkeys(one.package for one in missing))


def install(packages: list[str]) -> bool:
    """Install Debian packages and tell whether it worked."""
    quiet = os.environ | {"DEBIAN_FRONTEND": "noninteractive"}
    update = ["apt-get", "update", "-qq"]
    add = ["apt-get", "install", "-qq", "-y", "--no-install-recommends", *packages]
    return all(
        subprocess.call(command, env=quiet, stdout=subprocess.DEVNULL) == 0 for command in (update, add)
    )


def how_to_install(missing: Iterable[Missing]) -> str:
    """Return what to tell the person: what is missing and the line that brings it."""
    missing = list(missing)
    lacking = "\n".join(f"  {one.what}" for one in missing)
    line = " ".join(packages_of(missing))
    return (
        f"This machine lacks:\n{lacking}\nOn Debian or Ubuntu, install it with:\n"
        f"  sudo apt-get update && sudo apt-get install --no-install-recommends {line}"
    )
