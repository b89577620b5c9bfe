"""What the page draws of a worked job: its pictures, the places on them that are touched, a small one for a list."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from backseam.ground.speech import Speech
from backseam.job.places import Place, places_of
from backseam.job.recipe import Worked
from backseam.papers import screen
from backseam.papers.screen import Group, Picture, moved
from backseam.papers.sheets import sheath, stretch_view
from backseam.papers.sheets.piece_view import piece_view
from backseam.papers.sheets.sheath import Side, View

Array = NDArray[np.float64]
SIDES: tuple[Side, ...] = ("front", "back")
APART = 4.0  # mm between the two small pictures


def drawings(worked: Worked, views: Sequence[str], speech: Speech) -> dict[str, str]:
    """SVG by name, of front, back and piece as far as asked for; with "stretch" the contours lie on each."""
    return shown(worked, views, speech)[0]


def places(worked: Worked, speech: Speech) -> list[dict[str, Any]]:
    """The places that are touched, as the page takes them."""
    return [one.told() for one in places_of(worked, sides(worked), speech)]


def shown(
    worked: Worked, views: Sequence[str], speech: Speech
) -> tuple[dict[str, str], list[dict[str, Any]]]:
    """Drawings and places at once: the sheath is put together only once."""
    both = sides(worked)
    found: tuple[Place, ...] = places_of(worked, both, speech)
    lines = stretch_view.stretch_lines(worked.form, worked.layout) if "stretch" in views else ()
    made: dict[str, str] = {
        side: screen.write(_side(worked, both[side], lines, speech)) for side in SIDES if side in views
    }
    if "piece" in views:
        over = (stretch_view.drawn(lines, _on_piece(worked), speech),) if lines else ()
        made["piece"] = screen.write(piece_view(worked, speech, _title(worked, "piece", speech), over=over))
    return made, [one.told() for one in found]


def sides(worked: Worked) -> dict[Side, View]:
    """Both sides of the sheath, with what was measured of the knife."""
    knife = worked.job.knife
    return sheath.views(worked, knife.blade_length_mm, knife.handle_length_mm)


def thumbnail(worked: Worked, speech: Speech, damp: bool = False) -> str:
    """Front and back side by side, small."""
    both = sides(worked)
    front, back = (tuple(both[side].items()) for side in SIDES)
    left, right = (
        Picture(side, "", items, 0.0).box for side, items in zip(SIDES, (front, back), strict=True)
    )
    look = "sheath damp" if damp else "sheath"
    group = Group(look, (*front, *moved(back, left.right - right.left + APART)))
    return screen.write(Picture("small", _title(worked, "small", speech), (group,), 1.0, "view small"))


def _side(worked: Worked, seen: View, lines: tuple[stretch_view.Contour, ...], speech: Speech) -> Picture:
    over = (stretch_view.drawn(lines, _on_sheath(seen), speech),) if lines else ()
    return sheath.picture(seen, _title(worked, seen.side, speech), over=over)


def _on_piece(worked: Worked) -> stretch_view.Placed:
    def place(u: Array, share: Array) -> tuple[Array, Array]:
        return worked.layout.place(u, share), np.ones(len(u))

    return place


def _on_sheath(seen: View) -> stretch_view.Placed:
    def place(u: Array, share: Array) -> tuple[Array, Array]:
        points, normals = seen.sheath.at(u, share)
        return seen.camera.seen(points), np.asarray(normals @ seen.camera.towards)

    return place


def _title(worked: Worked, name: str, speech: Speech) -> str:
    title = worked.job.title or speech.say("views.title.untitled")
    return speech.say(f"views.title.{name}", title=title, count=worked.seam.count)
