"""Two accounts of one piece: the flattening's energy and the moulding's; and published values of a prototype."""

from __future__ import annotations

import numpy as np
import pytest
from tests.forms import barrel, cone, deg, tube

from backseam.fit.moulding import Moulding, hand_of, mould
from backseam.form.axis import Bend, Plane
from backseam.form.form import Form
from backseam.leather.leather import Leather, State, Tight
from backseam.pattern.draft import Layout, lay_out
from backseam.pattern.flatten import Law
from backseam.pattern.stations import hand_line

LEATHER = Leather((2.0,), Tight.ALONG, "shoulder", State.DAMP, 0.0, 0.0, 0.5)
FREE = Law(0.8, 1.0, 0.35, 0.35, 3.0)


def bend(plane: Plane, sign: int, angle: float = 15.0) -> Form:
    """The barrel with a bend over 40 mm below its thickest."""
    return barrel(bend=Bend(plane, sign, deg(angle), 90, 130))


def hand(form: Form, layout: Layout) -> Moulding:
    """The hand pattern moulded in the leather's own law."""
    stitch = layout.place(np.linspace(form.marks.mouth, 0, 400), 1.0)
    return mould(form, hand_of(form, hand_line(form, stitch)), FREE, hoop=10.0)


@pytest.mark.parametrize(
    "form",
    [barrel(), barrel(True), bend(Plane.SEAM, 1), bend(Plane.SEAM, -1)],
    ids=["barrel", "necked", "seam inside", "seam outside"],
)
def test_energies_of_flattening_and_moulding_agree(form):
    # Different unknowns, strain, mesh and solver, one law: they differ at second order in strain (below 10 % here),
    # and by the flattening's mesh, whose cells hold up to 6 % more on a bend (seam outside: 3.33 on 30 rows, 3.20 on
    # 40 with more columns, 3.10 on 60; moulded 3.13).
    law = Law.girth_kept()
    layout = lay_out(form, LEATHER)
    done = mould(form, layout, law, hoop=10.0)
    assert done.settled
    assert done.sums.most < 0.10
    assert done.energy == pytest.approx(layout.flat.energy, rel=0.07)
    assert done.sums.girth_most == pytest.approx(layout.flat.girth.max(), abs=3e-3)


def test_sideways_too_the_flattening_says_what_moulding_finds():
    # The halves of a bend to the side differ. Tied to each other point by point they would read twice the energy and
    # twice the stretch; tied at their edges, as sewn, they read the moulding's stretch, and an upper bound of its
    # energy (points of mouth, bottom edge and flange still lie opposite each other, which leather does not ask).
    form = bend(Plane.SIDE, 1)
    layout = lay_out(form, LEATHER)
    done = mould(form, layout, Law.girth_kept(), hoop=10.0)
    assert 0.6 * layout.flat.energy < done.energy < layout.flat.energy
    assert layout.flat.strains()[0] == pytest.approx(done.sums.most, rel=0.25)


# Source: published values of a prototype of the same account, leather's own law, per cent: largest stretch and squeeze
# of the hand pattern and of the computed one. Its station curves had kinks that ours have not, so ours lie below; its
# rows were free to hang slack at the mouth, which ours are not, so at the mouth's corner ours may lie above. They are
# checked as an order of magnitude.
PROTOTYPE = {
    "barrel": (barrel(), (9.3, -6.9), (6.2, -4.4)),
    "necked": (barrel(True), (17.7, -11.9), (7.1, -8.2)),
    "seam inside": (bend(Plane.SEAM, 1), (11.6, -8.0), (6.3, -6.4)),
    "seam outside": (bend(Plane.SEAM, -1), (19.6, -8.4), (14.2, -6.7)),
    "sideways": (bend(Plane.SIDE, 1), (12.9, -10.7), (9.3, -8.7)),
}


@pytest.mark.parametrize("name", PROTOTYPE)
def test_stretch_is_of_the_size_a_prototype_found(name):
    form, theirs_hand, theirs = PROTOTYPE[name]
    layout = lay_out(form, LEATHER)
    computed, by_hand = mould(form, layout, FREE, hoop=10.0), hand(form, layout)
    for mine, (most, least) in ((computed.sums, theirs), (by_hand.sums, theirs_hand)):
        assert most / 5 < 100 * mine.most < 1.4 * most
        assert 1.3 * least < 100 * mine.least < least / 5
    assert computed.sums.least > by_hand.sums.least
    assert computed.sums.p99 < 1.15 * by_hand.sums.p99
    assert computed.sums.slackest < max(0.7, by_hand.sums.slackest)
    assert computed.sums.girth_least > -0.013 - 0.006
    assert computed.sums.girth_most < 0.023


def test_on_tube_and_cone_hand_and_computed_are_alike():
    # Same source: cylinder 0.0 / 0.0; cone of 10 mm on 100 mm: hand 0.1 / -0.2, computed 0.0 / 0.0
    for form in (tube(40, 100), cone(13, 18, 100)):
        layout = lay_out(form, LEATHER)
        assert mould(form, layout, FREE, hoop=10.0).sums.p99 < 2e-3
        assert hand(form, layout).sums.p99 < 4e-3
