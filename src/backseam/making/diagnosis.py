"""From what is wrong with a sheath to what it comes from, likeliest first: how to tell, to mend, to keep from it.

The list stands in `diagnosis.toml` beside this file, its words in the book `diagnosis`. Without a job the causes come
in the order in which they are met; with one, its numbers speak for and against each (`likelihood`).
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from enum import StrEnum
from functools import cache
from importlib.resources import files
from math import log, pi
from types import MappingProxyType
from typing import Any

from backseam.ground.errors import InputRefused
from backseam.ground.sources import default
from backseam.ground.speech import PLAIN, Speech, words
from backseam.ground.units import Share
from backseam.making.facts import Facts
from backseam.making.likelihood import SPEAKERS, Speaks

SHORTEST = 3  # letters of a stem
TYPO = 0.8  # likeness of two stems that may be one word
ENDINGS = ("ing", "ed", "es", "s", "ly", "e", "y")


class Harm(StrEnum):
    """What a fault touches, gravest first."""

    SAFETY = "safety"
    FUNCTION = "function"
    LOOKS = "looks"

    @property
    def rank(self) -> int:
        """0 for the gravest."""
        return list(Harm).index(self)


@dataclass(frozen=True)
class Symptom:
    """What is seen. withdraw: the sheath is out of use until mended; causes: id and the name of what speaks for it."""

    id: str
    harm: Harm
    withdraw: bool
    causes: tuple[tuple[str, str], ...]

    def name(self, speech: Speech = PLAIN) -> str:
        """What it is called."""
        return speech.say(f"diagnosis.symptom.{self.id}.name")


@dataclass(frozen=True)
class Cause:
    """One cause. share: its weight among all causes of the symptom; speaks: what the job says of it, if anything."""

    id: str
    share: Share
    speaks: Speaks | None


@dataclass(frozen=True)
class Diagnosis:
    """A symptom and its causes, likeliest first. facts: None for the general order."""

    symptom: Symptom
    causes: tuple[Cause, ...]
    facts: Facts | None


@cache
def symptoms() -> Mapping[str, Symptom]:
    """All symptoms by id, gravest first, then in the order of the table."""
    table = tomllib.loads(files("backseam.making").joinpath("diagnosis.toml").read_text(encoding="utf-8"))
    found = [
        Symptom(name, Harm(row["severity"]), row.get("withdraw", False), tuple(row["causes"].items()))
        for name, row in table.items()
    ]
    return MappingProxyType({one.id: one for one in sorted(found, key=lambda one: one.harm.rank)})


def diagnose(symptom: str, facts: Facts | None = None) -> Diagnosis:
    """The causes of a symptom, likeliest first.

    Each cause further down the table is less common by a fixed share; what the job's numbers say multiplies it:

        weight_i = rank^i x factor_i,   share_i = weight_i / sum of all

    A way to put causes in order, not a measured frequency. Source: own-choice (order of the table: common-practice).
    Tested: order without facts, each speaker both ways. Raises InputRefused for an unknown id.

    >>> [cause.id for cause in diagnose("drain_blocked").causes]
    ['covered', 'waxed', 'dirt']
    """
    found = symptoms().get(symptom)
    if found is None:
        raise _unknown(symptom)
    rank = default("diagnosis.rank")
    rows = []
    for i, (name, speaker) in enumerate(found.causes):
        speaks = SPEAKERS[speaker](facts) if speaker and facts is not None else None
        rows.append((name, rank**i * (1.0 if speaks is None else speaks.factor), speaks))
    whole = sum(weight for _, weight, _ in rows)
    causes = (Cause(name, weight / whole, speaks) for name, weight, speaks in rows if weight > 0)
    return Diagnosis(found, tuple(sorted(causes, key=lambda cause: -cause.share)), facts)


def degree(share: Share) -> str:
    """The word for a share: likeliest, likely, possible, unlikely.

    >>> degree(0.5), degree(0.1), degree(0.01)
    ('likeliest', 'possible', 'unlikely')
    """
    for word in ("likeliest", "likely"):
        if share >= default(f"diagnosis.{word}"):
            return word
    return "possible" if share >= default("diagnosis.unlikely") else "unlikely"


# --- words ---------------------------------------------------------------------------------------------------------


def told(cause: Cause, diagnosis: Diagnosis, speech: Speech = PLAIN, *, own: bool = False) -> dict[str, str]:
    """One cause in words: cause, here (what the job says, or empty), look, mend, next.

    own: mend and next are left empty where the cause has none but those of the symptom (`in_general`).
    """
    book = words(speech.language, "diagnosis")
    row = book["cause"][diagnosis.symptom.id][cause.id]
    general = {"mend": "", "next": ""} if own else in_general(diagnosis, speech)
    numbers = _numbers(diagnosis.facts)
    here = ""
    if cause.speaks is not None:
        here = speech.fill(book["because"][cause.speaks.key], dict(cause.speaks.numbers))
    return {
        "cause": row["cause"],
        "here": here,
        "look": speech.fill(row["check"], numbers),
        "mend": speech.fill(row["repair"], numbers) if "repair" in row else general["mend"],
        "next": speech.fill(row["prevent"], numbers) if "prevent" in row else general["next"],
    }


def in_general(diagnosis: Diagnosis, speech: Speech = PLAIN) -> dict[str, str]:
    """What mends the symptom and keeps from it, whatever it came from."""
    row, numbers = (
        words(speech.language, "diagnosis")["symptom"][diagnosis.symptom.id],
        _numbers(diagnosis.facts),
    )
    return {"mend": speech.fill(row["repair"], numbers), "next": speech.fill(row["prevent"], numbers)}


def withdrawn(symptom: Symptom, speech: Speech = PLAIN) -> str:
    """What to do at once; empty where nothing must be."""
    row = words(speech.language, "diagnosis")["symptom"][symptom.id]
    return str(row.get("withdraw", ""))


def _numbers(facts: Facts | None) -> dict[str, Any]:
    """What repairs need: thickness and girth of a lining, girth of a turn of film, turns to take, the collar."""
    thin = default("diagnosis.lining")
    return {
        "thin": thin,
        "lining": 2 * pi * thin,
        "turn": 2 * pi * default("diagnosis.film_turn"),
        "turns": int(default("diagnosis.film_turns")),
        "collar": default("collar.depth") if facts is None else facts.collar_depth,
    }


# --- search --------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Match:
    """A symptom that sounds like what was said. score: share of it that was found; like: how like it is to one of the
    phrases that people use for it.
    """

    symptom: str
    score: Share
    like: Share = 1.0


def search(said: str, language: str = "en") -> tuple[Match, ...]:
    """The symptoms that sound like it, best first; an id is found at once. Empty if none does.

    Words are cut to their stems, those that mean one thing are one, and a rare word counts for more: each of n
    symptoms is scored by the words of what was said that it has, weighted by ln(1 + n / how many have the word).
    Source: textbook (inverse document frequency). Tested: phrases of the bench, slips of the pen.
    """
    name = said.strip().casefold().replace(" ", "_").replace("-", "_")
    if name in symptoms():
        return (Match(name, 1.0),)
    index = _index(language)
    every = {stem for row in index.values() for stem in row}
    asked = [_nearest(stem, every) for stem in _stems(said, language)]
    if not asked:
        return ()
    weight = {
        stem: log(1 + len(index) / max(sum(stem in row for row in index.values()), 0.3)) for stem in asked
    }
    whole = sum(weight.values())
    scored = [
        Match(
            name,
            sum(size * row.get(stem, 0.0) for stem, size in weight.items()) / whole,
            _like(name, asked, language),
        )
        for name, row in index.items()
    ]
    close = [one for one in scored if one.score >= default("diagnosis.sounds_like")]
    return tuple(sorted(close, key=lambda one: (-one.score, -one.like)))


def _like(name: str, asked: list[str], language: str) -> Share:
    """The largest share of stems that what was said and one phrase have in common, of all they have."""
    said = set(asked)
    phrases = (
        set(_stems(phrase, language)) for phrase in words(language, "diagnosis")["symptom"][name]["says"]
    )
    return max((len(said & phrase) / len(said | phrase) for phrase in phrases), default=0.0)


def _rarity(holders: int, all_of_them: int) -> float:
    """How much a word counts that so many symptoms have; one that none has says half as much as the rarest."""
    return log(1 + all_of_them / holders) if holders else log(1 + all_of_them) / 2


def found(said: str, language: str = "en") -> tuple[Match, ...]:
    """The best match and those nearly as good. Raises InputRefused if nothing sounds like it."""
    matches = search(said, language)
    if not matches:
        raise _unknown(said)
    least = default("diagnosis.sounds_too") * matches[0].score
    return tuple(one for one in matches if one.score >= least)


@cache
def _index(language: str) -> Mapping[str, Mapping[str, float]]:
    """For each symptom the stems of its words; what makers say of it counts in full, words of its causes a little."""
    book = words(language, "diagnosis")
    made = {}
    for name in symptoms():
        row: dict[str, float] = {}
        for cause in book["cause"][name].values():
            row.update(dict.fromkeys(_stems(cause["cause"], language), 0.3))
        own = " ".join(
            (name.replace("_", " "), book["symptom"][name]["name"], *book["symptom"][name]["says"])
        )
        row.update(dict.fromkeys(_stems(own, language), 1.0))
        made[name] = MappingProxyType(row)
    return MappingProxyType(made)


@cache
def _meanings(language: str) -> tuple[Mapping[str, str], frozenset[str]]:
    """Stem to the first stem of its row of like words; words that say nothing."""
    book = words(language, "diagnosis")
    alike = {stem(word): stem(row[0]) for row in book["alike"]["rows"] for word in row}
    return MappingProxyType(alike), frozenset(book["stop"]["words"])


def _stems(text: str, language: str) -> Iterator[str]:
    alike, stop = _meanings(language)
    for word in "".join(char if char.isalnum() else " " for char in text.casefold().replace("'", "")).split():
        if word not in stop:
            cut = stem(word)
            yield alike.get(cut, cut)


def stem(word: str) -> str:
    """A word without its ending, doubled letters single.

    >>> [stem(word) for word in ("rattles", "rattling", "slipped", "loosely")]
    ['rattl', 'rattl', 'slip', 'loos']
    """
    cut = word.casefold()
    for ending in ENDINGS:
        if cut.endswith(ending) and len(cut) - len(ending) >= SHORTEST:
            cut = cut[: -len(ending)]
    if len(cut) > SHORTEST and cut[-1] == cut[-2] and cut[-1] not in "ls":
        cut = cut[:-1]
    return cut


def _nearest(cut: str, every: set[str]) -> str:
    """The stem itself, or a known one that may be meant."""
    near = get_close_matches(cut, every, 1, TYPO) if cut not in every and len(cut) > SHORTEST else ()
    return near[0] if near else cut


def _unknown(said: str) -> InputRefused:
    typed = said.strip()[:60]
    if not typed:
        return InputRefused(PLAIN.say("diagnosis.refuse.empty"))
    near = get_close_matches(typed.casefold().replace(" ", "_"), symptoms(), 1, 0.5)
    key = "near" if near else "nothing"
    return InputRefused(PLAIN.say(f"diagnosis.refuse.{key}", typed=typed, near=near[0] if near else ""))
