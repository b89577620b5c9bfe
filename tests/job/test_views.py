"""What the page gets of a worked job: drawings by name, places, a small picture."""

from __future__ import annotations

from functools import cache
from xml.etree import ElementTree

import pytest
from tests.jobs import SAMPLES, sample

from backseam.ground.speech import Speech
from backseam.job.recipe import Worked, work
from backseam.job.views import drawings, places, shown, thumbnail

ALL = ("front", "back", "piece")


@cache
def worked(name: str) -> Worked:
    return work(sample(name))


@pytest.mark.parametrize("name", SAMPLES)
def test_what_is_asked_for_is_drawn_and_nothing_else(name: str) -> None:
    assert list(drawings(worked(name), ALL, Speech())) == list(ALL)
    assert drawings(worked(name), (), Speech()) == {}
    made, found = shown(worked(name), ("piece",), Speech())
    assert list(made) == ["piece"]
    assert found == places(worked(name), Speech())


def test_contours_come_with_the_drawings_only_when_asked() -> None:
    plain = drawings(worked("stout"), ALL, Speech())
    more = drawings(worked("stout"), (*ALL, "stretch"), Speech())
    for name in ALL:
        assert 'class="stretch"' not in plain[name]
        assert 'class="stretch"' in more[name]


@pytest.mark.parametrize("name", SAMPLES)
def test_the_three_share_their_heights(name: str) -> None:
    # mouth up, the same height the same line: h is y = -h in each file, as near as the view from above and a bend allow
    found = {one["key"]: one for one in places(worked(name), Speech())}
    for key in ("bottom", "thickest"):
        heights = [y for _, y in found[key]["at"].values()]
        assert max(heights) - min(heights) < (4.0 if worked(name).form.axis.bend.straight else 9.0)


def test_a_hostile_title_stays_text() -> None:
    job = sample("tube", title='<script>"&</script>')
    for text in (*drawings(work(job), ALL, Speech()).values(), thumbnail(work(job), Speech())):
        root = ElementTree.fromstring(text)
        assert '<script>"&</script>' in (root[0].text or "")
        assert not any("script" in child.tag for child in root.iter())


def test_the_small_picture_has_both_sides_and_says_damp() -> None:
    text = thumbnail(worked("barrel"), Speech(), damp=True)
    root = ElementTree.fromstring(text)
    bodies = [one for one in root.iter() if one.get("data-body") == "leather"]
    assert len(bodies) == 2
    assert 'class="sheath damp"' in text
    assert "damp" not in thumbnail(worked("barrel"), Speech())
