"""From a wanted hold back to what to change: the mouth's height, the girth at the mouth, or how tight to cut.

For each the forecast is made over a row of values with the same drawn sheaths, and the one is taken whose draws land
in the wanted hold most often. Where even the best lands there too seldom, that is said, with what would do it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from backseam.fit.crowd import OUT, Crowd, crowd_of, force
from backseam.fit.doubts import few
from backseam.fit.draws import Sheaths, draw, unknowns
from backseam.fit.grip import Grip, grip
from backseam.fit.hold import Hold, limits, word
from backseam.fit.response import Sizes, kept_of, respond, stretch_of
from backseam.fit.tested import Measured, accepted, weigh
from backseam.form.form import Form
from backseam.ground.findings import Finding, finding
from backseam.ground.progress import SILENT, Progress, step
from backseam.ground.sources import default
from backseam.ground.speech import PLAIN
from backseam.ground.units import Mm, Newton, Share
from backseam.leather.leather import Leather
from backseam.leather.material import Material
from backseam.pattern.construction import Construction
from backseam.pattern.draft import Layout

Array = NDArray[np.float64]
Kind = Literal["height", "drop", "tighter"]

SAMPLES = 3_000
HEIGHTS: Mm = 2.5  # step of the mouth's height
ROWS = 13  # values tried for drop and tightness


@dataclass(frozen=True)
class Way:
    """One way to the wanted hold. value: height of the mouth above the thickest; drop in girth from the thickest to
    the mouth; or by how much less to cut in girth (negative: more), mm. change: against the job as it is, mm.
    chance: share of sheaths that then land in the wanted hold; middle: the word of the middle one.
    """

    kind: Kind
    value: Mm
    change: Mm
    chance: Share
    middle: Hold


@dataclass(frozen=True)
class Aim:
    """Answer to a wanted hold, between two pulls, N. now: share of sheaths that land there as the job is.

    ways: best of each kind, likeliest first. reachable: by moving the mouth.
    """

    wanted: tuple[Newton, Newton]
    now: Share
    ways: tuple[Way, ...]
    reachable: bool
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class _Sheath:
    form: Form
    layout: Layout
    leather: Leather
    construction: Construction
    material: Material

    def gripped(self) -> Grip:
        return grip(self.form, self.layout, self.leather, self.construction, self.material)

    def with_mouth(self, mouth: Mm) -> _Sheath:
        marks = replace(self.form.marks, mouth=mouth)
        return replace(self, form=replace(self.form, marks=marks))


def aim(
    form: Form,
    layout: Layout,
    leather: Leather,
    construction: Construction,
    material: Material,
    wanted: Hold | tuple[Newton, Newton],
    *,
    tested: Measured | None = None,
    seed: int = 0,
    samples: int = SAMPLES,
    progress: Progress = SILENT,
) -> Aim:
    """What to change for a wanted hold: a word, or two pulls in newtons once girth and pull are known.

    Raises Stopped only.
    """
    between = limits(wanted) if isinstance(wanted, Hold) else (min(wanted), max(wanted))
    sheath = _Sheath(form, layout, leather, construction, material)
    held = sheath.gripped()
    known, found = accepted(tested or Measured(), held)
    known = replace(known, station=held.mouth if known.station is None else known.station)
    found = tuple(item for item in found if item.code in ("FIT-010", "FIT-011"))
    if not isinstance(wanted, Hold) and (known.pull is None or known.finished_girth is None):
        found = (*found, finding("FIT-022", ("fit",)))
    sheaths = _known(held, sheath, known, seed, samples)
    heights = _heights(held)
    landed = []
    for i, above in enumerate(heights):
        step(progress, i, len(heights) + 2, "moving the mouth")
        there = sheath.with_mouth(held.thickest + above).gripped()
        landed.append(_landing(there, material, sheaths, known, between))
    now = _landing(held, material, sheaths, known, between)
    best = int(np.argmax([chance for chance, _ in landed]))
    ways = [Way("height", heights[best], heights[best] - held.lip, *landed[best])]
    step(progress, len(heights), len(heights) + 2, "moving the girths")
    ways += _by_girth(held, material, sheaths, known, between)
    ways.sort(key=lambda way: -way.chance)
    reachable = landed[best][0] >= default("fit.lands")
    doubts = () if reachable else _out_of_reach(wanted, ways, heights, landed[best][0])
    return Aim(between, now[0], tuple(ways), reachable, (*doubts, *_not_read(held, heights), *found))


def _known(held: Grip, sheath: _Sheath, known: Measured, seed: int, samples: int) -> Sheaths:
    """Drawn sheaths, those that a pull leaves."""
    given = unknowns(held, sheath.material, sheath.leather.thickness_spread)
    sheaths = draw(given, seed, samples)
    if known.pull is None:
        return sheaths
    crowd = crowd_of(held, sheath.material, sheaths, known)
    peak = _draws(held, crowd, crowd.sizes)
    seen = weigh(
        peak,
        sheaths.drawn["stiffness.hoop"],
        sheath.material.record("stiffness.hoop"),
        known.pull,
        default("fit.pull_noise"),
    )
    if not seen.agrees:
        return sheaths
    return sheaths.chosen(seen.index).replaced("stiffness.hoop", seen.stiffness)


def _draws(held: Grip, crowd: Crowd, sizes: Sizes) -> Array:
    """Largest pull of each sheath."""
    answer = respond(held, sizes)
    return np.asarray(force(answer.loads(sizes), replace(crowd, sizes=sizes), OUT).max(axis=0))


def _landing(
    held: Grip, material: Material, sheaths: Sheaths, known: Measured, between: tuple[Newton, Newton]
) -> tuple[Share, Hold]:
    crowd = crowd_of(held, material, sheaths, known)
    return _landed(_draws(held, crowd, crowd.sizes), between)


def _landed(draws: Array, between: tuple[Newton, Newton]) -> tuple[Share, Hold]:
    """Share of draws in the wanted hold, and the word of the middle one."""
    inside = (draws >= between[0]) & (draws < between[1])
    return float(inside.mean()), word(float(np.median(draws)))


def _heights(held: Grip) -> list[Mm]:
    """Mouths above the thickest that can be tried: from the thickest up, as far as the handle was read."""
    top = min(default("fit.mouth_highest"), float(held.curve.knots[-1]) - held.thickest)
    count = max(int(np.floor(max(top, 0.0) / HEIGHTS)), 0) + 1
    tried = [HEIGHTS * i for i in range(count)]
    if top - tried[-1] > HEIGHTS / 4:
        tried.append(top)
    return tried


def _by_girth(
    held: Grip, material: Material, sheaths: Sheaths, known: Measured, between: tuple[Newton, Newton]
) -> list[Way]:
    """The best drop of the handle behind the thickest, and the best tightness of the cut."""
    crowd = crowd_of(held, material, sheaths, known)
    girth = float(held.curve(np.array([held.mouth]))[0])
    ways = []
    if held.lip > 0.5:
        deepest = girth * default("fit.tighter_most")

        def dropped(more: Mm) -> Sizes:
            return replace(crowd.sizes, drop=crowd.sizes.drop + more)

        found = _best(held, crowd, dropped, np.linspace(min(0.0, -held.drop), deepest, ROWS), between)
        ways.append(Way("drop", held.drop + found[0], *found))
    stretch = stretch_of(held, sheaths)
    kept = kept_of(sheaths, stretch)

    def tightened(less: Mm) -> Sizes:
        more = kept_of(sheaths, stretch + less / girth) - kept  # a row may turn slack by it, or grip at last
        return replace(crowd.sizes, tight=crowd.sizes.tight + more)

    most = default("fit.tighter_most")
    row = girth * np.r_[np.linspace(-most / 2, 0.0, ROWS), np.linspace(0.0, most, ROWS)[1:]]
    found = _best(held, crowd, tightened, row, between)
    ways.append(Way("tighter", found[0], *found))
    return ways


def _best(
    held: Grip,
    crowd: Crowd,
    changed: Callable[[Mm], Sizes],
    row: Array,
    between: tuple[Newton, Newton],
) -> tuple[Mm, Share, Hold]:
    """The change out of a row whose draws land best: one table over the whole row."""
    ends = [changed(float(row[0])), changed(float(row[-1]))]
    answer = respond(held, ends[0].joined(ends[1]))
    landed = [_landed(force(answer.loads(changed(float(x))), crowd, OUT).max(axis=0), between) for x in row]
    best = int(np.argmax([chance for chance, _ in landed]))
    return float(row[best]), *landed[best]


def _out_of_reach(
    wanted: Hold | tuple[Newton, Newton], ways: list[Way], heights: list[Mm], chance: Share
) -> tuple[Finding, ...]:
    """The wanted hold cannot be had by moving the mouth; what would do it."""
    name = (
        PLAIN.say(f"fit.wanted.{wanted.value}")
        if isinstance(wanted, Hold)
        else PLAIN.say("fit.wanted.newtons")
    )
    others = [way for way in ways if way.kind != "height" and way.chance >= default("fit.lands")]
    where = ("form", "landmarks", "mouth_mm")
    numbers = {"wanted": name, "highest": heights[-1], "few": few(chance)}
    if not others:
        return (finding("FIT-023", where, **numbers),)
    first = others[0]
    if first.kind == "drop":
        return (finding("FIT-020", where, **numbers, drop=first.value),)
    code = "FIT-024" if first.value > 0 else "FIT-025"
    return (finding(code, where, **numbers, cut=abs(first.value)),)


def _not_read(held: Grip, heights: list[Mm]) -> tuple[Finding, ...]:
    highest = default("fit.mouth_highest")
    top = float(held.curve.knots[-1])
    if heights[-1] >= highest - HEIGHTS:
        return ()
    return (finding("FIT-021", ("form", "girths"), top=top, wanted=held.thickest + highest),)
