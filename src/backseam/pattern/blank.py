"""The rough blank: one rectangle of leather for the upper, the measuring strap, the trial ring and an awl
scrap.

The tight way of the leather runs up the blank. Upper and ring keep that way; the strap may lie either way,
the scrap has none. The thong is cut on its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from backseam.geom.polyline import Line
from backseam.ground.findings import Finding, finding
from backseam.ground.sources import default
from backseam.ground.units import Mm
from backseam.leather.leather import Leather, Tight
from backseam.pattern.construction import Construction
from backseam.pattern.ring import TrialRing

VERSION = 1

Size = tuple[Mm, Mm]  # width, height

_SAME: Mm = 1e-6  # rounding, not a tolerance of the trade


@dataclass(frozen=True)
class BlankPart:
    """A rectangle laid on the blank; (x, y) is its lower left corner from the blank's."""

    name: str
    x: Mm
    y: Mm
    width: Mm
    height: Mm


@dataclass(frozen=True)
class Blank:
    """upper_width x upper_height: the piece's bounding rectangle plus margin, tight way upright;
    width x height: the whole blank with strap, ring and scrap beside or below it."""

    upper_width: Mm
    upper_height: Mm
    width: Mm
    height: Mm
    parts: tuple[BlankPart, ...]
    findings: tuple[Finding, ...]


def lay(
    cut: Line, ring: TrialRing, construction: Construction, leather: Leather, *, longest_girth: Mm
) -> Blank:
    """The blank to cut, and where everything lies on it.

    cut: (n, 2), outline of the upper, with the rough margin added all round. longest_girth: of the readings
    to be taken with the strap. If the construction names an offcut (across and along its tight way), an
    arrangement that fits it is taken if there is one; turned by a quarter only if it must be. Of all that
    set each part into a corner of those laid before, the one with the least area; of equal ones the squarest.
    """
    low, high = cut.min(axis=0), cut.max(axis=0)
    upper = BlankPart(
        "upper", 0.0, 0.0, *(float(side) + 2 * construction.rough_margin for side in high - low)
    )
    offcut = construction.offcut
    parts = _best((upper,), _small_parts(longest_girth, ring), offcut)
    width, height = _extent(parts)
    found = (
        *_offcut((upper.width, upper.height), (width, height), offcut),
        *_thickness(leather, construction.seam_inside_radius),
        *_tight(leather),
    )
    return Blank(upper.width, upper.height, width, height, parts, found)


def _small_parts(longest_girth: Mm, ring: TrialRing) -> tuple[tuple[str, tuple[Size, ...]], ...]:
    """What goes beside the upper: name and the ways it may lie, the largest first."""
    strap = longest_girth + default("blank.strap_beyond"), default("reading.strap_width")
    scrap = default("blank.scrap")
    return (
        ("ring", ((ring.width, ring.height),)),
        ("scrap", ((scrap, scrap),)),
        ("strap", (strap, strap[::-1])),
    )


def _best(
    laid: tuple[BlankPart, ...],
    rest: Sequence[tuple[str, tuple[Size, ...]]],
    offcut: Size | None,
    known: tuple[BlankPart, ...] = (),
) -> tuple[BlankPart, ...]:
    """The best way to set each part of `rest` in turn into a corner left by the ones laid before.

    A part only ever adds to the extent, so a layout that is already no better than the best `known` is left.
    """
    if known and _cost(laid, offcut) >= _cost(known, offcut):
        return known
    if not rest:
        return laid
    name, ways = rest[0]
    lefts = sorted({0.0, *(part.x + part.width for part in laid)})
    bottoms = sorted({0.0, *(part.y + part.height for part in laid)})
    for width, height in ways:
        for x in lefts:
            for y in bottoms:
                part = BlankPart(name, x, y, width, height)
                if not any(_overlap(part, other) for other in laid):
                    known = _best((*laid, part), rest[1:], offcut, known)
    return known


def _overlap(a: BlankPart, b: BlankPart) -> bool:
    return (
        a.x < b.x + b.width - _SAME
        and b.x < a.x + a.width - _SAME
        and a.y < b.y + b.height - _SAME
        and b.y < a.y + a.height - _SAME
    )


def _extent(parts: tuple[BlankPart, ...]) -> Size:
    return max(part.x + part.width for part in parts), max(part.y + part.height for part in parts)


def _cost(parts: tuple[BlankPart, ...], offcut: Size | None) -> tuple[int, Mm, Mm]:
    """How badly it goes on the offcut; area; how far from square. Smaller is better."""
    width, height = _extent(parts)
    badly = 0 if offcut is None else _how_it_fits((width, height), offcut)
    return badly, round(width * height, 3), width + height


def _how_it_fits(size: Size, offcut: Size) -> int:
    """0 as the offcut lies, 1 if it is turned by a quarter, 2 not at all."""
    for turns, room in enumerate((offcut, offcut[::-1])):
        if size[0] <= room[0] + _SAME and size[1] <= room[1] + _SAME:
            return turns
    return 2


def _offcut(upper: Size, blank: Size, offcut: Size | None) -> Iterator[Finding]:
    """Does it go on the piece of leather in hand, the tight way up?"""
    if offcut is None:
        return
    where = ("leather", "offcut_mm")
    shown = {"offcut_width": offcut[0], "offcut_height": offcut[1]}
    alone, whole = _how_it_fits(upper, offcut), _how_it_fits(blank, offcut)
    if alone == 2:
        yield finding("BLANK-001", where, **shown, width=upper[0], height=upper[1])
        return
    if whole == 2:
        yield finding("BLANK-002", where, **shown, width=blank[0], height=blank[1])
    if (alone if whole == 2 else whole) == 1:
        yield finding("BLANK-003", where, **shown, side=offcut[0])


def _thickness(leather: Leather, radius: Mm) -> Iterator[Finding]:
    """Is the leather one for an upper, and one for this seam?"""
    thickness, where = leather.thickness, ("leather", "thickness_mm")
    least, most = default("blank.thickness_least"), default("blank.thickness_most")
    if thickness < least - _SAME:
        yield finding("BLANK-004", where, thickness=thickness, limit=least)
    if thickness > most + _SAME:
        yield finding("BLANK-005", where, thickness=thickness, limit=most)
    seam = ("construction", "seam_inside_radius_mm")
    tight, wide = default("blank.radius_least") * thickness, default("blank.radius_most") * thickness
    usual = default("seam.inside_radius_share") * thickness
    shown = {"thickness": thickness, "radius": radius, "usual": usual}
    if radius < tight - _SAME:
        yield finding("BLANK-006", seam, **shown, limit=tight)
    if radius > wide + _SAME:
        yield finding("BLANK-007", seam, **shown, limit=wide)


def _tight(leather: Leather) -> Iterator[Finding]:
    """Does the tight way run up the sheath?"""
    if leather.tight is Tight.ACROSS:
        yield finding("BLANK-008", ("leather", "tight"))
    if leather.tight is Tight.UNKNOWN:
        yield finding("BLANK-009", ("leather", "tight"))
