"""A sample job runs with files, sockets, clock and random taken away."""

from __future__ import annotations

import builtins
import json
import random
import socket
import time
from importlib.resources import files

import numpy as np
import pytest

from backseam.job.document import Job
from backseam.job.recipe import work


def sample(name: str = "barrel") -> Job:
    return Job.model_validate(
        json.loads(files("backseam.samples").joinpath(f"{name}.json").read_text(encoding="utf-8"))
    )


@pytest.fixture
def sealed(monkeypatch):
    work(sample())  # tables are read once, as package data

    def no(*_a, **_k):
        raise AssertionError("the core reached outside")

    monkeypatch.setattr(builtins, "open", no)
    monkeypatch.setattr(socket, "socket", no)
    for module, name in ((time, "time"), (time, "sleep"), (random, "random"), (np.random, "default_rng")):
        monkeypatch.setattr(module, name, no)


def test_work_needs_nothing_from_outside(sealed):
    assert work(sample()).seam.count > 10


def test_the_seal_holds(sealed):
    with pytest.raises(AssertionError, match="reached outside"):
        open("/dev/null")  # noqa: SIM115


def test_same_job_same_numbers():
    a, b = work(sample()), work(sample())
    assert np.array_equal(a.upper.cut, b.upper.cut)
    assert a.seam.right == b.seam.right
