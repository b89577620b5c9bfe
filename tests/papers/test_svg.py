"""SVG: what is in it, and what must never be."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from backseam.papers.letters import clean
from backseam.papers.model import Drawing, Ring, Role, Stroke, Words, segment
from backseam.papers.page import SHEETS, Page, tile
from backseam.papers.svg import write

HOSTILE = (
    "<script>alert(1)</script>",
    "]]> & \" ' < >",
    '" onload="alert(1)',
    "&lt;already&gt; &#x41;",
    "\x00\x08\x1b[31m red \x7f",
    "two  blanks and a\nnew line",
    "{braces} %s %(x)s $HOME `ls`",
)
SVG = "{http://www.w3.org/2000/svg}"


def _read(drawing: Drawing | Page) -> ElementTree.Element:
    return ElementTree.fromstring(write(drawing))


def test_a_page_is_as_large_as_its_sheet(pattern: Drawing) -> None:
    (page,) = tile(pattern, SHEETS["A4"], caption="")
    root = _read(page)
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("210mm", "297mm", "0 0 210 297")


def test_a_drawing_alone_has_5_mm_round_its_box() -> None:
    root = _read(Drawing("piece", (segment((-20, -10), (30, 60), Role.CUT),)))
    assert (root.get("width"), root.get("height")) == ("60mm", "80mm")
    (path,) = root.iter(f"{SVG}path")
    assert path.get("d") == "M5 75L55 5"


def test_only_presentation_attributes(pattern: Drawing) -> None:
    text = write(pattern)
    tags = {element.tag.removeprefix(SVG) for element in ElementTree.fromstring(text).iter()}
    assert tags == {"svg", "title", "g", "path", "circle", "text"}
    assert not re.search(r"<style|<script|\sstyle=|\sclass=|href|\son\w+=|url\(", text)


def test_black_only() -> None:
    text = write(Drawing("", tuple(segment((0, i), (9, i), role) for i, role in enumerate(Role))))
    greys = set(re.findall(r'(?:stroke|fill)="(#\w+)"', text))
    assert greys == {"#000000", "#cccccc"}  # the pale one is the preview mark


def test_filled_things_have_no_line_and_others_no_fill() -> None:
    marks = (
        Ring((0, 0), 2, Role.PUNCH, fill=1.0),
        Stroke(((0, 0), (1, 0), (1, 1)), Role.LEADER, True, fill=0.5),
        Ring((9, 9), 2, Role.PUNCH),
    )
    solid, tint, ring = [
        e for e in _read(Drawing("", marks)).iter() if e.tag in (f"{SVG}circle", f"{SVG}path")
    ]
    assert (solid.get("fill"), solid.get("stroke")) == ("#000000", "none")
    assert (tint.get("fill"), tint.get("stroke")) == ("#808080", "none")
    assert ring.get("fill") is None


@pytest.mark.parametrize("text", HOSTILE)
def test_typed_text_stays_text(text: str) -> None:
    root = _read(Drawing(text, (Words((0, 0), text, why=text), segment((0, 0), (1, 1), Role.CUT, why=text))))
    (words,) = root.iter(f"{SVG}text")
    assert words.text == clean(text)
    assert {title.text for title in root.iter(f"{SVG}title")} == {clean(text)}
    assert not list(root.iter(f"{SVG}script"))


@given(st.text())
def test_any_text_gives_a_file_that_can_be_read(text: str) -> None:
    (words,) = _read(Drawing(text, (Words((0, 0), text),))).iter(f"{SVG}text")
    assert (words.text or "") == clean(text)


def test_the_reason_of_a_line_is_its_title() -> None:
    root = _read(Drawing("", (segment((0, 0), (1, 1), Role.SLIT, why="hole 7"),)))
    assert [title.text for title in root.findall(f".//{SVG}path/{SVG}title")] == ["hole 7"]


def test_the_same_drawing_gives_the_same_text(pattern: Drawing) -> None:
    assert write(pattern) == write(pattern)
