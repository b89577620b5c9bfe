"""Where a book lies: is there room, and is it a place in which a book can be kept from harm?

Broken locks and copies taken in mid-write head the list of ways to spoil such a file, so a book in a network or a
synchronised folder is a finding; plain copies and backups may lie there.
"""

from __future__ import annotations

import os
from pathlib import Path, PurePath

from backseam.ground.findings import Finding, finding
from backseam.store.connection import free_bytes

LOW = 50_000_000  # bytes free below which it is said before it hurts
NETWORK = {"nfs", "nfs4", "cifs", "smb3", "smbfs", "9p", "afs", "ceph", "davfs", "glusterfs"}
NETWORK_BY_PROGRAM = {"fuse.sshfs", "fuse.rclone", "fuse.davfs2", "fuse.gvfsd-fuse", "fuse.glusterfs"}
SYNCHRONISED = (
    "box sync",
    "clouddocs",
    "dropbox",
    "google drive",
    "googledrive",
    "mobile documents",
    "nextcloud",
    "onedrive",
    "owncloud",
    "pcloud",
    "proton drive",
    "seafile",
    "syncthing",
)
MARKS = (".stfolder", ".dropbox", ".owncloudsync.log", ".nextcloudsync.log")
MOUNTS = Path("/proc/self/mounts")


def findings(book: Path) -> tuple[Finding, ...]:
    """What is doubtful about the place of this book, now."""
    book = Path(os.path.realpath(book))
    found = []
    free = free_bytes(book)
    if free < LOW:
        found.append(finding("STORE-001", (), free=f"{free / 1e6:.0f}", folder=str(book.parent)))
    if on_network(book, _mounts()) or synchronised(book.parent):
        found.append(finding("STORE-002", (), folder=str(book.parent)))
    return tuple(found)


def on_network(book: PurePath, mounts: str) -> bool:
    """True if the book lies on another machine. mounts: the system's table, a line a mount, place and kind in it.

    >>> on_network(PurePath("/home/ines/book.sqlite"), "host:/x /home nfs4 rw 0 0")
    True
    >>> on_network(PurePath("/home/ines/book.sqlite"), "host:/x /home nfs4 rw 0 0\\n/dev/sda1 /home/ines ext4 rw 0 0")
    False
    """
    if str(book).startswith(("\\\\", "//")):
        return True
    longest, kind = -1, ""
    for line in mounts.splitlines():
        parts = line.split(" ")
        if len(parts) > 2:
            at = PurePath(parts[1].replace("\\040", " "))
            if book.is_relative_to(at) and len(at.parts) >= longest:
                longest, kind = len(at.parts), parts[2]
    return kind in NETWORK | NETWORK_BY_PROGRAM


def synchronised(folder: Path) -> bool:
    """True if a folder, or one that it lies in, is kept the same on several machines by another program."""
    for place in (folder, *folder.parents):
        name = place.name.casefold()
        if any(name == known or name.startswith((f"{known} ", f"{known}-")) for known in SYNCHRONISED):
            return True
        if any((place / mark).exists() for mark in MARKS):
            return True
    return False


def _mounts() -> str:
    try:
        return MOUNTS.read_text(encoding="utf-8", errors="replace")
    except OSError:
        return ""
