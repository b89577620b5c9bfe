"""A damaged book comes back through the command line, into a new file."""

from __future__ import annotations

import pytest

from backseam.cli.main import main
from backseam.store.book import Book


def test_a_damaged_book_is_salvaged_into_a_new_file(tmp_path, capsys):
    old, fresh = tmp_path / "book.sqlite", tmp_path / "mended.sqlite"
    with Book.open(old) as made:
        for number in range(30):
            made.add("job", '{"n": "' + "x" * 3000 + '"}', title=f"job {number}")
    raw = old.read_bytes()
    cut = raw[: int(0.7 * len(raw))]
    old.write_bytes(cut)
    with pytest.raises(SystemExit) as left:
        main(["app", "--book", str(old), "--salvage", str(fresh)])
    assert left.value.code in (0, 1)
    assert "came back" in capsys.readouterr().out
    assert old.read_bytes() == cut
    with Book.open(fresh) as book:
        assert len(book.lines()) > 10
