"""Letters on paper: which face prints which letter, how wide a line of text is, what no face can print.

Two faces are shipped: the house face, and a wide one for the letters and signs the house face lacks, set
smaller so that its capitals are as high. A letter in neither becomes a visible box and is reported. Widths
come from the fonts' own tables (OpenType `cmap`, `hmtx`), without loading a writing library.
"""

from __future__ import annotations

import struct
import unicodedata
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files
from itertools import groupby

from backseam.ground.units import Mm, Share

BOX = "\u25a1"  # stands for a letter that no face has
NO_LETTER = "\ufffd"  # stands for what is no letter at all
FACES = {
    False: ("AtkinsonHyperlegibleNext-Regular", "DejaVuSans"),
    True: ("AtkinsonHyperlegibleNext-Bold", "DejaVuSans-Bold"),
}
FAMILIES = "'Atkinson Hyperlegible Next', 'DejaVu Sans', sans-serif"
_WINDOWS_UNICODE = ((3, 10), (3, 1), (0, 4), (0, 3))  # platform and encoding of the character maps we read
_BLANKS = frozenset("\t\n\v\f\r\x1c\x1d\x1e\x85\u2028\u2029")


@dataclass(frozen=True)
class Face:
    """One font file: glyph advances as shares of the type size, by letter; cap: height of its capitals."""

    name: str
    advances: dict[str, Share]
    cap: Share


@dataclass(frozen=True)
class Run:
    """A stretch of text in one face. scale: of the type size, so that all capitals are as high."""

    face: str
    text: str
    scale: Share
    width: Share


@cache
def face(name: str) -> Face:
    """The shipped face `name`, read once."""
    blob = font_bytes(name)
    tables = _tables(blob)
    per_em = struct.unpack_from(">H", blob, tables["head"] + 18)[0]
    long_metrics = struct.unpack_from(">H", blob, tables["hhea"] + 34)[0]
    widths = struct.unpack_from(">" + "Hh" * long_metrics, blob, tables["hmtx"])[::2]
    letters = _letters(blob, tables["cmap"])
    advances = {letter: widths[min(glyph, long_metrics - 1)] / per_em for letter, glyph in letters.items()}
    return Face(name, advances, _cap_height(blob, tables) / per_em)


def font_bytes(name: str) -> bytes:
    """The font file `name` as shipped in the package."""
    return files("backseam.papers").joinpath("fonts", f"{name}.ttf").read_bytes()


@lru_cache(maxsize=4096)
def clean(text: str) -> str:
    """The text as it can stand on one line of any paper.

    Line ends and tabs become blanks; control characters and direction overrides go; halves of surrogate pairs
    and code points that are no characters become the replacement sign; loose accents join their letter.

    >>> clean("Kniv\\n\\x00nr. 3\\u202e")
    'Kniv nr. 3'
    >>> clean("c\\u030c")
    'č'
    """
    if text.isascii() and text.isprintable():
        return text
    return unicodedata.normalize("NFC", "".join(_printable(c) for c in text))


@lru_cache(maxsize=4096)
def runs(text: str, bold: bool = False) -> tuple[Run, ...]:
    """The cleaned text cut into stretches of one face each, letters that no face has as boxes."""
    first, second = FACES[bold]
    house = face(first)
    out = []
    for at_home, letters in groupby(clean(text), house.advances.__contains__):
        line = "".join(letters)
        if at_home:
            out.append(Run(first, line, 1.0, sum(house.advances[c] for c in line)))
        else:
            wide = face(second)
            line = "".join(c if c in wide.advances else BOX for c in line)
            scale = house.cap / wide.cap
            out.append(Run(second, line, scale, scale * sum(wide.advances[c] for c in line)))
    return tuple(out)


def text_width(text: str, size: Mm, bold: bool = False) -> Mm:
    """Width in mm of one line of text set at `size` mm (kerning is not used).

    A digit of the house face is 0.632 of the size wide:

    >>> round(text_width("150", 3.0), 3)               # 3 digits x 0.632 x 3 mm
    5.688
    """
    return size * sum(run.width for run in runs(text, bold))


def cap_height(size: Mm, bold: bool = False) -> Mm:
    """Height in mm of a capital set at `size` mm."""
    return size * face(FACES[bold][0]).cap


def missing(text: str, bold: bool = False) -> str:
    """The letters of the text that no shipped face can print, each once, in order."""
    house, wide = FACES[bold]
    lacking = [c for c in dict.fromkeys(clean(text)) if c not in face(house).advances]
    return "".join(c for c in lacking if c not in face(wide).advances)


def _printable(letter: str) -> str:
    if letter in _BLANKS:
        return " "
    match unicodedata.category(letter):
        case "Cc" | "Cf":
            return ""
        case "Cs" | "Cn":
            return NO_LETTER
    return letter


def _tables(blob: bytes) -> dict[str, int]:
    """Where each table of the font begins."""
    count = struct.unpack_from(">H", blob, 4)[0]
    records = [struct.unpack_from(">4sLLL", blob, 12 + 16 * i) for i in range(count)]
    return {tag.decode("ascii"): offset for tag, _, offset, _ in records}


def _cap_height(blob: bytes, tables: dict[str, int]) -> int:
    """Height of the capitals in font units, from `OS/2`, or in older fonts that of the H in `glyf`."""
    os2 = tables["OS/2"]
    if struct.unpack_from(">H", blob, os2)[0] >= 2:
        cap: int = struct.unpack_from(">h", blob, os2 + 88)[0]
        return cap
    glyph = _letters(blob, tables["cmap"])["H"]
    long_offsets = struct.unpack_from(">h", blob, tables["head"] + 50)[0]
    kind, step, factor = (">L", 4, 1) if long_offsets else (">H", 2, 2)
    start = factor * struct.unpack_from(kind, blob, tables["loca"] + step * glyph)[0]
    top: int = struct.unpack_from(">hhhhh", blob, tables["glyf"] + start)[4]
    return top


def _letters(blob: bytes, cmap: int) -> dict[str, int]:
    """Letter to glyph number, from the widest character map of the font."""
    count = struct.unpack_from(">H", blob, cmap + 2)[0]
    maps = {}
    for i in range(count):
        platform, encoding, offset = struct.unpack_from(">HHL", blob, cmap + 4 + 8 * i)
        maps[platform, encoding] = cmap + offset
    at = next(maps[key] for key in _WINDOWS_UNICODE if key in maps)
    return _map_12(blob, at) if struct.unpack_from(">H", blob, at)[0] == 12 else _map_4(blob, at)


def _map_12(blob: bytes, at: int) -> dict[str, int]:
    """Character map of format 12: groups of first, last, first glyph."""
    count = struct.unpack_from(">L", blob, at + 12)[0]
    out = {}
    for i in range(count):
        first, last, glyph = struct.unpack_from(">LLL", blob, at + 16 + 12 * i)
        out.update({chr(code): glyph + code - first for code in range(first, last + 1)})
    return out


def _map_4(blob: bytes, at: int) -> dict[str, int]:
    """Character map of format 4: segments with a shift, or with a list of glyphs."""
    half = struct.unpack_from(">H", blob, at + 6)[0] // 2
    ends, starts, shifts, offsets = (
        struct.unpack_from(f">{half}H", blob, at + 14 + 2 * k * half + (2 if k else 0)) for k in range(4)
    )
    base = at + 16 + 6 * half
    out = {}
    for i, (start, end) in enumerate(zip(starts, ends, strict=True)):
        for code in range(start, min(end, 0xFFFE) + 1):
            glyph = code
            if offsets[i]:
                place = base + 2 * i + offsets[i] + 2 * (code - start)
                glyph = struct.unpack_from(">H", blob, place)[0]
            if glyph or not offsets[i]:
                glyph = (glyph + shifts[i]) & 0xFFFF
            if glyph:
                out[chr(code)] = glyph
    return out
