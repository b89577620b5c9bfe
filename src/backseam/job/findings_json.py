"""Findings as plain values, the same for the command line's JSON and for the API."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from backseam.ground.findings import Finding
from backseam.ground.speech import PLAIN, Speech


def findings_told(findings: Iterable[Finding], speech: Speech = PLAIN) -> list[dict[str, Any]]:
    """Findings with their texts."""
    return [
        {
            "code": one.code,
            "severity": one.severity.value,
            "text": one.text(speech),
            "remedy": one.remedy(speech),
            "where": list(one.where),
            "numbers": {k: round(v, 4) if isinstance(v, float) else v for k, v in one.numbers.items()},
        }
        for one in findings
    ]
