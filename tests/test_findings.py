"""Every finding has its record, is raised by a test, and speaks like a workmate."""

from __future__ import annotations

import re
import tomllib
from importlib.resources import files
from pathlib import Path

import pytest

HERE = Path(__file__).parent
BOOKS = sorted(
    files("backseam.ground").joinpath("words", "en", "findings").iterdir(), key=lambda book: book.name
)
RECORDS = {
    code: (book.name.removesuffix(".toml"), record)
    for book in BOOKS
    for code, record in tomllib.loads(book.read_text(encoding="utf-8")).items()
}
CODE = re.compile(r"\b[A-Z]{3,8}-\d{3}\b")


def raised_in_source() -> set[str]:
    src = HERE.parent / "src" / "backseam"
    return {code for path in src.rglob("*.py") for code in CODE.findall(path.read_text(encoding="utf-8"))}


@pytest.mark.parametrize("code", sorted(RECORDS))
def test_a_finding_is_complete_and_stands_in_the_book_of_its_family(code):
    book, record = RECORDS[code]
    assert code.split("-")[0].lower() == book
    assert set(record) == {"severity", "meaning", "text", "remedy"}
    assert record["severity"] in {"note", "check", "stop"}
    for part in ("meaning", "text", "remedy"):
        said = re.sub(r"\{[^}]*\}", "", record[part]).strip()
        assert said.endswith((".", "?", ")")), part
        assert not re.search(r"\b(please|oops|invalid|error)\b", said, re.IGNORECASE), part


def test_codes_raised_and_codes_written_down_are_the_same():
    raised = {
        code for code in raised_in_source() if code.split("-")[0].lower() in {b.name[:-5] for b in BOOKS}
    }
    assert raised - set(RECORDS) == set()
    assert set(RECORDS) - raised == set()


def test_each_is_raised_by_a_test():
    text = "\n".join(
        p.read_text(encoding="utf-8") for p in HERE.rglob("test_*.py") if p.name != Path(__file__).name
    )
    assert [code for code in sorted(RECORDS) if code not in text] == []
