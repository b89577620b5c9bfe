"""The hide a job is cut from: its card, as it lies in the book, written into the job before anything is worked out."""

from __future__ import annotations

from contextlib import suppress
from typing import Any

from backseam.ground.errors import InputRefused, StoreError
from backseam.job.leather_card import LeatherCard, loads, written_in
from backseam.store.book import Book


def named(document: Any) -> str:
    """The leather card that a document as typed names; empty if it names none."""
    leather = document.get("leather") if isinstance(document, dict) else None
    card = leather.get("card") if isinstance(leather, dict) else None
    return card.strip() if isinstance(card, str) else ""


def with_hide(book: Book, document: Any) -> Any:
    """The document with what its hide's card in the book knows; as it is if there is no such card.

    Raises InputRefused if the card holds what is no leather.
    """
    card = card_named(book, named(document))
    if card is None:
        return document
    try:
        return written_in(document, card)
    except InputRefused as refused:
        raise InputRefused(str(refused), ("leather", "card")) from None


def card_named(book: Book, name: str) -> LeatherCard | None:
    """The card of the book by its number there, the name of its file, its title or its own name; None if none is.

    A card that is damaged is none: the finding of a missing card says so.
    """
    if not name:
        return None
    bare = name.removesuffix(".json")
    lines = book.lines("leather")
    by_number = [line.id for line in lines if line.id in (name, bare)]
    by_title = [line.id for line in lines if line.title.strip() == name]
    for id in (*by_number, *by_title):
        card = _card(book, id)
        if card is not None:
            return card
    every = (_card(book, line.id) for line in lines)
    return next((card for card in every if card is not None and card.id and card.id in (name, bare)), None)


def _card(book: Book, id: str) -> LeatherCard | None:
    with suppress(StoreError, InputRefused):
        return loads(book.read(id).text)
    return None
