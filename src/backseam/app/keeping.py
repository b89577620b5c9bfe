"""Documents in and out of the book: read strictly before they are kept, told apart field by field when they differ."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel

from backseam.app.refusing import Refusal, told
from backseam.ground.errors import DocumentDamaged, NotThere, SavedElsewhere
from backseam.ground.speech import PLAIN
from backseam.job.document import Job
from backseam.job.fields import field_words
from backseam.job.leather_card import KIND as CARD
from backseam.job.leather_card import STEPS, LeatherCard, card_of
from backseam.job.leather_card import VERSION as CARD_VERSION
from backseam.job.leather_card import dumps as card_text
from backseam.job.text import dumps, job_of
from backseam.job.upgrade import upgraded
from backseam.job.walk import Steps, place
from backseam.store.book import Book
from backseam.store.compare import differences
from backseam.store.rows import Kept, Line

Taken = tuple[str, str, dict[str, str]]  # text, title, facts


@dataclass(frozen=True)
class Shelf:
    """One kind of document in the book. take: reads one, for its text, its title and what the listing shows."""

    kind: str
    root: type[BaseModel]
    take: Callable[[Any], Taken]

    def read(self, book: Book, id: str) -> Kept:
        """A document of this kind. Raises NotThere."""
        kept = book.read(id)
        if kept.kind != self.kind:
            raise NotThere(PLAIN.say("store.not_there", id=id))
        return kept

    def add(self, book: Book, document: Any, *, id: str | None = None, title: str | None = None) -> Kept:
        """A new one. Raises InputRefused."""
        text, named, facts = self.take(document)
        return book.add(self.kind, text, title=named if title is None else title, facts=facts, id=id)

    def save(self, book: Book, id: str, document: Any, revision: int, mark: str) -> Kept:
        """Its next revision. Raises InputRefused, and Refusal with both versions if it was saved elsewhere."""
        text, title, facts = self.take(document)
        self.read(book, id)
        try:
            return book.save(id, text, revision=revision, title=title, facts=facts, mark=mark)
        except SavedElsewhere as elsewhere:
            raise self._refused(elsewhere, text) from None

    def differ(self, mine: str, theirs: str) -> list[dict[str, Any]]:
        """Each field in which two texts differ, by its name."""
        return [
            {
                "where": list(one.where),
                "name": self.name(one.where),
                "mine": shown(one.mine),
                "theirs": shown(one.theirs),
            }
            for one in differences(mine, theirs)
            if "typed" not in one.where
        ]

    def name(self, where: Steps) -> str:
        """A field as a person calls it: its parts' names, rows by their number."""
        parts = []
        for n, step in enumerate(where):
            if isinstance(step, int):
                parts.append(str(step + 1))
                continue
            found = place(self.root, where[: n + 1])
            word = field_words(found.part).get(step) if found.part else None
            parts.append(word[0] if word else step.replace("_", " "))
        return ", ".join(parts)

    def _refused(self, elsewhere: SavedElsewhere, mine: str) -> Refusal:
        theirs: Kept = elsewhere.theirs
        status, body = told(elsewhere)
        return Refusal(
            status,
            {
                **body,
                "theirs": {
                    "revision": theirs.revision,
                    "saved_at": theirs.saved_at,
                    "document": json.loads(theirs.text),
                },
                "differences": self.differ(mine, theirs.text),
            },
        )


def shown(value: Any) -> str:
    """A value as it stands in a comparison."""
    if value is None:
        return ""
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)


def _job(document: Any) -> Taken:
    job = job_of(upgraded(document))
    done = job.making.done
    stage = done[-1].act if done else ""
    return dumps(job), job.title, {"promised": job.promised, "customer": job.customer, "stage": stage}


def _card(document: Any) -> Taken:
    card = card_of(upgraded(document, STEPS, CARD_VERSION, CARD))
    return card_text(card), card.title, {}


JOBS = Shelf("job", Job, _job)
LEATHER = Shelf("leather", LeatherCard, _card)


def line_told(line: Line) -> dict[str, Any]:
    """A row of a listing."""
    names = ("id", "title", "revision", "saved_at", "promised", "customer", "stage", "mark", "removed_at")
    return {name: getattr(line, name) for name in names}


def kept_told(kept: Kept, *, whole: bool = True) -> dict[str, Any]:
    """A document with where it stands in the book."""
    head = {"id": kept.id, "title": kept.title, "revision": kept.revision, "saved_at": kept.saved_at}
    return {**head, "mark": kept.mark, **({"document": json.loads(kept.text)} if whole else {})}


def merged(under: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    """A document over the workshop's own defaults: what the document says stands."""
    made = dict(under)
    for key, value in over.items():
        below = made.get(key)
        made[key] = (
            merged(below, value) if isinstance(below, Mapping) and isinstance(value, Mapping) else value
        )
    return made


def put_back(book: Book, id: str, raw: Any) -> Kept:
    """A document from its plain copy: the next revision of its own, or a new one where that is not to be had."""
    shelf = LEATHER if isinstance(raw, dict) and raw.get("kind") == CARD else JOBS
    shelf.take(raw)  # refused before anything is touched
    held = _held(book, id)
    if held is not None:
        return shelf.save(book, id, raw, held.revision, "copy")
    known = {line.id for removed in (False, True) for line in book.lines(shelf.kind, removed=removed)}
    return shelf.add(book, raw, id=None if id in known else id)


def _held(book: Book, id: str) -> Kept | None:
    """The document as it can be had: as it is, mended, or brought back; None if it is gone or past mending."""
    try:
        return book.read(id)
    except DocumentDamaged:
        with suppress(DocumentDamaged):
            return book.mend(id)
    except NotThere:
        with suppress(NotThere):
            return book.bring_back(id)
    return None
