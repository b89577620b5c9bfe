"""Tables for a spreadsheet: what was typed is never a formula there, numbers stay numbers."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from backseam.papers import tables

SIGNS = "=+-@＝＋－＠"


def read(made):
    return list(csv.reader(io.StringIO(made.decode("utf-8-sig"), newline="")))


@pytest.mark.parametrize("sign", SIGNS)
@pytest.mark.parametrize("before", ["", " ", "\t", "\r", "\n", "\r\n", '"', " \x00", "top;", "top, ", "top|"])
def test_no_cell_begins_a_formula(before, sign):
    cell = tables.typed(f"{before}{sign}cmd|' /C calc'!A0")
    for separator in ",;\t|":
        for part in cell.split(separator):
            assert part.strip().strip('"').lstrip()[:1] not in tuple(SIGNS)


def test_a_name_stays_what_it_is():
    for name in ("mouth", "two-ply", "1,5 mm under the lip", "a = b", "Åsa's", "5 + 3"):
        assert tables.typed(name) == name


def test_numbers_are_bare_and_text_is_quoted():
    made = tables.write(("name", "at_mm"), [("a, b", -1.5), (None, 2)])
    assert made == b'\xef\xbb\xbf"name","at_mm"\r\n"a, b",-1.5\r\n"",2\r\n'
    assert read(made)[1] == ["a, b", "-1.5"]


@given(st.lists(st.text(), min_size=1, max_size=4))
def test_each_row_stays_one_row(texts):
    made = tables.write(tuple("abcd"[: len(texts)]), [texts, texts])
    rows = read(made)
    assert len(rows) == 3
    assert rows[1] == rows[2] == [tables.typed(text) for text in texts]
    assert made.count(b"\r\n") == 3
