"""Plain copies: every job as a JSON file beside the book. The book can burn; the jobs stay readable in any editor."""

from __future__ import annotations

import os
import re
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from secrets import token_hex

from backseam.ground.errors import NotThere
from backseam.ground.speech import PLAIN
from backseam.store.book import Book
from backseam.store.opening import sync_folder
from backseam.store.rows import Line

LONGEST = 60
RESERVED = re.compile(r"(?i)^(con|prn|aux|nul|com[0-9]|lpt[0-9])$")


def folder(book: Path) -> Path:
    """Where the plain copies of a book lie."""
    return book.with_name(f"{book.stem}-copies")


def file_name(title: str, id: str) -> str:
    """A name any system takes: letters, digits and hyphens of the title, then the id.

    >>> file_name("../Cabin knife, rowan", "a1b2")
    'Cabin-knife-rowan--a1b2.json'
    >>> file_name("CON", "a1")
    'job--a1.json'
    """
    plain = re.sub(r"[^A-Za-z0-9]+", "-", title).strip("-")[:LONGEST].strip("-") or "job"
    safe = re.sub(r"[^A-Za-z0-9-]+", "-", id)[:LONGEST]
    return f"{'job' if RESERVED.match(plain) else plain}--{safe}.json"


def write(book: Book, known: dict[str, int] | None = None) -> dict[str, int]:
    """Writes every document that changed since; gives the revisions that were written, for the next time.

    Each file is written beside, flushed and moved into place: there is never half a file under a final name.
    """
    place = folder(book.path)
    place.mkdir(exist_ok=True)
    written = dict(known or {})
    for kind in ("job", "leather"):
        for line in book.lines(kind):
            if written.get(line.id) != line.revision:
                _put(place / file_name(line.title, line.id), book.read(line.id).text)
                _drop_older(place, line)
                written[line.id] = line.revision
    sync_folder(place)
    return written


@dataclass(frozen=True)
class Copy:
    """One plain copy in the folder. id: the document it is of; written_at: ISO UTC."""

    name: str
    id: str
    written_at: str
    bytes: int


def listed(book: Path) -> tuple[Copy, ...]:
    """The plain copies there are, newest first."""
    found = []
    for one in folder(book).glob("[!.]*--*.json"):
        seen = one.stat()
        at = datetime.fromtimestamp(int(seen.st_mtime), UTC).isoformat().replace("+00:00", "Z")
        found.append(Copy(one.name, one.stem.rpartition("--")[2], at, seen.st_size))
    return tuple(sorted(found, key=lambda one: (one.written_at, one.name), reverse=True))


def read(book: Path, name: str) -> tuple[Copy, bytes]:
    """A copy of the list and what stands in it. Raises NotThere."""
    for one in listed(book):
        if one.name == name:
            return one, (folder(book) / name).read_bytes()
    raise NotThere(PLAIN.say("store.no_copy", name=name))


def _put(path: Path, text: str) -> None:
    part = path.with_name(f".{path.name}.{token_hex(4)}")
    try:
        with open(part, "w", encoding="utf-8") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        os.replace(part, path)
    finally:
        part.unlink(missing_ok=True)


def _drop_older(place: Path, line: Line) -> None:
    """A renamed job leaves no copy under its old name."""
    now = file_name(line.title, line.id)
    ending = now[now.rindex("--") :]
    for other in place.glob(f"*{ending}"):
        if other.name != now:
            other.unlink(missing_ok=True)
