"""The order of work: what comes before what, and what drops out.

Order: common practice, no source (a folded edge is folded before it is pierced; what cannot be reached on
the form is finished before it; a flame waits until solvent has gone).
"""

from __future__ import annotations

from dataclasses import replace
from graphlib import TopologicalSorter

import pytest

from backseam.ground.speech import words
from backseam.leather.leather import State, Tight
from backseam.making.steps import PRECEDENCE, Phase, Room, out_of_order, work_order
from backseam.pattern.construction import CollarKind, HangerKind, Tool


def ids(steps):
    return [step.id for step in steps]


@pytest.fixture
def variants(barrel, change):
    """Jobs that differ in what applies."""
    plain = change(barrel, inputs__construction__collar__kind=CollarKind.PLAIN)
    bare = replace(barrel, hanger=replace(barrel.hanger, kind=HangerKind.NONE, holes=()))
    return {
        "folded": barrel,
        "plain": plain,
        "bare": bare,
        "smooth": change(barrel, upper__press=()),
        "snipped": change(barrel, upper__snips=((60.0, 40.0), (60.0, 50.0))),
        "dry": change(barrel, inputs__leather__state=State.DRY),
        "no film": change(barrel, inputs__construction__film=0.0),
        "no strips": replace(barrel, strips=()),
        "least": change(
            replace(bare, strips=()), upper__press=(), inputs__construction__collar__kind=CollarKind.PLAIN
        ),
    }


def test_every_job_keeps_the_order(variants):
    for name, worked in variants.items():
        for decorated in (False, True):
            assert out_of_order(ids(work_order(worked, decorated=decorated))) == (), name


def test_two_steps_swapped_are_seen(barrel):
    """Every pair of the list turns red when its two steps change places, so none of them is idle."""
    order = ids(work_order(barrel, decorated=True))
    place = {name: i for i, name in enumerate(order)}
    tried = 0
    for before, after in PRECEDENCE:
        if before in place and after in place:
            swapped = list(order)
            swapped[place[before]], swapped[place[after]] = after, before
            assert (before, after) in out_of_order(swapped)
            tried += 1
    assert tried > 300


@pytest.mark.parametrize(
    ("before", "after"),
    [  # the order of work, as far as it can be said in pairs: common practice, no source
        ("fold", "mouth"),
        ("mouth", "pierce"),
        ("pierce", "hanger_holes"),
        ("pierce", "decorate"),
        ("hanger_holes", "edge_first"),
        ("edge_first", "try_on"),
        ("try_on", "tack"),
        ("tack", "press"),
        ("press", "sew"),
        ("sew", "mould"),
        ("mould", "mark"),
        ("mark", "glue"),
        ("glue", "clamp"),
        ("clamp", "mould_again"),
        ("mould_again", "first_draw"),
        ("first_draw", "hanger"),
        ("hanger", "knife_back"),
        ("knife_back", "dry"),
        ("dry", "tails"),
        ("tails", "melt"),
        ("melt", "trim"),
        ("trim", "edges"),
        ("edges", "dye"),
        ("dye", "wax"),
        ("wax", "film_out"),
        ("fold", "sew"),
        ("glue", "melt"),
    ],
)
def test_what_the_list_holds(before, after):
    assert (before, after) in PRECEDENCE
    assert (after, before) not in PRECEDENCE


def test_the_list_has_no_ring():
    """It can be obeyed: no pair stands in it both ways, also not by a detour."""
    sorter = TopologicalSorter()
    for before, after in PRECEDENCE:
        sorter.add(after, before)
    assert len(tuple(sorter.static_order())) > 30  # raises CycleError if there is a ring


def test_every_name_of_the_list_is_a_step(variants):
    known = {name for worked in variants.values() for name in ids(work_order(worked, decorated=True))}
    assert {name for pair in PRECEDENCE for name in pair} <= known


def test_the_cheapest_test_stands_first(barrel):
    steps = work_order(barrel)
    assert ids(steps)[:2] == ["strips", "bars"]
    assert steps[0].gate is not None


@pytest.mark.parametrize(
    ("variant", "gone"),
    [
        ("plain", {"fold", "mouth", "skive"}),
        ("bare", {"hanger", "hanger_holes"}),
        ("smooth", {"press"}),
        ("folded", {"snip", "decorate", "lay_dry"}),
        ("dry", {"lay_damp"}),
        ("no strips", {"strips"}),
    ],
)
def test_what_does_not_apply_drops_out(variants, variant, gone):
    left = set(ids(work_order(variants[variant])))
    assert not gone & left
    everything = {name for worked in variants.values() for name in ids(work_order(worked, decorated=True))}
    assert gone <= everything


def test_a_plain_mouth_is_burnished_with_the_bottom_edge(variants):
    edge = next(step for step in work_order(variants["plain"]) if step.id == "edge_first")
    assert edge.title == "edge_first_plain"
    assert edge.once


def test_a_strap_goes_through_slits(barrel, change):
    from backseam.pattern.hanger import Slit

    slits = (Slit(-1, -40, 110, -40, 88, 3.0), Slit(1, 40, 110, 40, 88, 3.0))
    plan = replace(barrel.hanger, kind=HangerKind.STRAP, holes=(), slits=slits)
    steps = {step.id: step for step in work_order(replace(barrel, hanger=plan))}
    assert steps["hanger_holes"].title == "hanger_holes_strap"
    assert steps["hanger_holes"].numbers["length"] == pytest.approx(22.0)
    assert steps["hanger"].title == "hanger_strap"


def test_numbers_are_this_jobs(barrel):
    steps = {step.id: step for step in work_order(barrel)}
    assert steps["pierce"].numbers["count"] == barrel.seam.count
    assert steps["pierce"].numbers["four"] == barrel.seam.four_layers > 0
    assert steps["blank"].numbers["width"] == barrel.blank.width
    assert steps["sew"].numbers["length"] == barrel.thread.length
    assert steps["sew"].numbers["metres"] == pytest.approx(barrel.thread.length / 1000)
    assert steps["press"].numbers["stations"] == tuple(groove.station for groove in barrel.upper.press)
    assert steps["skive"].numbers["beyond"] == pytest.approx(
        barrel.inputs.construction.collar.skive - barrel.inputs.construction.collar.depth
    )


def test_the_tool_in_hand_is_named(barrel, change):
    for tool in Tool:
        worked = change(barrel, inputs__construction__stitching__tool=tool, seam__eased=6, seam__eased_by=1.2)
        details = next(step for step in work_order(worked) if step.id == "pierce").details
        assert f"tool_{tool.value}" in details
        assert ("eased_closer" in details) is (tool is not Tool.FREE)
    wider = change(barrel, seam__eased=6, seam__eased_by=-1.2)
    assert "eased_wider" in next(step for step in work_order(wider) if step.id == "pierce").details


def test_strips_say_where_they_go(barrel):
    film = tuple(replace(strip, over_film=True) for strip in barrel.strips)
    mixed = (film[0], *barrel.strips[1:])
    for strips, key in ((film, "strips_film"), (barrel.strips, "strips_bare"), (mixed, "strips_mixed")):
        assert work_order(replace(barrel, strips=strips))[0].details == (key,)


def test_tight_way_is_asked_for(barrel, change):
    for tight, key in ((Tight.ALONG, "along"), (Tight.ACROSS, "across"), (Tight.UNKNOWN, "unknown")):
        worked = change(barrel, inputs__leather__tight=tight)
        assert next(s for s in work_order(worked) if s.id == "blank").details == (f"blank_{key}",)


def test_cautions_stand_where_it_can_hurt(barrel):
    cautions = {step.id: step.caution for step in work_order(barrel) if step.caution}
    assert cautions == {
        "strips": "blade",
        "skive": "knife",
        "soak": "heat",
        "pierce": "awl",
        "glue": "cement",
        "first_draw": "draw",
        "dry": "drying",
        "melt": "flame",
        "edges": "dust",
        "wax": "wax",
        "pull": "pull",
    }


def test_somebody_cuts_so_a_caution_says_how(variants):
    """The knife's caution stands at the skive; without one it stands at the cut."""
    for name, where in (("folded", "skive"), ("plain", "cut")):
        cautions = {step.id: step.caution for step in work_order(variants[name])}
        assert cautions[where] in ("knife", "cut")


def test_no_film_is_not_spoken_of(variants):
    titles = {step.id: step.title for step in work_order(variants["no film"])}
    assert (titles["wrap"], titles["knife_back"], titles["film_out"]) == (
        "wrap_bare",
        "knife_back_bare",
        "film_out_bare",
    )


def test_flame_waits_for_the_solvent():
    assert {("glue", "melt"), ("clamp", "melt"), ("dry", "melt")} <= set(PRECEDENCE)


def test_gates_stand_after_what_cannot_be_undone(barrel):
    gated = [step.id for step in work_order(barrel) if step.gate]
    assert gated == [
        "strips", "bars", "ring", "skive", "fold", "mouth", "rows_count", "rows_length", "try_on", "clamp",
        "finished",
    ]  # fmt: skip


def test_rooms_to_write(barrel):
    rooms = {step.id: step.room for step in work_order(barrel) if step.room}
    assert rooms == {"soak": Room.TIMES, "clamp": Room.TIMES, "dry": Room.TIMES, "pull": Room.PULLS}


def test_phases_follow_each_other(variants):
    for worked in variants.values():
        phases = [step.phase for step in work_order(worked)]
        assert phases == sorted(phases, key=list(Phase).index)


def test_every_step_has_its_words(variants):
    book = words("en", "card")
    for worked in variants.values():
        for step in work_order(worked, decorated=True):
            _, group, name = step.words.split(".")
            assert name in book[group]
            assert all(key in book["detail"] for key in step.details)
            assert step.caution is None or step.caution in book["caution"]
            assert step.gate is None or {step.gate.id} <= set(book["gate"])
            assert step.gate is None or step.gate.words in book["limit"]
