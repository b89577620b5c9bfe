"""A drawing as DXF (R2010, mm, one layer for each role of line), for a cutter or a drawing program.

Header, tables, line types and layers come from `skeleton.dxf`, made once by ezdxf
(`tests/papers/dxf_skeleton.py`); here the drawing's own marks are put in, so that nothing has to be loaded
and the same drawing gives the same bytes. Filled areas become solid hatches, white grounds are left out, text
stays text.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from importlib.resources import files
from itertools import count

from backseam.ground.units import Mm, Share
from backseam.papers.letters import cap_height, clean
from backseam.papers.model import Drawing, Mark, Point, Ring, Role, Stroke, Words
from backseam.papers.styles import Style

STYLE = "BACKSEAM"  # of text
_ALIGNED = {"start": 0, "middle": 1, "end": 2}
_CLOSED, _DASHES_RUN_ON = 1, 128
_ENTITIES = "  2\nENTITIES\n"

Tag = tuple[int, str | int | float]


def write(drawing: Drawing) -> bytes:
    """The DXF file of a drawing, in its own mm, rounded to 0.001."""
    head, space, tail = _skeleton()
    handles = count(_first_free(head))
    tags = [tag for mark in drawing.marks for tag in _entity(mark, f"{next(handles):X}", space)]
    box = drawing.box
    head = _header(head, "$EXTMIN", box.left, box.bottom)
    head = _header(head, "$EXTMAX", box.right, box.top)
    head = re.sub(r"(\$HANDSEED\n  5\n)\w+", rf"\g<1>{next(handles):X}", head)
    return (head + "".join(f"{code:>3}\n{_value(value)}\n" for code, value in tags) + tail).encode("utf-8")


def layer(role: Role) -> str:
    """Name of the layer of one role."""
    return role.value.upper()


def line_type(style: Style) -> str:
    """Name of the line type of one style, by its number in ISO 128."""
    return f"ISO128-{style.number}" if style.dashes else "Continuous"


def escaped(text: str) -> str:
    """Text as it can stand in a DXF file and be read back as typed.

    A caret is written with a blank, as the format asks. Two signs would begin a command of a drawing program,
    `%%d` a degree sign, `\\U+` a letter by its number; no way of writing them is read alike by all readers,
    so a blank is put between.

    >>> escaped("5^2"), escaped("100 %%d"), escaped("\\\\U+0041")
    ('5^ 2', '100 % %d', '\\\\ U+0041')
    """
    text = clean(text).replace("^", "^ ")
    text = re.sub(r"%(?=%)", "% ", text)
    return re.sub(r"\\(?=[UuMm]\+)", r"\\ ", text)


@cache
def _skeleton() -> tuple[str, str, str]:
    """The file up to its drawing, the handle of the space drawn in, and the file after it."""
    text = files("backseam.papers").joinpath("skeleton.dxf").read_text(encoding="utf-8")
    cut = text.index(_ENTITIES) + len(_ENTITIES)
    found = re.search(r"BLOCK_RECORD\n  5\n(\w+)\n(?:(?!BLOCK_RECORD\n  5).)*?\*Model_Space", text, re.DOTALL)
    if found is None:
        raise AssertionError("skeleton.dxf has no model space")
    return text[:cut], found[1], text[cut:]


def _first_free(head: str) -> int:
    """The next handle that no table has taken."""
    return int(head.split("$HANDSEED\n  5\n")[1].split("\n", 1)[0], 16)


def _header(head: str, name: str, x: Mm, y: Mm) -> str:
    """The header with one of its points set."""
    pattern = rf"(\{name}\n 10\n)\S+(\n 20\n)\S+(\n 30\n)\S+"
    return re.sub(pattern, rf"\g<1>{_value(x)}\g<2>{_value(y)}\g<3>0.0", head)


def _value(value: str | float) -> str:
    if isinstance(value, float):
        text = f"{value:.3f}".rstrip("0")
        return "0.0" if text in ("0.", "-0.") else text + ("0" if text.endswith(".") else "")
    return str(value)


def _entity(mark: Mark, handle: str, space: str) -> Iterator[Tag]:
    """One mark, with what all entities begin with."""
    match mark:
        case Stroke() | Ring() if mark.fill is not None:
            if mark.fill > 0:
                yield from _begin("HATCH", mark.role, handle, space)
                yield from _hatch(_outline(mark), mark.fill)
        case Stroke():
            yield from _begin("LWPOLYLINE", mark.role, handle, space)
            flags = _DASHES_RUN_ON + (_CLOSED if mark.closed else 0)
            yield from ((100, "AcDbPolyline"), (90, len(mark.points)), (70, flags), (43, 0.0))
            for x, y in mark.points:
                yield from ((10, float(x)), (20, float(y)))
        case Ring():
            yield from _begin("CIRCLE", mark.role, handle, space)
            yield from ((100, "AcDbCircle"), *_point(10, mark.centre), (40, float(mark.radius)))
        case Words():
            yield from _begin("TEXT", mark.role, handle, space)
            yield from _text(mark)


def _begin(kind: str, role: Role, handle: str, space: str) -> Iterator[Tag]:
    yield from ((0, kind), (5, handle), (330, space), (100, "AcDbEntity"), (8, layer(role)))


def _point(code: int, at: Point) -> tuple[Tag, Tag, Tag]:
    return (code, float(at[0])), (code + 10, float(at[1])), (code + 20, 0.0)


def _text(mark: Words) -> Iterator[Tag]:
    """One line of text; its height is that of the capitals, its place the anchor on the base line."""
    yield from ((100, "AcDbText"), *_point(10, mark.at), (40, cap_height(mark.size, mark.bold)))
    yield from ((1, escaped(mark.text)), (50, float(mark.angle)), (7, STYLE), (72, _ALIGNED[mark.anchor]))
    if mark.anchor != "start":
        yield from _point(11, mark.at)
    yield (100, "AcDbText")


def _outline(mark: Stroke | Ring) -> list[tuple[Mm, Mm, float]]:
    """Corners with the bulge of the side that follows: 0 straight, 1 a half circle."""
    if isinstance(mark, Stroke):
        return [(x, y, 0.0) for x, y in mark.points]
    (x, y), r = mark.centre, mark.radius
    return [(x - r, y, 1.0), (x + r, y, 1.0)]


def _hatch(outline: list[tuple[Mm, Mm, float]], ink: Share) -> Iterator[Tag]:
    """A solid area; a tint as a grey."""
    level = round(255 * (1 - ink))
    if level:
        yield (420, level * 0x010101)
    yield from ((100, "AcDbHatch"), *_point(10, (0.0, 0.0)), *((210, 0.0), (220, 0.0), (230, 1.0)))
    yield from ((2, "SOLID"), (70, 1), (71, 0), (91, 1), (92, 3), (72, 1), (73, 1), (93, len(outline)))
    for x, y, bulge in outline:
        yield from ((10, float(x)), (20, float(y)), (42, bulge))
    yield from ((97, 0), (75, 1), (76, 1), (98, 0))
