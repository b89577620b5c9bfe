"""Jobs for tests: the shipped samples, and small documents to change."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any

from backseam.job.document import Job

SAMPLES = ("barrel", "bent-inside", "sideways", "slim", "stout", "tube")


def raw(name: str = "barrel") -> dict[str, Any]:
    """A shipped sample as a plain dictionary."""
    made: dict[str, Any] = json.loads(
        files("backseam.samples").joinpath(f"{name}.json").read_text(encoding="utf-8")
    )
    return made


def sample(name: str = "barrel", **fields: Any) -> Job:
    """A shipped sample, fields set by path with `__` for the dot: construction__pitch_mm=3.5."""
    document = raw(name)
    for path, value in fields.items():
        at = document
        *way, last = path.split("__")
        for key in way:
            at = at.setdefault(key, {})
        at[last] = value
    return Job.model_validate(document)


def tube(diameter: float = 40.0, height: float = 100.0, **fields: Any) -> Job:
    """A straight round tube read by thread, plain mouth, no hanger, no film."""
    read = diameter * 3.141592653589793 + 0.4 * 3.141592653589793
    document: dict[str, Any] = {
        "form": {
            "girths": [
                {"station_mm": s, "reading_mm": read, "instrument": "thread", "instrument_mm": 0.4}
                for s in (0, height)
            ],
            "sections": "round",
            "landmarks": {
                "thickest_mm": height - 5,
                "mouth_mm": height,
                "junction_mm": height / 2,
                "grooves": [],
            },
            "heights_along": "axis",
        },
        "leather": {"thickness_mm": 2.0},
        "construction": {
            "collar": "plain",
            "film_mm": 0,
            "seam_inside_radius_mm": 1.0,
            "hanger": {"kind": "none"},
        },
    }
    for path, value in fields.items():
        part, _, key = path.partition("__")
        document[part][key] = value
    return Job.model_validate(document)
