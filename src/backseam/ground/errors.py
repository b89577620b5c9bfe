"""What can't go on, as exceptions.

    BackseamError
    ├── InputRefused (also ValueError)      a datum or a file that cannot be taken; says what and what to do
    │   └── DocumentTooNew                  a job file written by a newer Backseam
    ├── OutputRefused (also OSError)        a folder or file that cannot be written
    ├── NotConverged (also ArithmeticError) a solver that did not settle
    └── Stopped                             the person asked long work to stop

A doubt about the work is not here: it is a finding (`ground.findings`).
"""

from __future__ import annotations


class BackseamError(Exception):
    """Root of all errors that Backseam raises on purpose; the message is one sentence for a person."""


class InputRefused(BackseamError, ValueError):
    """A datum that cannot be taken. `where` is its path in the document or the row of the table."""

    def __init__(self, message: str, where: tuple[str | int, ...] = ()) -> None:
        super().__init__(message)
        self.where = where


class DocumentTooNew(InputRefused):
    """A job document whose version this program does not know yet."""


class OutputRefused(BackseamError, OSError):
    """A place that cannot be written to."""


class NotConverged(BackseamError, ArithmeticError):
    """A solver that did not settle; the message gives the residual."""


class Stopped(BackseamError):
    """Long work was asked to stop and did."""
