"""A surface as a GLB file (glTF 2.0, binary), with a colour and a number at every vertex.

Millimetres become metres and z up becomes y up, as the format wants it. No library among those that the core may use
writes it, and the little that is needed is a header, a description and four arrays.
Source: gltf-2 (chunks, accessors, alignment, linear colours). Tested: read back by a reader that did not write it.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

_MAGIC, _VERSION, _JSON, _BIN = 0x46546C67, 2, 0x4E4F534A, 0x004E4942
_FLOAT, _UNSIGNED, _VERTICES, _INDICES = 5126, 5125, 34962, 34963
_METRE = 1000.0  # mm


@dataclass(frozen=True)
class Surface:
    """A named triangle mesh. points (n, 3) mm, z up; triangles (m, 3), counter-clockwise seen from outside.

    colours (n, 3): red, green, blue 0-1 as on a screen (sRGB). values: named numbers at the vertices (n,), carried
    along as `_NAME` for whoever wants to draw them otherwise. notes: said in the file, plain values only.
    """

    name: str
    points: Array
    triangles: NDArray[np.intp]
    colours: Array
    values: tuple[tuple[str, Array], ...] = ()
    notes: tuple[tuple[str, str | float], ...] = ()


@dataclass(frozen=True)
class Lines:
    """A named set of lines, each (n, 3) mm, z up, in one colour (red, green, blue 0-1 as on a screen). notes: said in
    the file, plain values only."""

    name: str
    lines: tuple[Array, ...]
    colour: tuple[float, float, float] = (0.0, 0.0, 0.0)
    notes: tuple[tuple[str, str | float], ...] = ()


def write(surfaces: Sequence[Surface | Lines], title: str) -> bytes:
    """The file's bytes: one node a surface or a set of lines. A set without lines keeps its node, as a point."""
    made = _File()
    meshes = [made.mesh(one) if isinstance(one, Surface) else made.drawn(one) for one in surfaces]
    document = {
        "asset": {"version": "2.0", "generator": "Backseam"},
        "scene": 0,
        "scenes": [{"name": title, "nodes": list(range(len(surfaces)))}],
        "nodes": [
            {"name": surface.name, "mesh": i, **({"extras": dict(surface.notes)} if surface.notes else {})}
            for i, surface in enumerate(surfaces)
        ],
        "meshes": meshes,
        "materials": [
            {
                "name": "leather",
                "doubleSided": True,
                "pbrMetallicRoughness": {"metallicFactor": 0.0, "roughnessFactor": 0.9},
            }
        ],
        "accessors": made.accessors,
        "bufferViews": made.views,
        "buffers": [{"byteLength": len(made.body)}],
    }
    text = json.dumps(document, separators=(",", ":"), allow_nan=False).encode()
    head = text + b" " * (-len(text) % 4)
    body = bytes(made.body)
    total = 12 + 8 + len(head) + 8 + len(body)
    return b"".join(
        [
            struct.pack("<III", _MAGIC, _VERSION, total),
            struct.pack("<II", len(head), _JSON) + head,
            struct.pack("<II", len(body), _BIN) + body,
        ]
    )


def linear(colours: ArrayLike) -> Array:
    """Colours as on a screen turned into amounts of light, as the format stores them.

        c / 12.92 for c <= 0.04045, else ((c + 0.055) / 1.055)^2.4

    Source: iec-61966-2-1 (sRGB). Tested: black, white, middle grey.

    >>> [round(float(x), 4) for x in linear([0.0, 0.5, 1.0])]
    [0.0, 0.214, 1.0]
    """
    c = np.asarray(colours, dtype=float)
    return np.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)


class _File:
    """The binary chunk as it grows, with what says where things are in it."""

    def __init__(self) -> None:
        self.body = bytearray()
        self.views: list[dict[str, int]] = []
        self.accessors: list[dict[str, object]] = []

    def mesh(self, surface: Surface) -> dict[str, object]:
        """One surface's arrays laid down, and its description."""
        points = surface.points[:, [0, 2, 1]] * (1, 1, -1) / _METRE
        attributes = {
            "POSITION": self.floats(points, bounds=True),
            "NORMAL": self.floats(_normals(points, surface.triangles)),
            "COLOR_0": self.floats(linear(np.clip(surface.colours, 0.0, 1.0))),
            **{f"_{name.upper()}": self.floats(value) for name, value in surface.values},
        }
        indices = self.lay(surface.triangles.astype("<u4"), _UNSIGNED, "SCALAR", _INDICES)
        part = {"attributes": attributes, "indices": indices, "material": 0, "mode": 4}
        return {"name": surface.name, "primitives": [part]}

    def drawn(self, lines: Lines) -> dict[str, object]:
        """All lines of a set as one primitive of single strokes, and its description."""
        parts = [line for line in lines.lines if len(line) > 1] or [np.zeros((2, 3))]
        points = np.concatenate(parts)[:, [0, 2, 1]] * (1, 1, -1) / _METRE
        starts = np.cumsum([0, *(len(part) for part in parts[:-1])])
        ends = [s + np.arange(len(part) - 1) for s, part in zip(starts, parts, strict=True)]
        first = np.concatenate(ends)
        strokes = np.stack([first, first + 1], axis=-1).ravel()
        attributes = {
            "POSITION": self.floats(points, bounds=True),
            "COLOR_0": self.floats(linear(np.tile(np.clip(lines.colour, 0.0, 1.0), (len(points), 1)))),
        }
        indices = self.lay(strokes.astype("<u4"), _UNSIGNED, "SCALAR", _INDICES)
        return {"name": lines.name, "primitives": [{"attributes": attributes, "indices": indices, "mode": 1}]}

    def floats(self, values: Array, *, bounds: bool = False) -> int:
        """An array of numbers or of triples, as 32-bit floats."""
        kind = "SCALAR" if values.ndim == 1 else "VEC3"
        return self.lay(np.asarray(values, dtype="<f4"), _FLOAT, kind, _VERTICES, bounds)

    def lay(
        self, values: NDArray[np.generic], component: int, kind: str, target: int, bounds: bool = False
    ) -> int:
        """Bytes, the view on them and the accessor of it; the accessor's number."""
        raw = values.tobytes()
        self.views.append(
            {"buffer": 0, "byteOffset": len(self.body), "byteLength": len(raw), "target": target}
        )
        self.body += raw
        count = values.size if kind == "SCALAR" else len(values)
        accessor: dict[str, object] = {
            "bufferView": len(self.views) - 1,
            "componentType": component,
            "count": count,
            "type": kind,
        }
        if bounds:
            accessor |= {"min": values.min(axis=0).tolist(), "max": values.max(axis=0).tolist()}
        self.accessors.append(accessor)
        return len(self.accessors) - 1


def _normals(points: Array, triangles: NDArray[np.intp]) -> Array:
    """Unit normals at the vertices: those of the triangles round them, by area."""
    a, b, c = (points[triangles[:, k]] for k in range(3))
    face = np.cross(b - a, c - a)
    normal = np.stack(
        [np.bincount(triangles.ravel(), np.repeat(face[:, k], 3), len(points)) for k in range(3)],
        axis=-1,
    )
    length = np.linalg.norm(normal, axis=1, keepdims=True)
    return np.where(length > 0, normal / np.where(length > 0, length, 1.0), (0.0, 1.0, 0.0))
