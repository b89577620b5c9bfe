"""Worked samples and their forecasts, once a session."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from importlib.resources import files

import pytest

from backseam.fit.forecast import forecast
from backseam.fit.hold import Fit
from backseam.fit.tested import Measured
from backseam.job.document import Job
from backseam.job.recipe import Worked, work
from backseam.leather.material import Material, material

SAMPLES = ("barrel", "bent-inside", "sideways", "slim", "stout", "tube")


@cache
def worked(name: str = "barrel", **changes: object) -> Worked:
    """A shipped sample, worked; changes: paths with __ for the dot."""
    text = files("backseam.samples").joinpath(f"{name}.json").read_text(encoding="utf-8")
    document = json.loads(text)
    for path, value in changes.items():
        part = document
        *parents, last = path.split("__")
        for key in parents:
            part = part[key]
        part[last] = value
    return work(Job.model_validate(document))


def parts(sheath: Worked, leather: Material | None = None) -> tuple[object, ...]:
    """What a forecast takes."""
    given = sheath.inputs
    own = leather or material(given.leather.part, given.leather.thickness)
    return sheath.form, sheath.layout, given.leather, given.construction, own


def foreseen(sheath: Worked, **more: object) -> Fit:
    """Its forecast."""
    return forecast(*parts(sheath), **more)  # type: ignore[arg-type]


def with_marks(sheath: Worked, **marks: object) -> Worked:
    """The same sheath with landmarks moved after the fact."""
    moved = replace(sheath.form.marks, **marks)  # type: ignore[arg-type]
    return replace(sheath, form=replace(sheath.form, marks=moved))


@pytest.fixture(scope="session")
def barrel() -> Worked:
    return worked("barrel")


@pytest.fixture(scope="session")
def fit(barrel) -> Fit:
    return foreseen(barrel, seed=3)


@pytest.fixture(scope="session")
def calibrated(barrel) -> Fit:
    return foreseen(barrel, seed=3, tested=Measured(finished_girth=94.2, pull=30.0))
