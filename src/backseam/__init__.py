"""From the readings of one knife to the full-size pattern of its sheath, as pure functions.

    import backseam
    job = backseam.loads(text)              # a job document (JSON)
    worked = backseam.work(job)             # form, upper, seam, thread, findings: everything, frozen
    papers = backseam.write_all(worked)     # file name -> bytes
    reasons = backseam.why(job, "hole:12")  # which readings it came from, and how far each moves it

Lengths are millimetres. Names are loaded when first used, so that the import itself costs next to nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from backseam.ground.errors import (
        BackseamError,
        DocumentTooNew,
        InputRefused,
        NotConverged,
        OutputRefused,
        Stopped,
    )
    from backseam.ground.findings import Finding, Severity
    from backseam.ground.speech import Speech
    from backseam.job.document import Job
    from backseam.job.explain import Why, why
    from backseam.job.papers import write_all
    from backseam.job.recipe import Worked, work
    from backseam.job.schema import schema
    from backseam.job.text import dumps, loads
    from backseam.pattern.upper import Upper

__version__ = "0.1.0"

_HOME = {
    "BackseamError": "ground.errors",
    "DocumentTooNew": "ground.errors",
    "Finding": "ground.findings",
    "InputRefused": "ground.errors",
    "Job": "job.document",
    "NotConverged": "ground.errors",
    "OutputRefused": "ground.errors",
    "Severity": "ground.findings",
    "Speech": "ground.speech",
    "Stopped": "ground.errors",
    "Upper": "pattern.upper",
    "Why": "job.explain",
    "Worked": "job.recipe",
    "dumps": "job.text",
    "loads": "job.text",
    "schema": "job.schema",
    "why": "job.explain",
    "work": "job.recipe",
    "write_all": "job.papers",
}

__all__ = [
    "BackseamError",
    "DocumentTooNew",
    "Finding",
    "InputRefused",
    "Job",
    "NotConverged",
    "OutputRefused",
    "Severity",
    "Speech",
    "Stopped",
    "Upper",
    "Why",
    "Worked",
    "__version__",
    "dumps",
    "loads",
    "schema",
    "why",
    "work",
    "write_all",
]


def __getattr__(name: str) -> Any:
    if name in _HOME:
        return getattr(import_module(f"backseam.{_HOME[name]}"), name)
    raise AttributeError(f"backseam has no {name}")


def __dir__() -> list[str]:
    return __all__
