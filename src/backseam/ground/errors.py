"""What can't go on, as exceptions.

    BackseamError
    ├── InputRefused (also ValueError)      a datum or a file that cannot be taken; says what and what to do
    │   ├── InDoubt                         could mean two things: a person chooses, the program never guesses
    │   ├── SeveralRefused                  many of them at once, each with its place
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


class InDoubt(InputRefused):
    """A datum with more than one meaning, or with one that is likely and not what was typed.

    choices: texts to type instead, each with one meaning, the likeliest first. likely: True if the first is a
    proposal that a person may take unseen (`--yes`); False where only the person who wrote it can know.
    """

    def __init__(
        self,
        message: str,
        choices: tuple[str, ...] = (),
        where: tuple[str | int, ...] = (),
        *,
        likely: bool = False,
    ) -> None:
        super().__init__(message, where)
        self.choices = choices
        self.likely = likely


class SeveralRefused(InputRefused):
    """More than one datum that cannot be taken, in `each`, in order; the message has a line for each."""

    def __init__(self, each: tuple[InputRefused, ...]) -> None:
        super().__init__("\n".join(str(one) for one in each), each[0].where if each else ())
        self.each = each


class DocumentTooNew(InputRefused):
    """A job document whose version this program does not know yet."""


class OutputRefused(BackseamError, OSError):
    """A place that cannot be written to."""


class NotConverged(BackseamError, ArithmeticError):
    """A solver that did not settle; the message gives the residual."""


class Stopped(BackseamError):
    """Long work was asked to stop and did."""
