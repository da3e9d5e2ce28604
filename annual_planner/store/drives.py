"""Whether a file lies on a network drive, where locks and syncing can't be relied on.

A database file there can be damaged when two computers use it, or lose what was saved when the network drops:
see 'SQLite over a network' in that library's documentation. The surroundings are handed in, so that each
system's rules are plain functions.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from subprocess import SubprocessError, run

NETWORK_FILE_SYSTEMS = frozenset(
    {
        "afpfs", "afs", "ceph", "cifs", "coda", "davfs", "davfs2", "gfs2", "glusterfs", "lustre", "ncpfs",
        "nfs", "nfs3", "nfs4", "ocfs2", "smb2", "smb3", "smbfs", "webdav",
    }
)  # fmt: skip
"""As the system names them in its list of mounts; common knowledge of these systems, no single source."""
NETWORK_THROUGH_FUSE = ("ceph", "curl", "dav", "gluster", "gvfs", "rclone", "s3", "smb", "sshfs")
"""Words in the name behind 'fuse.' that speak of a network."""
DRIVE_REMOTE = 4
"""What Windows answers for a network drive (GetDriveType)."""


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What is asked of the system: its name as `sys.platform` gives it, its mounts, the kind of a drive."""

    system: str
    mounts: tuple[tuple[str, str], ...] = ()
    """Each mount point with its file system, a later one over an earlier one."""
    drive_type: Callable[[str], int] = lambda _root: 0


def network_drive(path: Path, around: Surroundings) -> str:
    """What kind of network drive the file lies on, in a word; empty for a disk of this computer.

    `path` with every link followed.
    """
    if around.system == "win32":
        return _of_windows(str(path), around.drive_type)
    kind = _file_system(path.as_posix(), around.mounts)
    return kind if is_network(kind) else ""


def is_network(file_system: str) -> bool:
    """Say whether a file system of that name is one over a network.

    >>> is_network("nfs4"), is_network("fuse.sshfs"), is_network("ext4"), is_network("fuseblk")
    (True, True, False, False)
    """
    name = file_system.casefold()
    if name.startswith("fuse."):
        return any(word in name for word in NETWORK_THROUGH_FUSE)
    return name in NETWORK_FILE_SYSTEMS


def _of_windows(path: str, drive_type: Callable[[str], int]) -> str:
    plain = path.removeprefix("\\\\?\\")
    if plain.startswith(("\\\\", "//", "UNC\\")):
        return "network share"
    letter = re.match(r"[A-Za-z]:", plain)
    remote = letter is not None and drive_type(f"{letter[0]}\\") == DRIVE_REMOTE
    return "network drive" if remote else ""


def _file_system(path: str, mounts: tuple[tuple[str, str], ...]) -> str:
    """The file system of the longest mount point that the path lies under; of the same one, the last."""
    best, kind = "", ""
    for point, file_system in mounts:
        under = path == point or path.startswith(f"{point.rstrip('/')}/")
        if under and len(point) >= len(best):
            best, kind = point, file_system
    return kind


def linux_mounts(mountinfo: str) -> tuple[tuple[str, str], ...]:
    r"""Mount points and file systems from the text of /proc/self/mountinfo (proc(5)).

    >>> linux_mounts("36 35 98:0 / /my\\040disk rw,noatime - nfs4 shop:/fleets rw")
    (('/my disk', 'nfs4'),)
    """
    found = []
    for line in mountinfo.splitlines():
        before, _, after = line.partition(" - ")
        fields, kind = before.split(" "), after.split(" ")
        if len(fields) > 4 and kind[0]:
            found.append((_unescaped(fields[4]), kind[0]))
    return tuple(found)


def mac_mounts(listing: str) -> tuple[tuple[str, str], ...]:
    """Mount points and file systems from what the mount command of macOS prints.

    >>> mac_mounts("//ann@shop/fleets on /Volumes/fleets (smbfs, nodev, nosuid)")
    (('/Volumes/fleets', 'smbfs'),)
    """
    lines = (re.fullmatch(r".+? on (/.*) \(([^,)]+).*\)", line) for line in listing.splitlines())
    return tuple((line[1], line[2]) for line in lines if line)


def _unescaped(text: str) -> str:
    return re.sub(r"\\([0-7]{3})", lambda found: chr(int(found[1], 8)), text)


def surroundings() -> Surroundings:
    """Those of this computer; where the system gives no answer, no mounts, so that nothing is warned of."""
    try:
        if sys.platform == "win32":
            import ctypes

            return Surroundings(sys.platform, drive_type=ctypes.windll.kernel32.GetDriveTypeW)
        if sys.platform == "darwin":
            told = run(["/sbin/mount"], capture_output=True, text=True, timeout=5, check=True)
            return Surroundings(sys.platform, mac_mounts(told.stdout))
        return Surroundings(sys.platform, linux_mounts(_text_of("/proc/self/mountinfo")))
    except (OSError, ValueError, ImportError, SubprocessError):
        return Surroundings(sys.platform)


def _text_of(path: str) -> str:
    return Path(path).read_text(encoding="utf-8", errors="surrogateescape")
