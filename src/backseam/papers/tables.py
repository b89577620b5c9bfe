"""Tables as CSV, for a spreadsheet: what a person typed stays text there and is never reckoned or run.

UTF-8 with its mark, so that every spreadsheet reads accents right; a comma between cells, a point in numbers.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence

from backseam.papers.letters import clean

Cell = str | float | int | None
MARK = "\ufeff"
# A cell that begins so is taken for a formula; and so is what follows a separator, where the other one is in use.
FORMULA = re.compile(r"(^|[;,|])([\s'\"]*)(?=[=+\-@＝＋－＠])")


def typed(text: str) -> str:
    """What a person typed, as a cell that no spreadsheet takes for a formula: an apostrophe stands before it.

    >>> typed("=1+2"), typed("- 3"), typed("mouth; =A1"), typed("top, 2-ply"), typed("a\\tb")
    ("'=1+2", "'- 3", "mouth; '=A1", 'top, 2-ply', 'a b')
    """
    return FORMULA.sub(r"\1\2'", clean(text))


def write(head: Sequence[str], rows: Iterable[Sequence[Cell]]) -> bytes:
    """The table: its headings, then its rows. Text is quoted and harmless, numbers are bare."""
    out = io.StringIO(newline="")
    out.write(MARK)
    table = csv.writer(out, quoting=csv.QUOTE_NONNUMERIC, lineterminator="\r\n")
    table.writerow(head)
    for row in rows:
        table.writerow([typed(cell) if isinstance(cell, str) else cell for cell in row])
    return out.getvalue().encode()
