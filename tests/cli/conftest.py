"""The command line in this process: arguments in, exit code and both streams out."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
from tests.jobs import raw

from backseam.cli.main import run


@dataclass
class Said:
    """What one call came to."""

    code: int
    out: str
    beside: str


@pytest.fixture
def call(capsys: pytest.CaptureFixture[str]) -> Callable[..., Said]:
    def called(*arguments: object) -> Said:
        code = run([str(one) for one in arguments])
        out, beside = capsys.readouterr()
        return Said(code, out, beside)

    return called


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "knife.json"
    path.write_text(json.dumps(raw()), encoding="utf-8")
    return path


@pytest.fixture
def stopped(tmp_path: Path) -> Path:
    """A job with a stop finding: one girth noted in inches."""
    document = raw()
    document["form"]["girths"][0]["reading_mm"] = 60.0
    path = tmp_path / "stopped.json"
    path.write_text(json.dumps(document), encoding="utf-8")
    return path
