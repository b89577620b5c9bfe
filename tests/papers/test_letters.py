"""Faces, widths, cleaning. Widths are checked against fontTools, a reader of fonts we did not write."""

from __future__ import annotations

import unicodedata
from io import BytesIO

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from backseam.papers import letters

FACES = [name for pair in letters.FACES.values() for name in pair]


@pytest.mark.parametrize("name", FACES)
def test_advances_are_those_fonttools_reads(name: str) -> None:
    font = TTFont(BytesIO(letters.font_bytes(name)))
    per_em = font["head"].unitsPerEm
    read = {chr(code): font["hmtx"][glyph][0] / per_em for code, glyph in font.getBestCmap().items()}
    assert letters.face(name).advances == pytest.approx(read)


@pytest.mark.parametrize("name", FACES)
def test_capitals_are_as_high_as_the_h_is_drawn(name: str) -> None:
    font = TTFont(BytesIO(letters.font_bytes(name)))
    drawn = font["glyf"][font.getBestCmap()[ord("H")]].yMax / font["head"].unitsPerEm
    assert letters.face(name).cap == pytest.approx(drawn, abs=0.002)


@pytest.mark.parametrize("bold", [False, True])
def test_digits_are_of_equal_width(bold: bool) -> None:
    assert len({letters.text_width(digit, 1.0, bold) for digit in "0123456789"}) == 1


@pytest.mark.parametrize("bold", [False, True])
def test_letters_of_names_and_signs_of_the_trade_print(bold: bool) -> None:
    latin = "abcčćçďéèêęěğíîłľńňñóőøœōřšśșťțúůűýžźżßåäöüÅÄÖÜÆØþðđ"
    assert letters.missing(latin + "≤≥±×°−–—·…½¼¾⅛⅜⅝⅞²³→←↑↓″′№€", bold) == ""
    assert letters.missing("Грінченко Ελληνικά", bold) == ""


def test_house_face_alone_carries_the_usual_names() -> None:
    for text in ("Žižka & Łoś, Göteborg", "š ž ł å ö ≤ ± × °"):
        assert [run.face for run in letters.runs(text)] == [letters.FACES[False][0]]


def test_what_no_face_has_becomes_a_box_as_wide_as_it_is_printed() -> None:
    text = "刀 A"
    assert letters.missing(text) == "刀"
    first, second = letters.runs(text)
    assert (first.text, second.text) == (letters.BOX, " A")
    assert letters.text_width(text, 10) == pytest.approx(10 * (first.width + second.width))


def test_the_wide_face_is_set_as_high_as_the_house_face() -> None:
    (run,) = letters.runs("→")
    wide, house = letters.face(run.face), letters.face(letters.FACES[False][0])
    assert run.scale * wide.cap == pytest.approx(house.cap)


def test_clean_takes_out_what_is_no_text() -> None:
    assert letters.clean("a\x00b\x1b\x7f\x9bc") == "abc"
    assert letters.clean("one\r\ntwo\tthree\u2028four") == "one  two three four"
    assert letters.clean("\u202eevil\u2066\ufeff") == "evil"
    assert letters.clean("\ud800\ufffe") == 2 * letters.NO_LETTER


@given(st.text())
def test_clean_text_can_stand_anywhere_and_stays_clean(text: str) -> None:
    cleaned = letters.clean(text)
    assert letters.clean(cleaned) == cleaned
    assert not any(unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp") for c in cleaned)
    cleaned.encode("utf-8")


@given(st.text(max_size=40), st.booleans())
def test_width_is_that_of_the_runs_and_grows_with_the_size(text: str, bold: bool) -> None:
    width = letters.text_width(text, 1.0, bold)
    assert width >= 0
    assert letters.text_width(text, 3.0, bold) == pytest.approx(3 * width)
    assert sum(len(run.text) for run in letters.runs(text, bold)) == len(letters.clean(text))
