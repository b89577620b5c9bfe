"""The form cut level at a height: wood, the leather round it to its trimmed flange, width and depth."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from backseam.form.fillet import neutral_path
from backseam.ground.speech import Speech
from backseam.ground.units import Mm
from backseam.papers.screen import Item, Picture, Text, line
from backseam.papers.sheets.work import Drawn

Array = NDArray[np.float64]

AWAY: Mm = 4.0  # dimension lines from the leather
END: Mm = 1.2  # half an end mark
SAID: Mm = 1.4  # words from their line
SMOOTH = 121  # points on half the leather


def section_view(work: Drawn, station: Mm, speech: Speech) -> Picture:
    """The section at a height on the axis, seam at the top, right half at the right as the front is looked at."""
    form, made = work.form, work.inputs.construction
    at = np.array([station])
    sections = form.sections(at)
    hull = sections.outline(0)
    wrap = form.wrap(at)
    path = neutral_path(sections, wrap)
    inner, way = (v[0] for v in path.at(np.linspace(0.0, 1.0, SMOOTH)))
    normal = np.stack([way[:, 1], -way[:, 0]], axis=-1)
    thick, neutral = float(wrap.thickness[0]), form.laid.neutral
    outer, flesh = inner + (1 - neutral) * thick * normal, inner - neutral * thick * normal
    tip = float(path.stitch[0]) + made.flange.trimmed
    right = np.concatenate([outer, [(thick, tip), (0.0, tip)]])
    whole = np.concatenate([right, (right * (-1, 1))[-2::-1]])
    items: list[Item] = [
        line(whole, "round", closed=True, body="leather"),
        line(np.concatenate([flesh, (flesh * (-1, 1))[::-1]]), "gap", closed=True),
        line(hull, "inside", closed=True),
        line(np.array([(0.0, float(path.stitch[0]) - thick), (0.0, tip)]), "fine"),
        line(np.concatenate([(inner * (-1, 1))[:0:-1], inner]), "neutral"),
    ]
    if thick > form.laid.thickness + 1e-6:
        fold = inner + (form.laid.flap - neutral * thick) * normal
        items.append(line(np.concatenate([(fold * (-1, 1))[:0:-1], fold]), "fine"))
    items += _sizes(hull, whole, speech)
    name = speech.say("views.title.section", at=form.as_read(station))
    return Picture("section", name, tuple(items), 3.0, "view section")


def _sizes(hull: Array, whole: Array, speech: Speech) -> Iterator[Item]:
    """Width below, depth at the left."""
    (left, low), (right, high) = hull.min(axis=0), hull.max(axis=0)
    y, x = float(whole[:, 1].min()) - AWAY, float(whole[:, 0].min()) - AWAY
    yield line(
        [np.array([(left, y), (right, y)]), *(np.array([(v, y - END), (v, y + END)]) for v in (left, right))],
        "dim",
    )
    yield line(
        [np.array([(x, low), (x, high)]), *(np.array([(x - END, v), (x + END, v)]) for v in (low, high))],
        "dim",
    )
    width, depth = (
        speech.say(f"views.section.{k}", v=float(v))
        for k, v in (("width", right - left), ("depth", high - low))
    )
    yield Text((float(left + right) / 2, y - AWAY - SAID), width, "dimsaid", "middle")
    yield Text((x - SAID, float(low + high) / 2), depth, "dimsaid", "middle", 90.0)
