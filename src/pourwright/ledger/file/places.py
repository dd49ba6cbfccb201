"""Folders in which a book may come to harm: on another computer, or copied about by a program.

SQLite needs locks that hold and writes that stay in order; a network's folder promises neither.
A program that keeps folders alike on several computers puts one file in another's place while the
book is open, and parts the log from its file.
"""

from __future__ import annotations

import sys
from pathlib import Path

_NETWORK = (
    "9p",
    "afpfs",
    "afs",
    "ceph",
    "cifs",
    "davfs",
    "fuse.davfs2",
    "fuse.glusterfs",
    "fuse.rclone",
    "fuse.s3fs",
    "fuse.sshfs",
    "glusterfs",
    "ncpfs",
    "nfs",
    "nfs4",
    "smb2",
    "smb3",
    "smbfs",
)
"""Kinds of file systems that lie on another computer, as Linux names them."""

_MARKS = (
    ".stfolder",
    ".sync",
    ".dropbox",
    ".dropbox.cache",
    ".owncloudsync.log",
    ".nextcloudsync.log",
    ".tmp.drivedownload",
    ".tmp.driveupload",
)
"""What programs that keep folders alike leave in a folder of theirs."""

_SYNCED_PARTS = ("CloudStorage", "Mobile Documents")
"""Folders of macOS below which everything is kept alike with other computers."""

_DRIVE_REMOTE = 4


def doubt_about(folder: Path) -> str:
    """Return a sentence about a folder that may harm a book, empty if nothing speaks against it."""
    here = folder.absolute()
    if is_on_network(here):
        return (
            f"The folder {here.name} lies on another computer. A book can be damaged there: keep "
            "it on this computer's own disk, and put copies there with: pourwright book backup --into."
        )
    if is_synced(here):
        return (
            f"The folder {here.name} seems to be kept alike with other computers by a program. It "
            "may put an older file in the book's place while you work: keep the book outside, and "
            "put copies there with: pourwright book backup --into."
        )
    return ""


def is_synced(folder: Path) -> bool:
    """Return whether a folder or one above it bears the mark of a program that keeps folders alike."""
    above = (folder, *folder.parents)
    return any(
        one.name in _SYNCED_PARTS or any((one / mark).exists() for mark in _MARKS) for one in above
    )


def is_on_network(folder: Path) -> bool:
    """Return whether a folder lies on another computer, as far as the system says: not on macOS."""
    if sys.platform == "win32":
        import ctypes

        drive = folder.drive
        return drive.startswith("\\\\") or (
            ctypes.windll.kernel32.GetDriveTypeW(drive + "\\") == _DRIVE_REMOTE
        )
    try:
        mounts = Path("/proc/self/mountinfo").read_text(encoding="utf-8", errors="replace")
    except OSError:
        return False
    return kind_of_mount(folder, mounts) in _NETWORK


def kind_of_mount(folder: Path, mounts: str) -> str:
    """Return the kind of the file system that a folder lies on, by the text of Linux's mountinfo.

    Parameters
    ----------
    folder : Path
        An absolute folder.
    mounts : str
        Lines as in proc(5): the fifth field is where it hangs, the first behind the lone dash its kind.

    Examples
    --------
    >>> kind_of_mount(Path("/far/pots"), "2 1 0:5 / /far rw shared:1 - nfs4 box:/far rw")
    'nfs4'
    """
    kind, longest = "", 0
    for line in mounts.splitlines():
        before, _, behind = line.partition(" - ")
        fields = before.split(" ")
        if len(fields) < 5 or not behind:
            continue
        # the system writes a space in a name as \040
        at = Path(fields[4].replace("\\040", " "))
        if folder.is_relative_to(at) and len(at.parts) >= longest:
            kind, longest = behind.split(" ")[0], len(at.parts)
    return kind
