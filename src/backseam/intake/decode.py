"""Bytes of a stranger's table into text: which encoding, and is it text at all."""

from __future__ import annotations

import codecs

from backseam.ground.errors import InputRefused
from backseam.ground.speech import PLAIN

LARGEST_TABLE = 5_000_000  # bytes
_BINARY = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"%PDF", b"{\\rtf", b"\x89PNG", b"\xff\xd8\xff", b"\x1f\x8b")


def text_of(data: bytes) -> str:
    """The text of a table: UTF-8 or UTF-16 with or without a mark, else Windows-1252 as spreadsheets write.

    Raises `InputRefused` for spreadsheets, pictures and anything else that is no text.
    """
    if len(data) > LARGEST_TABLE:
        raise InputRefused(_say("too_big", size=f"{len(data) / 1e6:.1f}", limit=LARGEST_TABLE // 1_000_000))
    if data.startswith(_BINARY):
        raise InputRefused(_say("spreadsheet"))
    text = _decoded(data)
    if text is None or any(ord(char) < 32 and char not in "\t\n\r\f\v" for char in text):
        raise InputRefused(_say("not_text"))
    return text


def _decoded(data: bytes) -> str | None:
    for encoding in _encodings(data):
        try:
            return data.decode(encoding).removeprefix("\ufeff")
        except UnicodeDecodeError:
            continue
    return None


def _encodings(data: bytes) -> tuple[str, ...]:
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return ("utf-16",)
    if data.startswith(codecs.BOM_UTF8):
        return ("utf-8-sig",)
    if data[1:2] == b"\0" and data[:1] != b"\0":
        return ("utf-16-le",)
    if data[:1] == b"\0" and data[1:2] != b"\0":
        return ("utf-16-be",)
    return ("utf-8", "cp1252")


def _say(key: str, /, **values: object) -> str:
    return PLAIN.say(f"refusals.csv.{key}", **values)
