"""Flattening against libigl's parameterisations (as-rigid-as-possible, SLIM), as reference libraries.

Source: libigl 2.6.3, Jacobson, Panozzo and others. They know no straight centre line, no mirror and no girth kept, so
only developable cases must agree; elsewhere ours must hold girth better and give two equal stitch lines.
"""

import numpy as np
import pytest
from tests.forms import barrel, cone, tube

from backseam.form.fillet import neutral_path
from backseam.form.form import Laid
from backseam.pattern.flatten import Law, flatten
from backseam.pattern.surface import grid_for, surface

igl = pytest.importorskip("igl")
THIN = Laid(thickness=1e-6, radius=1e-6, neutral=0.5, trimmed=1e-3)


def skin(form, rows=61, half=40):
    """The whole neutral layer, left stitch line to right, as a triangle mesh: vertices, faces, grid shape."""
    u = np.linspace(0, form.marks.mouth, rows)
    path = neutral_path(form.sections(u), form.wrap(u))
    points, _ = path.at(np.linspace(0, 1, half + 1))
    both = np.concatenate([points[:, ::-1] * (-1, 1), points[:, 1:]], axis=1)
    origin, a, b, _ = form.axis.frame(u)
    space = origin[:, None] + both[..., :1] * a[:, None] + both[..., 1:] * b[:, None]
    n, m = both.shape[:2]
    index = np.arange(n * m).reshape(n, m)
    p, q, r, s = (
        index[:-1, :-1].ravel(),
        index[:-1, 1:].ravel(),
        index[1:, :-1].ravel(),
        index[1:, 1:].ravel(),
    )
    faces = np.concatenate([np.stack([p, q, s], 1), np.stack([p, s, r], 1)]).astype(np.int64)
    flat = np.stack(
        [
            np.concatenate(
                [
                    -path.half[:, None] * np.linspace(1, 0, half + 1)[None, :-1],
                    path.half[:, None] * np.linspace(0, 1, half + 1)[None],
                ],
                axis=1,
            ),
            np.broadcast_to(u[:, None], (n, m)),
        ],
        axis=-1,
    )
    return space.reshape(-1, 3), faces, flat.reshape(-1, 2), (n, m), path


def arap(form):
    v, f, start, shape, path = skin(form)
    data = igl.ARAPData()
    data.max_iter = 100
    igl.arap_precomputation(
        v, f, 2, np.zeros(1, dtype=np.int32), data
    )  # one vertex held, so that it cannot drift
    uv = igl.arap_solve(start[:1].copy(), data, start.copy())
    return np.asarray(uv).reshape(*shape, 2), path


def slim(form):
    v, f, start, shape, path = skin(form)
    v, f, start = (np.asfortranarray(x) for x in (v, f.astype(np.int32), start))
    none = np.zeros(0, dtype=np.int32), np.asfortranarray(np.zeros((0, 2)))
    data = igl.slim_precompute(v, f, start, igl.MappingEnergyType.SYMMETRIC_DIRICHLET, *none, 0.0)
    uv = igl.slim_solve(data, 40)
    return np.asarray(uv).reshape(*shape, 2), path


def aligned(uv):
    """Turned and moved so that the middle column lies on x = 0 as well as it can, first point at the origin."""
    _n, m = uv.shape[:2]
    column = uv[:, m // 2]
    way = column[-1] - column[0]
    c, s = way[1] / np.hypot(*way), way[0] / np.hypot(*way)
    turned = (uv - column[0]) @ np.array([[c, s], [-s, c]])
    return turned if turned[0, -1, 0] > 0 else turned * (-1, 1)


def ours(form):
    return flatten(surface(form, grid_for(form)), Law.girth_kept())


@pytest.mark.parametrize("solve", [arap, slim])
@pytest.mark.parametrize("form", [tube(40, 100, THIN), cone(13, 18, 100, THIN)], ids=["cylinder", "cone"])
def test_developable_cases_agree(form, solve):
    uv, _ = solve(form)
    theirs = aligned(uv)
    done = ours(form)
    seam = done.nodes[:, done.grid.seam]
    right = theirs[:, -1]
    for row, u in enumerate(np.linspace(0, form.marks.mouth, len(right))):
        expect = np.array([np.interp(u, done.grid.u, seam[:, i]) for i in (0, 1)])
        assert right[row] == pytest.approx(expect, abs=0.1)


@pytest.mark.parametrize("solve", [arap, slim])
def test_where_theirs_loses_girth_ours_keeps_it(solve):
    form = barrel(necked=True)
    uv, path = solve(form)
    rows = np.hypot(*np.moveaxis(np.diff(uv, axis=1), -1, 0)).sum(axis=1)
    theirs = np.abs(2 * path.half / rows - 1).max()
    done = ours(form)
    mine = np.abs(done.girth).max()
    assert theirs > 0.01, "the reference keeps girth here too; choose a harder form"
    assert mine <= theirs / 2
