"""What stands on the page of a hide: what is known of it, every test on its card, the jobs cut from it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from markupsafe import Markup
from pydantic import BaseModel

from backseam.app.hides import named as card_of_job
from backseam.ground.errors import StoreError
from backseam.ground.speech import PLAIN, Speech
from backseam.job.fields import field_words
from backseam.job.learned import base_of
from backseam.job.learned_words import HIDDEN, SHARES, named
from backseam.job.leather_card import LeatherCard, loads
from backseam.job.leather_tests import LISTS, READ
from backseam.store.book import Book
from backseam.store.rows import Kept, Line

AS_THEY_ARE = ("friction", "water", "leather.neutral_layer")  # shares that nobody says in percent


def listed(book: Book, speech: Speech) -> Iterator[dict[str, Any]]:
    """Every hide of the book, with what it is and how much is known of it."""
    cut = _cut(book)
    for line in book.lines("leather"):
        try:
            card = loads(book.read(line.id).text)
        except StoreError:
            continue
        names = {line.id, card.id, card.title} - {""}
        counts = {
            "test": card.tests.count(),
            "sheath": len(card.sheaths),
            "job": sum(name.removesuffix(".json") in names for _, name in cut),
        }
        yield {
            "id": line.id,
            "title": line.title or line.id,
            "about": about(card, speech),
            "known": [
                speech.say(f"app.leather.count.{key}{'' if n == 1 else 's'}", count=n)
                for key, n in counts.items()
                if n
            ],
            "calibrated": card.calibrated,
        }


def about(card: LeatherCard, speech: Speech) -> str:
    """Its part, and how thick it is."""
    part = speech.say(f"app.leather.parts.{card.part}")
    several = card.thickness_mm
    if not several:
        return part
    return speech.say("way.thick", thickness=sum(several) / len(several), part=part)


def jobs(book: Book, kept: Kept, card: LeatherCard) -> tuple[list[Line], list[Line]]:
    """The jobs cut from this hide, and all others."""
    names = {kept.id, card.id, card.title} - {""}
    own: list[Line] = []
    others: list[Line] = []
    for line, name in _cut(book):
        (own if name.removesuffix(".json") in names else others).append(line)
    return own, others


def _cut(book: Book) -> list[tuple[Line, str]]:
    """Each job, and the hide it names."""
    found = []
    for line in book.lines("job"):
        try:
            name = card_of_job(json.loads(book.read(line.id).text))
        except StoreError:  # a damaged job keeps nobody from a hide
            name = ""
        found.append((line, name))
    return found


def known(card: LeatherCard, speech: Speech) -> Iterator[dict[str, Any]]:
    """What was learnt, each with its band and what the house believed."""
    house = base_of(card)
    for one in card.values:
        before = house.get(one.name)
        if one.name in HIDDEN:
            continue
        figure = _figure(one.name, one.unit)
        yield {
            "name": named(one.name, speech),
            "value": figure(one.value),
            "band": f"{figure(one.low)} … {figure(one.high)}",
            "house": figure(before.value) if before else "",
            "house_band": f"{figure(before.low)} … {figure(before.high)}" if before else "",
            "tests": ", ".join(one.tests),
            "bar": _bar(one.low, one.high, one.value, before) if before else "",
        }


def _figure(name: str, unit: str) -> Any:
    """How a value is written: shares of a length or girth in percent, friction and water as they are."""
    if unit in SHARES and not name.startswith(AS_THEY_ARE):
        return lambda value: PLAIN.fill("{v:pct}", {"v": value})
    said = "" if unit in SHARES else unit
    return lambda value: f"{value:.{2 if abs(value) < 10 else 0}f} {said}".strip()


def _bar(low: float, high: float, middle: float, house: Any) -> Markup:
    """The band now inside the band of the house, as a small drawing."""
    left, right = min(low, house.low), max(high, house.high)
    room = (right - left) or 1.0
    a, b = 100 * (low - left) / room, 100 * (high - left) / room
    at = 100 * (house.value - left) / room
    return Markup(
        '<svg class="band" viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">'
        '<rect class="track" width="100" height="10"/><rect class="span" x="{}" width="{}" height="10"/>'
        '<path class="house" d="M{} 0V10"/></svg>'
    ).format(f"{a:.1f}", f"{max(b - a, 1):.1f}", f"{at:.1f}")


def tests(card: LeatherCard, speech: Speech) -> Iterator[dict[str, Any]]:
    """Every test and sheath on the card: its name, what was read, whether it is left out of the sums."""
    for name, many in LISTS.items():
        for number, one in enumerate(getattr(card.tests, many), 1):
            kind = field_words(type(one))["about"][0]
            yield _row(f"{name} {number}", f"{kind[:1].upper()}{kind[1:]} {number}", one, _read(one, many))
    for number, sheath in enumerate(card.sheaths, 1):
        title = speech.say("app.leather.sheath", number=number)
        yield _row(f"sheath {number}", title, sheath, sheath.title)


def _row(name: str, title: str, one: Any, said: str) -> dict[str, Any]:
    return {"name": name, "title": title, "date": one.date, "said": said, "out": one.left_out}


def _read(one: Any, many: str) -> str:
    """What was read of a test, in short: as it was typed, or how many rows there are."""
    labels, told = field_words(type(one)), []
    for key in ("direction", "state", "side", *READ[many]):
        value = getattr(one, key, None)
        if value in (None, []):
            continue
        if key in ("direction", "state", "side"):
            told.append(str(value))
        elif isinstance(value, list) and isinstance(value[0], BaseModel):
            told.append(f"{labels[key][0]}: {len(value)}")
        else:
            told.append(f"{labels[key][0]} {one.typed.get(key) or _plain(value)}")
    return ", ".join(told)


def _plain(value: Any) -> str:
    return "; ".join(f"{one:g}" for one in value) if isinstance(value, list) else f"{value:g}"
