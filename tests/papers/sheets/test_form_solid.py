"""The solid to turn: five nodes, read back by a reader that did not write it; sizes are the form's."""

from __future__ import annotations

import io
import json
import struct

import numpy as np
import pytest
import trimesh
from tests.jobs import SAMPLES, sample, tube

from backseam.ground.speech import Speech
from backseam.job.recipe import work
from backseam.papers.sheets.form_solid import form_solid


def told(body: bytes) -> dict[str, list[dict[str, object]]]:
    (length,) = struct.unpack("<I", body[12:16])
    made: dict[str, list[dict[str, object]]] = json.loads(body[20 : 20 + length])
    return made


@pytest.mark.parametrize("name", SAMPLES)
def test_every_sample_has_all_nodes_and_stays_light(name: str) -> None:
    body = form_solid(work(sample(name)), Speech())
    found = told(body)
    assert [node["name"] for node in found["nodes"]] == ["form", "upper", "seam", "stations", "contours"]
    modes = [mesh["primitives"][0]["mode"] for mesh in found["meshes"]]  # type: ignore[index]
    assert modes == [4, 4, 1, 1, 1]  # triangles, triangles, single strokes
    scene = trimesh.load(io.BytesIO(body), file_type="glb")
    faces = sum(len(one.faces) for one in scene.geometry.values() if hasattr(one, "faces"))
    assert 2_000 < faces < 30_000


def test_a_tube_has_its_size_in_metres_mouth_up() -> None:
    scene = trimesh.load(io.BytesIO(form_solid(work(tube(40.0, 100.0)), Speech())), file_type="glb")
    upper = scene.geometry["upper"]
    assert upper.bounds[1][1] == pytest.approx(0.100, abs=1e-4)
    assert upper.bounds[0][0] == pytest.approx(-0.022, abs=5e-5)  # 20 and leather of 2
    form = scene.geometry["form"]
    inside = form.vertices[(form.vertices[:, 1] > 0.02) & (form.vertices[:, 1] < 0.08)]
    assert np.hypot(inside[:, 0], inside[:, 2]) == pytest.approx(0.020, abs=5e-5)


def test_the_wall_faces_outward() -> None:
    scene = trimesh.load(
        io.BytesIO(form_solid(work(tube(40.0, 100.0)), Speech())), file_type="glb", process=False
    )
    upper = scene.geometry["upper"]
    centre = upper.triangles.mean(axis=1)
    outward = (upper.face_normals[:, [0, 2]] * centre[:, [0, 2]]).sum(axis=1)
    front = centre[:, 2] > 0.005  # the front looks towards the eye
    assert (outward[front] > 0).mean() > 0.99
