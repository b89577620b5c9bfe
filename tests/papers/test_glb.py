"""GLB: read back by a reader that did not write it, and byte by byte where the format says what must be."""

from __future__ import annotations

import io
import json
import struct

import numpy as np
import pytest
import trimesh

from backseam.papers.glb import Lines, Surface, linear, write

TENT = Surface(
    name="tent",
    points=np.array(
        [[0.0, 0.0, 0.0], [100.0, 0.0, 0.0], [100.0, 50.0, 0.0], [0.0, 50.0, 0.0], [50.0, 25.0, 30.0]]
    ),
    triangles=np.array([[0, 1, 4], [1, 2, 4], [2, 3, 4], [3, 0, 4]]),
    colours=np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [0.5, 0.5, 0.5], [1.0, 1.0, 1.0]]),
    values=(("stretch", np.array([0.0, 0.01, 0.02, 0.03, -0.04])),),
    notes=(("largest_stretch", 0.03),),
)


def chunks(raw: bytes) -> tuple[dict, bytes]:
    """The description and the binary chunk, by the layout of the format's specification, section on GLB."""
    magic, version, total = struct.unpack_from("<III", raw)
    assert (magic, version, total) == (0x46546C67, 2, len(raw))
    size, kind = struct.unpack_from("<II", raw, 12)
    assert kind == 0x4E4F534A
    assert size % 4 == 0
    body, kind = struct.unpack_from("<II", raw, 20 + size)
    assert kind == 0x004E4942
    assert body % 4 == 0
    assert 28 + size + body == total
    return json.loads(raw[20 : 20 + size]), raw[28 + size :]


def test_a_reader_finds_every_point_in_metres_with_y_up():
    scene = trimesh.load(io.BytesIO(write([TENT], "two")), file_type="glb", process=False)
    mesh = scene.geometry["tent"]
    # z up in mm becomes y up in m: (x, y, z) -> (x, z, -y) / 1000
    expect = TENT.points[:, [0, 2, 1]] * (1, 1, -1) / 1000
    assert mesh.vertices == pytest.approx(expect, abs=1e-7)
    assert np.array_equal(mesh.faces, TENT.triangles)
    assert mesh.vertex_attributes["_STRETCH"].ravel() == pytest.approx(TENT.values[0][1], abs=1e-7)
    assert mesh.is_winding_consistent


def test_the_outside_stays_the_outside():
    # The tent's peak points up (z before, y after): the normal of every face has a part that way.
    mesh = trimesh.load(io.BytesIO(write([TENT], "t")), file_type="glb", process=False).geometry["tent"]
    assert np.all(mesh.face_normals[:, 1] > 0)


def test_bounds_lengths_and_colours_are_as_the_format_wants_them():
    document, body = chunks(write([TENT, TENT], "twice"))
    assert document["buffers"][0]["byteLength"] == len(body)
    assert len(document["nodes"]) == len(document["meshes"]) == 2
    for accessor in document["accessors"]:
        view = document["bufferViews"][accessor["bufferView"]]
        each = {"SCALAR": 4, "VEC3": 12}[accessor["type"]]
        assert view["byteOffset"] % 4 == 0
        assert view["byteLength"] == accessor["count"] * each
        assert view["byteOffset"] + view["byteLength"] <= len(body)
    part = document["meshes"][0]["primitives"][0]
    position = document["accessors"][part["attributes"]["POSITION"]]
    assert position["max"] == pytest.approx([0.1, 0.03, 0.0], abs=1e-7)
    colour = document["bufferViews"][document["accessors"][part["attributes"]["COLOR_0"]]["bufferView"]]
    stored = np.frombuffer(body, "<f4", 15, colour["byteOffset"]).reshape(5, 3)
    assert stored == pytest.approx(linear(TENT.colours), abs=1e-6)
    normal = document["bufferViews"][document["accessors"][part["attributes"]["NORMAL"]]["bufferView"]]
    assert np.linalg.norm(
        np.frombuffer(body, "<f4", 15, normal["byteOffset"]).reshape(5, 3), axis=1
    ) == pytest.approx(np.ones(5), abs=1e-6)
    assert document["nodes"][0]["extras"] == {"largest_stretch": 0.03}


def test_linear_light_of_a_screens_grey():
    # Source: iec-61966-2-1; 0.5 is 0.21404, the straight part ends at 0.04045 / 12.92 = 0.0031308
    assert linear([0.04045, 0.5, 1.0]) == pytest.approx([0.0031308, 0.2140411, 1.0], abs=1e-6)
    assert linear(0.0404501) == pytest.approx(linear(0.0404499), abs=1e-6)


def test_the_same_surface_gives_the_same_bytes():
    assert write([TENT], "t") == write([TENT], "t")


def test_lines_are_single_strokes_end_to_end_and_an_empty_set_keeps_its_node():
    paths = (
        np.array([[0.0, 0.0, 0.0], [10.0, 0.0, 0.0], [10.0, 0.0, 5.0]]),
        np.array([[1.0, 2.0, 3.0], [4.0, 5.0, 6.0]]),
    )
    told, body = chunks(write([Lines("seam", paths), Lines("none", ())], "two"))
    assert [node["name"] for node in told["nodes"]] == ["seam", "none"]
    part = told["meshes"][0]["primitives"][0]
    assert part["mode"] == 1  # by the format: 1 is LINES
    view = told["bufferViews"][told["accessors"][part["indices"]]["bufferView"]]
    at = np.frombuffer(body, "<u4", view["byteLength"] // 4, view["byteOffset"])
    assert at.tolist() == [0, 1, 1, 2, 3, 4]
    scene = trimesh.load(io.BytesIO(write([TENT, Lines("seam", paths)], "two")), file_type="glb")
    assert len(scene.geometry) == 2
