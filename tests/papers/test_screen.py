"""Drawings for the screen: strict XML, classes only, what was typed stays text, heights are heights."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from backseam.papers.screen import Group, Line, Picture, Spot, Text, line, moved, thinned, write

NASTY = (
    "<script>alert(1)</script>",
    '"><svg onload=x>',
    "a & b ]]> c",
    "tab\tand\nline",
    "\u202etfel",
    "\x00null",
)


def read(picture: Picture) -> ElementTree.Element:
    return ElementTree.fromstring(write(picture))


def one(*items: object) -> Picture:
    return Picture("one", "A title", tuple(items), 1.0, "view one")  # type: ignore[arg-type]


def test_heights_run_upward_and_the_view_is_in_millimetres() -> None:
    root = read(one(Line((np.array([(0.0, 0.0), (10.0, 40.0)]),), "cut")))
    assert root.get("viewBox") == "-1 -41 12 42"
    assert root[1].get("d") == "M0 0L10 -40"


def test_every_kind_of_item_is_written() -> None:
    items = (
        Spot((1.0, 2.0), (3.0, 3.0), "hang"),
        Spot((1.0, 2.0), (3.0, 1.0), "bore"),
        Group("ghost", (Text((0.0, 5.0), "five", "num", "middle", 90.0),)),
    )
    tags = [child.tag.split("}")[1] for child in read(one(*items)).iter()]
    assert tags == ["svg", "title", "circle", "ellipse", "g", "text"]


@pytest.mark.parametrize("text", NASTY)
def test_typed_text_stays_text(text: str) -> None:
    picture = Picture("one", text, (Text((0, 0), text, "num", data={"why": text}),))
    root = read(picture)
    assert [child.tag.split("}")[1] for child in root.iter()] == ["svg", "title", "text"]
    assert not any(name.startswith("on") for child in root.iter() for name in child.attrib)


@given(st.text(max_size=60))
def test_any_text_makes_strict_xml(text: str) -> None:
    read(Picture("one", text, (Text((0, 0), text, "num", data={"why": text}),)))


def test_nothing_carries_a_style_or_an_event() -> None:
    text = write(one(line(np.array([(0.0, 0.0), (1.0, 1.0)]), "hide", closed=True, why="hole:1")))
    assert not re.search(r"\b(style|on\w+|href)=", text)
    assert 'data-why="hole:1"' in text


@pytest.mark.parametrize("look", ["", "a;b", 'a"b', "A", "9a"])
def test_a_class_is_plain_words(look: str) -> None:
    with pytest.raises(ValueError, match="classes"):
        write(one(Spot((0, 0), (1, 1), look)))


def test_a_data_name_is_plain_words() -> None:
    with pytest.raises(ValueError, match="no name"):
        write(one(Spot((0, 0), (1, 1), "hang", {"on click=": "x"})))


def test_thinning_moves_nothing_by_more_than_it_may() -> None:
    t = np.linspace(0.0, 2 * np.pi, 400)
    circle = np.stack([20 * np.cos(t), 20 * np.sin(t)], axis=-1)
    (thin,) = thinned([circle])
    assert len(thin) < 100
    # closed form: a chord between two points of a circle is nowhere further from it than its sagitta
    middle = (thin[1:] + thin[:-1]) / 2
    assert np.abs(np.hypot(*middle.T) - 20).max() <= 0.031  # and the sagitta of the 400 corners themselves


def test_moving_moves_every_item_in_every_group() -> None:
    items = (Spot((1, 1), (1, 1), "a"), Group("b", (line(np.array([(0.0, 0.0), (1.0, 0.0)]), "c"),)))
    spot, group = moved(items, 5.0, 2.0)
    assert isinstance(spot, Spot)
    assert spot.at == (6.0, 3.0)
    assert isinstance(group, Group)
    assert isinstance(group.items[0], Line)
    assert group.items[0].parts[0].tolist() == [[5.0, 2.0], [6.0, 2.0]]


def test_an_empty_picture_has_an_empty_view() -> None:
    assert read(Picture("none", "none", ())).get("viewBox") == "0 0 0 0"
