"""What can't go on, as exceptions.

    BackseamError
    ├── InputRefused (also ValueError)      a datum or a file that cannot be taken; says what and what to do
    │   ├── InDoubt                         could mean two things: a person chooses, the program never guesses
    │   ├── SeveralRefused                  many of them at once, each with its place
    │   └── DocumentTooNew                  a job file written by a newer Backseam
    ├── OutputRefused (also OSError)        a folder or file that cannot be written
    ├── NotConverged (also ArithmeticError) a solver that did not settle
    ├── StoreError                          the job book cannot do what was asked
    │   ├── BookDamaged                     what lies in the file is not what was written; salvage goes to a new file
    │   │   └── NotABook                    no job book at all, or one without its first page
    │   ├── BookFull (also OSError)         no room: what was kept is kept, this save is not
    │   ├── BookBusy                        another program holds the book longer than a person waits
    │   ├── BookReadOnly (also OSError)     a folder or file that cannot be written, or a newer Backseam's book
    │   ├── BookGone (also OSError)         the file or its folder is no longer where it was
    │   ├── BookHeld                        another Backseam has this book open: go to that one
    │   ├── SavedElsewhere                  saved from another page since this one was opened; carries theirs
    │   ├── NotThere (also LookupError)     no document of that name, or one that was removed
    │   └── DocumentDamaged                 one document that is not what was written; the others are well
    └── Stopped                             the person asked long work to stop

A doubt about the work is not here: it is a finding (`ground.findings`).
"""

from __future__ import annotations

from typing import Any


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


class StoreError(BackseamError):
    """The job book cannot do what was asked. `code` is its name in an answer to a program."""

    code = "store"


class BookDamaged(StoreError):
    """The file is not what was written. It is left as it is; `seen` says what was noticed."""

    code = "book_damaged"

    def __init__(self, message: str, seen: tuple[str, ...] = ()) -> None:
        super().__init__(message)
        self.seen = seen


class NotABook(BookDamaged):
    """A file that is no job book, or whose first page is gone."""

    code = "not_a_book"


class BookFull(StoreError, OSError):
    """No room for this save; nothing kept before is lost, and the next save goes through after room is made."""

    code = "book_full"


class BookBusy(StoreError):
    """Another program holds the book."""

    code = "book_busy"


class BookReadOnly(StoreError, OSError):
    """The book can be read and not written."""

    code = "book_read_only"


class BookGone(StoreError, OSError):
    """The file or its folder is not there any more."""

    code = "book_gone"


class BookHeld(StoreError):
    """Another running Backseam has the book; `holder` says which (process, port)."""

    code = "book_held"

    def __init__(self, message: str, holder: Any = None) -> None:
        super().__init__(message)
        self.holder = holder


class SavedElsewhere(StoreError):
    """The document was saved from elsewhere since; `theirs` is what lies in the book now. Nothing was written."""

    code = "saved_elsewhere"

    def __init__(self, message: str, theirs: Any) -> None:
        super().__init__(message)
        self.theirs = theirs


class NotThere(StoreError, LookupError):
    """No such document; `removed_at` is set if it was removed and can be brought back."""

    code = "not_there"

    def __init__(self, message: str, removed_at: str = "") -> None:
        super().__init__(message)
        self.removed_at = removed_at


class DocumentDamaged(StoreError):
    """One document is not what was written; `id` and `revision` name it."""

    code = "document_damaged"

    def __init__(self, message: str, id: str, revision: int) -> None:
        super().__init__(message)
        self.id = id
        self.revision = revision
