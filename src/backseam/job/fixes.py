"""Remedies that are a plain change of the document: which fields, to which values. Nothing is changed here.

Where a remedy is a matter for hand or eye there is no fix; the finding's own words say what to do.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, floor
from typing import Any, Literal

from pydantic import BaseModel

from backseam.ground.findings import Finding, Path, Severity
from backseam.ground.sources import values
from backseam.ground.speech import PLAIN, Speech, words
from backseam.job.accepted import datum_of, reason_for
from backseam.job.document import ConstructionPart, GirthReading, HangerPart, Job, Landmarks
from backseam.job.fields import field_words, sizes
from backseam.job.findings_json import findings_told
from backseam.job.recipe import Worked

Round = Literal["up", "down", "near"]
FINE = 100  # values are given to 0.01
TENTH = 10
_EXACT = 1e-9

# Findings whose place is the field and whose own numbers hold the value: which number, how it is rounded to 0.1.
_SET: dict[str, tuple[str, Round]] = {
    "HANGER-003": ("least", "up"),
    "HANGER-004": ("least", "up"),
    "HANGER-008": ("usual", "near"),
    "HANGER-009": ("least", "up"),
    "HANGER-010": ("least", "up"),
    "HANGER-011": ("usual", "near"),
    "HANGER-012": ("width", "near"),
    "HANGER-013": ("width", "near"),
    "SEAM-001": ("wider", "up"),
    "SEAM-002": ("least", "up"),
    "SEAM-003": ("usual", "near"),
    "SEAM-004": ("usual", "near"),
    "SEAM-005": ("wanted", "up"),
    "SEAM-006": ("wanted", "down"),
    "SEAM-007": ("limit", "up"),
    "SEAM-008": ("limit", "down"),
    "COLLAR-003": ("wanted", "up"),
    "COLLAR-004": ("wanted", "up"),
    "COLLAR-005": ("wanted", "down"),
    "COLLAR-006": ("least", "up"),
    "COLLAR-007": ("limit", "up"),
    "COLLAR-008": ("limit", "down"),
    "BLANK-006": ("usual", "near"),
    "BLANK-007": ("usual", "near"),
    "THREAD-004": ("least", "up"),
    "THREAD-005": ("least", "up"),
}
_LAST_HOLE: Path = ("construction", "last_hole_mm")
_EASED = ("SEAM-012", "SEAM-013", "SEAM-014")


@dataclass(frozen=True)
class Change:
    """One field and what it becomes."""

    path: Path
    value: float | int | str


@dataclass(frozen=True)
class Fix:
    """A button: its words, and what it changes."""

    label: str
    changes: tuple[Change, ...]

    def told(self) -> dict[str, Any]:
        """As the page takes it."""
        return {
            "label": self.label,
            "changes": [{"path": list(c.path), "value": c.value} for c in self.changes],
        }


def fix_for(worked: Worked, found: Finding, speech: Speech = PLAIN) -> Fix | None:
    """The change that clears a finding, if a change of the document does.

    Tested: each is applied to a job that has the finding, and the finding is gone.
    """
    change = _change(worked, found)
    if change is None:
        return None
    return Fix(_label(change, speech), (change,))


def finding_rows(worked: Worked, speech: Speech = PLAIN) -> list[dict[str, Any]]:
    """The job's findings with their texts, and the fix of each that has one."""
    return with_fixes(worked, worked.findings, speech)


def with_fixes(worked: Worked, findings: Iterable[Finding], speech: Speech = PLAIN) -> list[dict[str, Any]]:
    """Any findings of a job as plain values, each with its fix or None; a check with its datum, and why it was
    accepted."""
    every = tuple(findings)
    fixes = [fix_for(worked, one, speech) for one in every]
    rows = findings_told(every, speech)
    job = worked.job
    return [
        {
            **row,
            "fix": fix.told() if fix else None,
            "datum": datum_of(job, one) if one.severity is Severity.CHECK else "",
            "accepted": reason_for(job, job.accepted, one),
        }
        for one, row, fix in zip(every, rows, fixes, strict=True)
    ]


def changed(raw: dict[str, Any], fix: Fix) -> None:
    """A raw document with the fix put in, groups made as they are needed."""
    for change in fix.changes:
        at: Any = raw
        for step, after in zip(change.path, change.path[1:], strict=False):
            at = (
                at[step]
                if isinstance(step, int)
                else at.setdefault(step, [] if isinstance(after, int) else {})
            )
        last = change.path[-1]
        at[last] = change.value
        if isinstance(at, dict):
            at.get("typed", {}).pop(last, None)


def _change(worked: Worked, found: Finding) -> Change | None:
    code, where, numbers = found.code, found.where, found.numbers
    if code in _SET and where:
        key, way = _SET[code]
        return Change(where, _rounded(worked.job, where, float(numbers[key]), way))
    if code in _EASED:
        return Change(_LAST_HOLE, round(float(numbers["last"]) * FINE) / FINE)
    if code == "SEAM-016":
        usual, other = values()["holes.slant"], float(numbers["other"])
        return Change(where, round(other, 1)) if usual.low <= other <= usual.high else None
    if code in ("HANGER-001", "HANGER-002"):
        now = worked.inputs.construction.hanger.from_stitch
        return Change(where, _up(now + float(numbers["inward"])))
    if code in ("JOB-001", "JOB-002") and numbers.get("better"):
        return Change(where, str(numbers["better"]))
    if code == "READ-012":
        return Change((*where, "instrument"), "strap_butted")
    if code == "COLLAR-013":
        return Change(where, "bare")
    if code == "FORM-003" and worked.job.form.heights_from == "bottom_edge":
        return Change(where, round(worked.form.as_read(worked.form.marks.thickest), 1))
    return None


def _rounded(job: Job, where: Path, value: float, way: Round) -> float | int:
    part = _part(where)
    size = sizes(part).get(str(where[-1])) if part else None
    if size is not None and size.unit == "count":
        return ceil(value - _EXACT)
    match way:
        case "up":
            return _up(value)
        case "down":
            return floor(value * TENTH + _EXACT) / TENTH
    return round(value, 1)


def _up(value: float) -> float:
    return ceil(value * TENTH - _EXACT) / TENTH


def _part(path: Path) -> type[BaseModel] | None:
    """Which part of the document a path's last step is a field of."""
    match path:
        case ("construction", "hanger", _):
            return HangerPart
        case ("construction", _):
            return ConstructionPart
        case ("form", "girths", int(), _):
            return GirthReading
        case ("form", "landmarks", _):
            return Landmarks
    return None


def _label(change: Change, speech: Speech) -> str:
    part, name = _part(change.path), str(change.path[-1])
    label = field_words(part)[name][0] if part and name in field_words(part) else speech.say("views.fix.it")
    value = change.value
    if isinstance(value, str):
        known: dict[str, str] = words(speech.language, "job")["choice"]
        shown = known.get(value, value.replace("_", " ")).lower() if value.islower() else value
    else:
        size = sizes(part).get(name) if part else None
        unit = size.unit if size else ""
        if unit == "mm":
            shown = speech.length(value, 2 if round(value, 1) != value else 1)
        else:
            shown = f"{value:g}°" if unit == "degree" else f"{value:g}"
    return speech.say("views.fix.set", label=label, value=shown)
