"""A doubt about the work, as data: which check, how bad, what is so, what to do, where.

The texts stand in `words/<language>/findings/<family>.toml`, one record a code with severity, meaning, text and
remedy; `docs/findings.md` is made from them. A result carries its own findings; doors only show them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

from backseam.ground.speech import PLAIN, Speech, words

Path = tuple[str | int, ...]


class Severity(StrEnum):
    """How much a finding weighs."""

    STOP = "stop"  # the paper would be wrong: no full-scale sheet
    CHECK = "check"  # look before cutting
    NOTE = "note"  # good to know

    @property
    def rank(self) -> int:
        """0 for the gravest."""
        return list(Severity).index(self)


@dataclass(frozen=True)
class Finding:
    """One finding. `numbers` are the compared values (lengths in mm), `where` a path in the job document."""

    code: str
    severity: Severity
    where: Path = ()
    numbers: Mapping[str, Any] = field(default_factory=dict)

    def text(self, speech: Speech = PLAIN) -> str:
        """What is so."""
        return speech.fill(_record(self.code, speech.language)["text"], dict(self.numbers))

    def remedy(self, speech: Speech = PLAIN) -> str:
        """One thing to do about it."""
        return speech.fill(_record(self.code, speech.language)["remedy"], dict(self.numbers))


def finding(code: str, where: Path = (), /, **numbers: Any) -> Finding:
    """The finding `code`, with the values its text needs; its severity comes from the table."""
    return Finding(code, Severity(_record(code, PLAIN.language)["severity"]), where, numbers)


def ordered(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Gravest first, each once, otherwise in the order found."""
    seen: dict[tuple[str, Path, str], Finding] = {}
    for item in findings:
        seen.setdefault((item.code, item.where, item.text()), item)
    return tuple(sorted(seen.values(), key=lambda item: item.severity.rank))


def stops(findings: Iterable[Finding]) -> bool:
    """True if one of them makes the full-scale paper wrong."""
    return any(item.severity is Severity.STOP for item in findings)


def _record(code: str, language: str) -> dict[str, str]:
    family = code.split("-")[0].lower()
    record: dict[str, str] = words(language, f"findings/{family}")[code]
    return record
