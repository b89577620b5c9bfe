"""One worked sheath, and small changes to it."""

from __future__ import annotations

from dataclasses import replace
from functools import reduce
from importlib.resources import files

import pytest

from backseam.job.document import Job
from backseam.job.recipe import Worked, work


def changed(worked, **values):
    """The same result with other decisions: `changed(w, construction__collar__kind=CollarKind.PLAIN)`."""

    def put(thing, path, value):
        name, *rest = path
        return replace(thing, **{name: put(getattr(thing, name), rest, value) if rest else value})

    return reduce(lambda now, item: put(now, item[0].split("__"), item[1]), values.items(), worked)


@pytest.fixture(scope="session")
def barrel() -> Worked:
    """The shipped sample, worked."""
    text = files("backseam.samples").joinpath("barrel.json").read_text(encoding="utf-8")
    return work(Job.model_validate_json(text))


@pytest.fixture(scope="session")
def change():
    """The function that changes one decision of a worked job."""
    return changed
