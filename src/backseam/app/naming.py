"""Names of files as they go out: cleaned, never trusted."""

from __future__ import annotations

import re
import unicodedata

LONGEST = 60
_RESERVED = re.compile(r"(?i)(con|prn|aux|nul|com[0-9]|lpt[0-9])(\..*)?")


def file_name(text: str, ending: str, otherwise: str = "job") -> str:
    """A text as a file's name that every system takes: plain letters, digits and hyphens, at most 60.

    >>> file_name('../Puukko "Älä" <b>', "pdf")
    'Puukko-Ala-b.pdf'
    """
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()
    short = re.sub(r"[^A-Za-z0-9]+", "-", plain).strip("-")[:LONGEST].strip("-")
    return f"{otherwise if not short or _RESERVED.fullmatch(short) else short}.{ending}"


def attachment(title: str, ending: str, *, inline: bool = False) -> dict[str, str]:
    """The header that makes a browser keep a file, under a clean name."""
    how = "inline" if inline else "attachment"
    return {"content-disposition": f'{how}; filename="{file_name(title, ending)}"'}
