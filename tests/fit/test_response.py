"""The table against solving each sheath."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.fit.conftest import SAMPLES, parts, worked

from backseam.fit.crowd import IN, OUT, force, gather
from backseam.fit.grip import grip
from backseam.fit.response import hat, respond, solved
from backseam.fit.tested import Measured


@pytest.mark.parametrize("name", SAMPLES)
def test_table_against_single_sheaths(name):
    sheath = worked(name)
    held = grip(*parts(sheath))
    crowd = gather(held, parts(sheath)[-1], 0.1, Measured(), 5, 2000)
    answer = respond(held, crowd.sizes)
    index = np.arange(0, 2000, 41)
    few = crowd.chosen(index, crowd.sheaths.drawn["stiffness.hoop"][index])
    by_table = force(answer.loads(few.sizes), few, OUT).max(axis=0)
    by_hand = force(solved(held, few.sizes, answer.travel), few, OUT).max(axis=0)
    middle = np.median(by_hand)
    assert np.sqrt(((by_table - by_hand) ** 2).mean()) < 0.12 * middle
    assert np.median(by_table) == pytest.approx(middle, rel=0.05)
    assert answer.unsettled == 0


def test_two_moments_are_the_whole_formula(barrel):
    # to first order in the slope, against tan(alpha + atan mu) height by height
    from backseam.fit import response as module
    from backseam.fit.contact import climb

    held = grip(*parts(barrel))
    crowd = gather(held, parts(barrel)[-1], 0.1, Measured(), 5, 6)
    travel = held.travel()[:6]
    cases = module._one_by_one(held, travel, crowd.sizes)
    n, q, m = cases.gap.shape
    touched = module.press(held.wall(cases.thickness), cases.gap.reshape(n, q * m), np.tile(np.arange(m), q))
    load = touched.load.reshape(n, q, m) * held.turning()[:, None, None] * held.carried(travel)[..., None]
    up = held.upper[:, None, None]
    for way in (OUT, IN):
        exact = (load * up * climb(crowd.dry.upper, way * cases.lean)).sum(axis=0) * crowd.sizes.soft_upper
        exact += (load * (1 - up) * climb(crowd.dry.flesh, way * cases.lean)).sum(
            axis=0
        ) * crowd.sizes.soft_lower
        exact *= crowd.stiff
        assert force(solved(held, crowd.sizes, travel), crowd, way) == pytest.approx(
            exact, rel=4e-3, abs=0.05
        )


@given(st.lists(st.floats(-5, 8), min_size=1, max_size=20))
def test_hats_sum_to_one_and_keep_straight_lines(x):
    nodes = np.array([-3.0, -1.0, 0.5, 4.0])
    weights = hat(nodes, np.array(x))
    assert weights.sum(axis=0) == pytest.approx(1)
    assert nodes @ weights == pytest.approx(np.clip(x, -3, 4))


def test_loads_grow_with_tightness(barrel):
    held = grip(*parts(barrel))
    crowd = gather(held, parts(barrel)[-1], 0.1, Measured(), 5, 500)
    answer = respond(held, crowd.sizes)
    assert np.all(np.diff(answer.upper[:, 1, 0], axis=0) >= -1e-9)
    assert np.all(np.diff(answer.lower[:, 0], axis=0) >= -1e-9)
    assert np.all(answer.upper[..., 0, :] >= 0)
