"""What the sheets of one job are made from."""

from __future__ import annotations

from typing import Protocol

from backseam.form.form import Form
from backseam.ground.findings import Finding
from backseam.making.steps import Sheath
from backseam.papers.sheets.title_block import Heading
from backseam.pattern.draft import Layout


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


class Drawn(Work, Protocol):
    """A worked job with its form and its flat map, for drawings on the screen."""

    @property
    def form(self) -> Form:
        """The solid that the leather is moulded on."""
        ...

    @property
    def layout(self) -> Layout:
        """From the form to the flat piece."""
        ...
