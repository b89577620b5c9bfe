"""The finished sheath as drawn: it is the computed form, its holes, its hanger; light comes from the upper left."""

from __future__ import annotations

from functools import cache
from xml.etree import ElementTree

import numpy as np
import pytest
from tests.jobs import SAMPLES, sample, tube

from backseam.ground.speech import Speech
from backseam.job.recipe import Worked, work
from backseam.papers.screen import write
from backseam.papers.sheets import sheath
from backseam.papers.sheets.sheath_look import BACK, TILT, Camera

SAY = Speech()


@cache
def worked(name: str) -> Worked:
    return work(sample(name))


@cache
def views(name: str) -> dict[sheath.Side, sheath.View]:
    return sheath.views(worked(name))


def drawn(view: sheath.View, **named: bool) -> ElementTree.Element:
    return ElementTree.fromstring(write(sheath.picture(view, "a sheath", **named)))


def looks(root: ElementTree.Element) -> list[str]:
    return [one.get("class", "") for one in root.iter()]


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("side", ["front", "back"])
def test_every_sample_is_drawn(name: str, side: sheath.Side) -> None:
    seen = looks(drawn(views(name)[side]))
    assert {"hide", "wood", "wash", "edge", "hatch"} <= set(seen)
    assert ("hidden" in seen) == worked(name).inputs.construction.collar.folded
    assert ("stitch" in seen) == (side == "back")


def test_a_tube_is_as_wide_as_its_leather() -> None:
    # closed form: a round tube of 40 in leather of 2 is 44 wide from any side
    seen = sheath.views(work(tube(40.0, 100.0)))["front"]
    left, right = seen.edge(50.0, "left"), seen.edge(50.0, "right")
    assert right[0] - left[0] == pytest.approx(44.0, abs=0.05)


def test_the_collar_is_thicker_by_its_flap_above_its_hidden_end() -> None:
    made = work(tube(40.0, 100.0, construction__collar="folded", construction__collar_depth_mm=15))
    seen = sheath.views(made)["front"]

    def wide(u: float) -> float:
        return seen.edge(u, "right")[0] - seen.edge(u, "left")[0]

    flap = made.inputs.construction.collar.flap
    assert wide(92.0) - wide(60.0) == pytest.approx(2 * flap, abs=0.1)


def test_grooves_press_the_leather_in_by_their_depth() -> None:
    seen = views("barrel")["front"]
    groove = worked("barrel").form.marks.grooves[0]
    beside = (seen.edge(groove.station - 5, "right")[0] + seen.edge(groove.station + 5, "right")[0]) / 2
    assert beside - seen.edge(groove.station, "right")[0] == pytest.approx(groove.depth, abs=0.25)


@pytest.mark.parametrize("name", SAMPLES)
def test_each_stitch_runs_from_hole_to_hole(name: str) -> None:
    root = drawn(views(name)["back"])
    whys = [one.get("data-why") for one in root.iter() if one.get("class") == "sew"]
    assert whys == [f"hole:{n}" for n in range(1, worked(name).seam.count)]


def test_the_hole_heights_are_those_of_the_flat_map() -> None:
    seen, made = views("barrel")["back"], worked("barrel")
    y = made.layout.place(seen.hole_heights, 1.0)[:, 1]
    assert np.abs(y - [hole.y for hole in made.seam.right]).max() < 0.05


def test_a_sheath_for_the_left_hand_shows_its_knot_on_the_other_side() -> None:
    right, left = (
        sheath.views(work(sample("barrel", construction__hand=hand)))["back"] for hand in ("right", "left")
    )
    assert right.carried.knot[0] == pytest.approx(-left.carried.knot[0], abs=1e-6)
    assert left.camera.turn == -BACK


@pytest.mark.parametrize(("kind", "look"), [("thong", "thong"), ("strap", "thong strap"), ("none", None)])
def test_what_carries_it_is_what_was_chosen(kind: str, look: str | None) -> None:
    seen = looks(drawn(sheath.views(work(sample("barrel", construction__hanger__kind=kind)))["back"]))
    assert [one for one in ("thong", "thong strap") if one in seen] == ([look] if look else [])


def test_damp_leather_says_so() -> None:
    assert "sheath damp" in looks(drawn(views("barrel")["front"], damp=True))
    assert "sheath" in looks(drawn(views("barrel")["front"]))


def test_light_comes_from_the_upper_left() -> None:
    camera = Camera(False, 0.0)
    left, front, right, up = np.array([(-1.0, 0, 0), (0, -1.0, 0), (1.0, 0, 0), (0, 0, 1.0)])
    assert camera.tone(left) < camera.tone(right)
    assert camera.tone(front) < camera.tone(right)
    assert camera.tone(up) < 1


def test_from_the_back_left_and_right_change() -> None:
    point = np.array([[5.0, 3.0, 10.0]])
    front, back = Camera(False, 0.0).seen(point)[0], Camera(True, 0.0).seen(point)[0]
    assert front[0] == -back[0] == 5.0
    assert front[1] == pytest.approx(10 + 3 * TILT)  # what is further away stands higher: seen from above
    assert back[1] == pytest.approx(10 - 3 * TILT)


def test_a_measured_handle_and_blade_are_drawn_at_their_length() -> None:
    made = worked("barrel")
    seen = sheath.views(made, blade=110.0, handle=105.0)["front"]
    assert made.form.marks.junction is not None
    assert seen.sheath.butt == pytest.approx(made.form.marks.junction + 105.0)
    assert seen.sheath.tip == pytest.approx(made.form.marks.junction - 110.0 - 3.0 - 5.0)


def test_a_picture_is_small_enough_to_be_sent_at_each_key() -> None:
    for name in SAMPLES:
        for view in views(name).values():
            assert len(write(sheath.picture(view, "x"))) < 90_000
