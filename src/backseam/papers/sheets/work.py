"""What the sheets of one job are made from."""

from __future__ import annotations

from typing import Protocol

from backseam.ground.findings import Finding
from backseam.making.steps import Sheath
from backseam.papers.sheets.title_block import Heading


class Work(Sheath, Protocol):
    """A worked job, as far as its sheets need it."""

    @property
    def job(self) -> Heading:
        """The document's heading."""
        ...

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All findings, gravest first."""
        ...
