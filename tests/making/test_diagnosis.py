"""The list of faults: complete in words, searched in the maker's own words, put in order by a job's numbers.

What comes first is common practice, no source; the phrases are ours.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace
from importlib.resources import files

import pytest
from tests.jobs import sample

from backseam.ground.errors import InputRefused
from backseam.ground.sources import default
from backseam.ground.speech import PLAIN, Speech, words
from backseam.job.facts import facts_of
from backseam.job.recipe import work
from backseam.making.diagnosis import (
    Harm,
    degree,
    diagnose,
    found,
    in_general,
    search,
    stem,
    symptoms,
    told,
    withdrawn,
)
from backseam.making.facts import Balance, Odds
from backseam.making.likelihood import SPEAKERS

BOOK = words("en", "diagnosis")
FACTS = replace(
    facts_of(work(sample("barrel")), forecast=False),
    odds=Odds(0.1, 0.5, 0.1),
    balance=Balance(30.0, 50.0, 0.0, 0.0, 1.0, 1.8),
)
# For each speaker, facts that speak for its cause and facts that speak against it (None: it says nothing then).
BOTH = {
    "allowance": ({"allowance": 0.01}, {}),
    "allowance_less": ({"allowance": -0.01}, {}),
    "behind": ({"drop": 2.0}, {"drop": 0.1}),
    "film": ({"film": 0.2}, {"film": 0.03}),
    "soft": ({"part": "belly"}, {"part": "bend"}),
    "lip": ({"lip": 0.0}, {"lip": 7.0}),
    "rim": ({"folded": False}, {"folded": True}),
    "loses": ({"odds": Odds(0.3, 0, 0)}, {"odds": Odds(0.0, 0, 0)}),
    "slips": ({"odds": Odds(0, 0.3, 0)}, {"odds": Odds(0, 0.0, 0)}),
    "clicks": ({"odds": Odds(0, 0, 0.0)}, {"odds": Odds(0, 0, 0.9)}),
    "swell": ({"swell": 0.0}, {"swell": 4.0}),
    "instrument": ({"guessed": 2}, {"guessed": 0}),
    "mouth_read": ({"mouth_read": "bare"}, {"mouth_read": "folded_piece"}),
    "thickness": ({"thinnest": 1.7, "thickest_leather": 2.4}, {"thinnest": 2.0, "thickest_leather": 2.1}),
    "wood_moves": ({"liner_wood": "oak"}, None),
    "acid_wood": ({"liner_wood": "oak_white"}, {"liner_wood": "birch"}),
    "edge": ({"trimmed": 1.5}, {"trimmed": 5.0}),
    "squeeze": ({"squeeze": 0.05}, {"squeeze": 0.0}),
    "bend": ({"bend": 20.0, "way": "seam_inside"}, {"bend": 0.0}),
    "sideways": ({"bend": 20.0, "way": "sideways"}, {"bend": 0.0}),
    "belly": ({"part": "belly"}, {"part": "shoulder"}),
    "bend_leather": ({"part": "bend"}, {"part": "shoulder"}),
    "rounded": ({"width": 30.0, "depth": 31.0}, {"width": 22.0, "depth": 34.0}),
    "tool": ({"tool": "wheel"}, {"tool": "free"}),
    "easing": ({"eased": 6}, {"eased": 0}),
    "many": ({"placings": 12}, None),
    "pitch_wide": ({"pitch": 5.5}, {"pitch": 3.5}),
    "stretch": ({"stretch": 0.12}, {"stretch": 0.01}),
    "perforation": ({"perforation": 0.6}, {"perforation": 0.3}),
    "thread": ({"thread": 0.3}, {"thread": 0.8}),
    "awl": ({"awl": 3.5}, None),
    "glue_band": ({"trimmed": 3.0}, None),
    "flap": ({"flap": 0.5}, {"flap": 1.0}),
    "fold": ({"fold_strain": 0.6}, {"fold_strain": 0.4}),
    "flap_thick": ({"flap": 1.5}, {"flap": 1.0}),
    "flats": ({"kind": "octagon"}, {"kind": "oval"}),
    "rim_thick": ({"four_layers": 3}, None),
    "sag": ({"sag": 2.3}, {"sag": 0.2}),
    "drop_of_mouth": ({"mouth_drop": 3.0}, None),
    "thick_slow": ({"thickness": 3.0}, None),
    "margin": ({"balance": Balance(2.0, 3.0, 0, 0, 1, 1)}, {}),
    "steady": ({"balance": Balance(2.0, 0.8, 0, 0, 1, 1)}, {}),
    "lean": ({"balance": Balance(30.0, 50, 2.0, 4.0, 1, 1)}, {}),
    "strap": ({}, {}),
}
SAYS_NOTHING = {
    "wood_moves": {"liner_wood": "birch"},
    "many": {"placings": 3},
    "awl": {"awl": 2.2},
    "glue_band": {"trimmed": 5.0},
    "rim_thick": {"four_layers": 0},
    "drop_of_mouth": {"mouth_drop": 1.0},
    "thick_slow": {"thickness": 2.0},
    "loses": {"odds": None},
    "slips": {"odds": None},
    "clicks": {"odds": None},
    "margin": {"balance": None},
    "steady": {"balance": None},
    "lean": {"balance": None},
    "strap": {"hanger": "none"},
    "easing": {"tool": "free"},
    "mouth_read": {"folded": False},
    "fold": {"folded": False},
    "acid_wood": {"liner_wood": None},
    "soft": {"part": "shoulder"},
    "allowance": {"allowance": -0.01},
}


def sentences():
    for name, row in BOOK["symptom"].items():
        yield from ((f"{name}.{key}", row[key]) for key in ("repair", "prevent", "withdraw") if key in row)
    for name, causes in BOOK["cause"].items():
        for cause, row in causes.items():
            yield from ((f"{name}.{cause}.{key}", text) for key, text in row.items())
    yield from ((f"because.{key}", text) for key, text in BOOK["because"].items())


def test_the_list_and_its_words_have_the_same_symptoms_and_causes():
    assert set(BOOK["symptom"]) == set(BOOK["cause"]) == set(symptoms())
    for name, symptom in symptoms().items():
        assert {cause for cause, _ in symptom.causes} == set(BOOK["cause"][name]), name
        assert symptom.withdraw == ("withdraw" in BOOK["symptom"][name]), name
    assert len(symptoms()) >= 26


def test_every_speaker_is_used_and_tried():
    table = tomllib.loads(files("backseam.making").joinpath("diagnosis.toml").read_text(encoding="utf-8"))
    named = {by for row in table.values() for by in row["causes"].values()} - {""}
    assert named == set(SPEAKERS) == set(BOTH)


@pytest.mark.parametrize(
    ("where", "text"), list(sentences()), ids=lambda x: x if "." in x and " " not in x else ""
)
def test_words_are_whole_sentences_of_a_workmate(where, text):
    said = re.sub(r"\{[^}]*\}", "", text).strip()
    assert said.endswith((".", "?")), where
    assert not re.search(r"\b(please|oops|invalid|error)\b", said, re.IGNORECASE), where


def test_safety_stands_first_and_says_what_to_do_at_once():
    ranks = [one.harm.rank for one in symptoms().values()]
    assert ranks == sorted(ranks)
    for name in ("loose_fit", "blade_binds", "edge_cuts_seam", "tip_through"):
        assert symptoms()[name].harm is Harm.SAFETY
        assert withdrawn(symptoms()[name])
    assert withdrawn(symptoms()["water_mark"]) == ""


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("loose_fit", "loose_fit"),
        ("Loose fit", "loose_fit"),
        ("rattles", "loose_fit"),
        ("it falls out", "loose_fit"),
        ("ratles", "loose_fit"),
        ("knife fell out when upside down", "loose_fit"),
        ("cracked at the fold", "cracked_fold"),
        ("can't get the knife out", "tight_fit"),
        ("hard to draw", "tight_fit"),
        ("it does not click", "no_click"),
        ("blade is rusty", "blade_rust"),
        ("leans over on the belt", "hangs_tilted"),
        ("dye comes off on my trousers", "dye_rubs"),
        ("stitches ripping out", "stitch_tear"),
        ("light through the seam", "seam_gap"),
        ("loose stitches", "seam_gap"),
        ("one hole too many", "holes_differ"),
        ("black spots", "iron_stain"),
        ("the point comes through", "tip_through"),
        ("mouldy smell", "mould_growth"),
        ("moldy", "mould_growth"),
        ("strap streched", "strap_creep"),
        ("tide line", "water_mark"),
        ("wrinkles on the inside of the curve", "wrinkle_bend"),
        ("collar flares away from the handle", "collar_gap"),
        ("glue opens", "flange_opens"),
        ("leather too hard", "brittle"),
    ],
)
def test_the_makers_own_words_find_it(said, wanted):
    assert search(said)[0].symptom == wanted


@pytest.mark.parametrize("name", list(symptoms()))
def test_every_phrase_of_a_symptom_finds_it_first(name):
    for phrase in BOOK["symptom"][name]["says"]:
        best = search(phrase)
        assert name in [one.symptom for one in best if one.score >= best[0].score - 1e-9], phrase


@pytest.mark.parametrize("said", ["", "   ", "xyzzy", "?!", "1234"])
def test_nothing_found_is_a_sentence(said):
    with pytest.raises(InputRefused) as refused:
        found(said)
    assert str(refused.value).endswith(".")
    with pytest.raises(InputRefused):
        diagnose("no_such_thing")


def test_stems_of_one_word_are_one():
    assert len({stem(word) for word in ("crack", "cracks", "cracked", "cracking")}) == 1


def test_without_a_job_the_order_is_the_lists():
    for name, symptom in symptoms().items():
        plain = diagnose(name)
        assert [cause.id for cause in plain.causes] == [cause for cause, _ in symptom.causes]
        assert sum(cause.share for cause in plain.causes) == pytest.approx(1.0)
        assert all(cause.speaks is None for cause in plain.causes)


@pytest.mark.parametrize("name", sorted(SPEAKERS))
def test_each_number_speaks_for_and_against_its_cause(name):
    speaks, against = BOTH[name]
    first = SPEAKERS[name](replace(FACTS, **speaks))
    assert first is not None
    assert PLAIN.fill(BOOK["because"][first.key], dict(first.numbers))
    if name == "strap":
        return
    assert first.factor > 1
    if against is not None:
        second = SPEAKERS[name](replace(FACTS, **against))
        assert second.factor < 1
        assert Speech("inch").fill(BOOK["because"][second.key], dict(second.numbers))
    if name in SAYS_NOTHING:
        assert SPEAKERS[name](replace(FACTS, **SAYS_NOTHING[name])) is None


def test_a_plain_mouth_has_no_flap_to_blame():
    plain = replace(FACTS, folded=False, flap=0.0)
    assert "thin_flap" not in [cause.id for cause in diagnose("stitch_tear", plain).causes]
    assert "thick_flap" not in [cause.id for cause in diagnose("collar_gap", plain).causes]


def test_a_thick_film_becomes_the_first_cause_of_a_loose_fit():
    thin = [cause.id for cause in diagnose("loose_fit", FACTS).causes]
    thick = [cause.id for cause in diagnose("loose_fit", replace(FACTS, film=0.3)).causes]
    assert thick.index("film") < thin.index("film")
    assert degree(diagnose("loose_fit", FACTS).causes[-1].share) == "unlikely"


def test_leather_that_must_gather_is_the_first_cause_of_wrinkles():
    bent = work(sample("bent-inside"))
    causes = diagnose("wrinkle_bend", facts_of(bent, forecast=False)).causes
    assert causes[0].id == "fullness"
    said = told(causes[0], diagnose("wrinkle_bend", facts_of(bent, forecast=False)))
    assert "%" in said["here"]


def test_words_of_one_cause_and_of_all():
    whole = diagnose("loose_fit", FACTS)
    for cause in whole.causes:
        row, own = told(cause, whole), told(cause, whole, own=True)
        assert all(row[key] for key in ("cause", "look", "mend", "next"))
        assert own["mend"] in ("", row["mend"])
        assert not re.search(r"[{}]", " ".join(row.values()))
    assert "0.3 mm" in in_general(whole)["mend"]


@pytest.mark.parametrize("name", ["barrel", "sideways", "slim", "stout", "tube"])
def test_every_sample_has_facts_and_every_symptom_an_answer(name):
    facts = facts_of(work(sample(name)), forecast=False)
    for symptom in symptoms():
        whole = diagnose(symptom, facts)
        assert all(told(cause, whole)["cause"] for cause in whole.causes)


def test_a_fold_is_held_against_what_its_own_hide_bears():
    strained = replace(FACTS, folded=True, fold_strain=0.45)
    house = SPEAKERS["fold"](strained)
    brittle = SPEAKERS["fold"](replace(strained, fold_crack=0.4))
    tough = SPEAKERS["fold"](replace(strained, fold_crack=0.9))
    assert house.numbers["limit"] == default("leather.fold_crack")
    assert brittle.key == "fold_sharp"
    assert brittle.numbers["limit"] == 0.4
    assert tough.key == "fold_soft"
    assert brittle.factor > 1 > tough.factor


def test_a_rod_bend_on_the_card_reaches_the_diagnosis():
    known = {"name": "leather.fold_crack", "value": 0.2, "low": 0.18, "high": 0.22}
    worked = work(sample(leather__known={"hide": "lot 7", "values": [known]}))
    assert facts_of(worked, forecast=False).fold_crack == 0.2
