"""The moulding map and the solid: both pieces, both views, numbers beside each other, words that stand clear."""

from __future__ import annotations

import io
import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest
import shapely
import trimesh
from tests.jobs import sample

from backseam.fit.moulding import Compared, compare
from backseam.ground.speech import Speech
from backseam.job.recipe import Worked, work
from backseam.leather.material import material
from backseam.papers import svg
from backseam.papers.model import Drawing, Role, Stroke, Words, text_corners
from backseam.papers.sheets import moulding_solid
from backseam.papers.sheets.moulding_map import WIDE, moulding_map
from backseam.papers.sheets.moulding_solid import DARK, LEATHER, PALE, colours
from backseam.papers.sheets.moulding_views import IN_EVERY, _lines, contour_step, sheet


@pytest.fixture(scope="module", params=["barrel", "sideways", "slim"])
def made(request) -> tuple[Worked, Compared, Drawing]:
    worked = work(sample(request.param))
    leather = worked.inputs.leather
    both = compare(worked.form, worked.layout, worked.upper, leather, material("shoulder", leather.thickness))
    return worked, both, moulding_map(both, worked.form, worked.job.title, Speech())


def says(drawing: Drawing) -> list[str]:
    return [mark.text for mark in drawing.marks if isinstance(mark, Words)]


def test_it_fits_a_sheet_laid_across(made):
    _, _, drawing = made
    assert drawing.box.width <= WIDE + 2
    assert drawing.box.height < 190


def test_no_word_stands_on_another(made):
    _, _, drawing = made
    words = [mark for mark in drawing.marks if isinstance(mark, Words)]
    frames = [shapely.Polygon(text_corners(word)) for word in words]
    tree = shapely.STRtree(frames)
    for i, j in tree.query(frames, predicate="intersects").T:
        if i < j:
            assert frames[i].intersection(frames[j]).area < 0.6, f"{words[i].text!r} on {words[j].text!r}"


def test_it_shows_both_pieces_both_sides_and_their_numbers(made):
    _, both, drawing = made
    text = says(drawing)
    for name in ("Computed piece", "Hand piece", "Front", "Back", "In numbers", "computed", "hand"):
        assert name in text
    speech = Speech()
    for done in (both.computed, both.hand):
        assert any(t.startswith(speech.fill("{v:pct}", {"v": done.sums.most})) for t in text)
        assert speech.fill("{v:pct}", {"v": done.sums.p99}) in text


def test_pulled_is_drawn_full_and_gathered_dashed(made):
    _, both, _ = made
    shown = sheet(both.hand)
    step = contour_step((sheet(both.computed), shown))
    drawn = moulding_map(both, made[0].form, "", Speech())
    levels = [float(t) for t in says(drawn) if re.fullmatch(r"-?\d\.\d", t)]
    assert levels, "no contour is named"
    if (shown.least[:, shown.wall] < -step / IN_EVERY).any():
        assert any(isinstance(m, Stroke) and m.role is Role.HIDDEN for m in drawn.marks)
    assert all(abs(level / step - round(level / step)) < 1e-6 for level in levels)


def test_a_contour_lies_where_the_field_has_its_value(made):
    _, both, _ = made
    shown = sheet(both.computed)
    wall = shown.flat[:, shown.wall].reshape(-1, 2)
    field = shown.most[:, shown.wall].ravel()
    step = contour_step((shown,))
    for level, role, line in _lines(shown, shown.flat, step):
        if role is Role.LEADER:
            near = np.hypot(*(wall - line[len(line) // 2]).T).argsort()[:4]
            assert field[near].min() - 0.02 <= level / IN_EVERY <= field[near].max() + 0.02


def test_inches_speak_per_cent(made):
    worked, both, _ = made
    text = says(moulding_map(both, worked.form, worked.job.title, Speech("inch")))
    assert not any("20 mm" in t for t in text)
    assert any(t.endswith("%") for t in text)
    assert any('"' in t for t in text)


def test_it_is_written_as_svg_with_nothing_but_ink(made):
    _, _, drawing = made
    text = svg.write(drawing)
    root = ET.fromstring(text)
    colours = {e.get(a) for e in root.iter() for a in ("stroke", "fill")} - {None, "none"}
    assert colours <= {"#000000", "#ffffff"}
    assert "nan" not in text.lower()


def test_the_solid_is_darker_where_pulled_and_paler_where_it_gathers(made):
    _, both, _ = made
    solid = moulding_solid.solid(both.computed, "computed")
    light = solid.colours.sum(axis=1)
    stretch, squeeze = (dict(solid.values)[name] for name in ("stretch", "squeeze"))
    pulled = np.where(stretch >= -squeeze, stretch, squeeze)
    order = np.argsort(pulled)
    assert np.all(np.diff(light[order]) <= 1e-9)
    scene = trimesh.load(
        io.BytesIO(moulding_solid.write(both, "t", Speech())), file_type="glb", process=False
    )
    mesh = scene.geometry["computed piece, moulded"]
    tall = float(np.ptp(both.computed.field.space[..., 2])) / 1000
    assert np.ptp(mesh.vertices[:, 1]) == pytest.approx(tall, abs=1e-6)


def test_colours_by_hand():
    got = colours(np.array([0.0, 0.2, 0.0]), np.array([0.0, 0.0, -0.2])) * 255
    assert got == pytest.approx(np.array([LEATHER, DARK, PALE]), abs=1e-9)
