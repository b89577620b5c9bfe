"""Upper parts built by hand, so that the sheets can be tried on shapes no sample has.

The pieces are not computed from a form: half widths are given as a function of the height, everything else follows
by plain offsets. Only what the sheets draw is filled in with care.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from importlib.resources import files
from math import atan2, pi, radians

import numpy as np
import pytest

from backseam.ground.findings import Finding
from backseam.job import text
from backseam.job.recipe import Worked, work
from backseam.leather.leather import Leather, State, Tight
from backseam.pattern.blank import Blank, BlankPart
from backseam.pattern.construction import (
    Collar,
    CollarKind,
    Construction,
    Flange,
    Hand,
    Hanger,
    HangerKind,
    Stitching,
    Tool,
)
from backseam.pattern.hanger import HangerHole, HangerPlan, Slit
from backseam.pattern.ring import TrialRing
from backseam.pattern.seam import Hole, Seam
from backseam.pattern.strips import CheckStrip
from backseam.pattern.thread import Thread
from backseam.pattern.upper import HandLine, PressLine, StationRow, Stretch, Tick, Upper

Half = Callable[[np.ndarray], np.ndarray]


@dataclass(frozen=True)
class Heading:
    """What the title block asks of a job."""

    title: str = "Cabin knife, rowan handle"
    customer: str = "Ines Halden"
    maker: str = "Lavik Workshop"
    id: str = "LAV-014"
    date: str = "2026-11-20"


@dataclass(frozen=True)
class Inputs:
    leather: Leather
    construction: Construction


@dataclass(frozen=True)
class Made:
    """A stand-in for the result of one job."""

    job: Heading
    inputs: Inputs
    upper: Upper
    seam: Seam
    thread: Thread
    hanger: HangerPlan
    strips: tuple[CheckStrip, ...]
    ring: TrialRing
    blank: Blank
    findings: tuple[Finding, ...] = ()


def _offset(line: np.ndarray, by: float) -> np.ndarray:
    """A line moved outward (to the right of x = 0) along its normals; mouth to bottom."""
    tangent = np.gradient(line, axis=0)
    tangent /= np.linalg.norm(tangent, axis=1)[:, None]
    return line + by * np.column_stack([-tangent[:, 1], tangent[:, 0]])


def _mirror(line: np.ndarray) -> np.ndarray:
    return line * np.array([-1.0, 1.0])


def _holes(line: np.ndarray, c: Construction, four: int, t: float) -> tuple[tuple[Hole, ...], float, float]:
    step = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))]
    length = float(step[-1])
    sewn = length - c.stitching.first - c.stitching.last
    n = max(2, round(sewn / c.stitching.pitch)) + 1
    at = np.linspace(c.stitching.first, length - c.stitching.last, n)
    xs, ys = np.interp(at, step, line[:, 0]), np.interp(at, step, line[:, 1])
    tangent = np.gradient(np.column_stack([xs, ys]), axis=0)
    holes = []
    for i, (x, y) in enumerate(zip(xs, ys, strict=True)):
        up = atan2(-tangent[i, 1], -tangent[i, 0])
        layers = 4 if i < four else 2
        holes.append(Hole(i + 1, x, y, up + radians(c.stitching.slant), layers, layers * t))
    return tuple(holes), length, sewn / (n - 1)


def _other_side(holes: tuple[Hole, ...]) -> tuple[Hole, ...]:
    return tuple(replace(h, x=-h.x, slit=pi - h.slit) for h in holes)


def construction(
    *, folded: bool = True, hanger: HangerKind = HangerKind.THONG, pitch: float = 4.0
) -> Construction:
    """The house's usual way, all figures typed."""
    return Construction(
        seam_inside_radius=1.0,
        collar=Collar(CollarKind.FOLDED if folded else CollarKind.PLAIN, 15.0, 1.0, 19.0, 4.0, 0.5),
        flange=Flange(15.0, 25.0, 5.0),
        stitching=Stitching(pitch, Tool.FORK, 4, 45.0, 2.2, 5.0, 4.0, 0.8, 0.05, 3, 200.0),
        hanger=Hanger(hanger, 5.0, 2.5, 5.0, 3, 8.0, 12.0, 10.0, 40.0, 4.0, 15.0, 30.0, 0.03),
        rough_margin=10.0,
        film=0.03,
        hand=Hand.RIGHT,
        ring_height=20.0,
        ring_holes_a_side=5,
    )


def _stations(height: float, half: Half) -> tuple[StationRow, ...]:
    named = [
        ("bottom edge", 0.0),
        ("", 0.3 * height),
        ("junction", 0.7 * height),
        ("thickest", height - 6),
        ("mouth", height),
    ]
    rows = []
    for i, (name, y) in enumerate(named):
        h = float(half(np.array([y]))[0])
        rows.append(
            StationRow(name, y, 2 * h - 6.5, 2 * h, 2 * h, 2 * h, h - 0.2, h, 0.25, 20.0, 28.0, 2.7, i, 1)
        )
    return tuple(rows)


def _upper(half: Half, height: float, c: Construction, sag: float, grooves: tuple[float, ...]) -> Upper:
    ys = np.linspace(height, 0.0, 61)
    right = np.column_stack([half(ys), ys - sag * (1 - ys / height)])
    glue, trim, edge = (_offset(right, w) for w in (c.flange.glue, c.flange.trimmed, c.flange.clamp))
    fold_y = height
    turn = c.collar.depth if c.collar.folded else 0.0
    across = np.linspace(edge[0, 0], -edge[0, 0], 25)
    fold = np.column_stack([across, np.full(25, fold_y)])
    bottom_x = np.linspace(-right[-1, 0], right[-1, 0], 25)
    bottom = np.column_stack([bottom_x, -sag * (bottom_x / right[-1, 0]) ** 2])
    if turn:
        depth = np.linspace(0.0, turn, 6)[1:]
        side = np.column_stack(
            [np.interp(fold_y - depth, edge[::-1, 1], edge[::-1, 0]) - c.collar.inside, fold_y + depth]
        )
        flap = np.vstack([side, _mirror(side)[::-1]])
        top = flap
        end_x = side[-1, 0]
        flap_end = np.array([(end_x, fold_y - turn), (-end_x, fold_y - turn)])
        skive_y = fold_y + turn - c.collar.skive
        skive = np.array([(edge[3, 0], skive_y), (-edge[3, 0], skive_y)])
    else:
        flap = flap_end = skive = np.zeros((0, 2))
        top = np.zeros((0, 2))
    left_edge = _mirror(edge)
    cut = np.vstack([bottom, edge[::-1], top, left_edge])
    rows = _stations(height, half)
    ticks = tuple(
        Tick(r.name, r.station, (-r.half_width, r.station), (r.half_width, r.station)) for r in rows
    )
    dots = np.array([(r.half_width_hand, r.station) for r in rows[::-1]])
    press = tuple(
        PressLine(
            f"groove {i + 1}",
            y,
            np.array([(-float(half(np.array([y]))[0]), y), (float(half(np.array([y]))[0]), y)]),
        )
        for i, y in enumerate(grooves)
    )
    return Upper(
        cut=cut,
        stitch_left=_mirror(right),
        stitch_right=right,
        trim_left=_mirror(trim),
        trim_right=trim,
        glue_left=_mirror(glue),
        glue_right=glue,
        fold=fold,
        flap=flap,
        flap_end=flap_end,
        skive=skive,
        bottom=bottom,
        height=height,
        turn_in=turn,
        mouth_sag=0.0,
        bottom_sag=-sag,
        press=press,
        ticks=ticks,
        snips=(),
        hand=HandLine(dots, 0.6, 0.7 * height, 0.2, 0.3 * height, 140.0),
        stretch=Stretch(0.04, -0.02, 0.03, 100.0, 60.0, 0.01, -0.01, 6, 1e-4),
        stations=rows,
        findings=(),
    )


def _hanger(half: Half, height: float, c: Construction, turn: float) -> HangerPlan:
    h = c.hanger
    top = height - turn - h.top_below_flap
    at = lambda y: float(half(np.array([y]))[0]) - h.from_stitch  # noqa: E731
    if h.kind is HangerKind.THONG:
        holes = tuple(
            HangerHole(row + 1, side, side * at(top - row * h.rows_apart), top - row * h.rows_apart, h.hole)
            for row in range(h.holes_a_side)
            for side in (-1, 1)
        )
        return HangerPlan(h.kind, holes, (), 110.9, 410.0, h.width, h.thickness, ())
    if h.kind is HangerKind.STRAP:
        slits = tuple(Slit(s, s * at(top), top, s * at(top - 22), top - 22, 3.0) for s in (-1, 1))
        return HangerPlan(h.kind, (), slits, 110.9, 300.0, 20.0, 2.5, ())
    return HangerPlan(h.kind, (), (), 0.0, 0.0, 0.0, 0.0, ())


def _ring(half: Half, station: float, c: Construction) -> TrialRing:
    length = 2 * float(half(np.array([station]))[0])
    ys = np.linspace(c.ring_height - 2, 2.0, c.ring_holes_a_side)
    right = tuple(
        Hole(i + 1, length / 2, float(y), pi / 2 + radians(c.stitching.slant), 2, 4.0)
        for i, y in enumerate(ys)
    )
    width = length + 2 * c.flange.clamp
    return TrialRing(
        "thickest", station, length, c.ring_height, width, _other_side(right), right, length - 6.6, 1.0
    )


def make(
    half: Half,
    height: float = 136.0,
    *,
    folded: bool = True,
    hanger: HangerKind = HangerKind.THONG,
    sag: float = 1.2,
    pitch: float = 4.0,
    grooves: tuple[float, ...] = (77.0, 87.0),
    heading: Heading | None = None,
    tight: Tight = Tight.ALONG,
) -> Made:
    """One stand-in job; `half` gives the stitch line's x at heights y."""
    c = construction(folded=folded, hanger=hanger, pitch=pitch)
    leather = Leather((2.0,), tight, "shoulder", State.DAMP, 0.0, 0.0, 0.5)
    upper = _upper(half, height, c, sag, grooves)
    four = round(c.collar.depth / pitch) if folded else 0
    right, length, real = _holes(upper.stitch_right, c, four, 2.0)
    seam = Seam(
        _other_side(right),
        right,
        real,
        length,
        real * (len(right) - 1),
        5.0,
        4.0,
        45.0,
        4.0,
        0,
        0.0,
        0.39,
        four,
        (),
    )
    strips = tuple(
        CheckStrip(r.name, r.station, r.girth_form + 0.3, 0.1, False, 0.5) for r in upper.stations[::-1]
    )
    box = (float(np.ptp(upper.cut[:, 0])) + 20, float(np.ptp(upper.cut[:, 1])) + 20)
    parts = (
        BlankPart("upper", 0, 0, *box),
        BlankPart("strap", box[0], 0, 10.0, box[1]),
        BlankPart("ring", 0, box[1], 155.0, 20.0),
        BlankPart("scrap", box[0], box[1], 10.0, 20.0),
    )
    blank = Blank(box[0], box[1], box[0] + 10, box[1] + 20, parts, ())
    thread = Thread(1080.0, 640.0, 40.0, 400.0, 560.0, 0.8, 0.8, 2.0, 2.4, 0)
    return Made(
        heading or Heading(),
        Inputs(leather, c),
        upper,
        seam,
        thread,
        _hanger(half, height, c, upper.turn_in),
        strips,
        _ring(half, height - 6, c),
        blank,
    )


def barrel(y: np.ndarray) -> np.ndarray:
    """Half widths of a handle that swells below the mouth."""
    return np.interp(y, [0, 40, 95, 130, 136], [41.1, 44.0, 47.8, 51.1, 50.8]) + 0.0 * y


def tube(y: np.ndarray) -> np.ndarray:
    """A plain tube of 40: stitch line at 66.2 each side."""
    return 66.2 + 0.0 * y


def slim(y: np.ndarray) -> np.ndarray:
    """A slim taper, 26 to 31 half wide."""
    return 26.0 + 5.0 * y / 110.0


def needle(y: np.ndarray) -> np.ndarray:
    """Narrower than any handle: no words go on its wall."""
    return 7.0 + 0.0 * y


def long(y: np.ndarray) -> np.ndarray:
    """A long upper for an arm-long blade."""
    return 44.0 + 8.0 * y / 320.0


SAMPLES = ("barrel", "bent-inside", "sideways", "slim", "stout", "tube")


@pytest.fixture(scope="session")
def samples() -> dict[str, Worked]:
    """The sample jobs, worked through."""
    folder = files("backseam.samples")
    return {name: work(text.loads(folder.joinpath(f"{name}.json").read_bytes())) for name in SAMPLES}


@pytest.fixture(scope="session")
def shapes() -> dict[str, Made]:
    """Every shape the sheets are tried on, by name."""
    return {
        "barrel": make(barrel),
        "tube": make(tube, 120.0, sag=0.0),
        "slim": make(slim, 110.0, folded=False, grooves=(66.0,), sag=0.4),
        "strap": make(barrel, hanger=HangerKind.STRAP),
        "bare": make(barrel, hanger=HangerKind.NONE, grooves=(), tight=Tight.UNKNOWN),
        "long": make(long, 320.0, grooves=(220.0, 232.0), sag=2.0),
        "needle": make(needle, 90.0, folded=False, grooves=(), hanger=HangerKind.NONE, sag=0.0),
        "fine": make(barrel, pitch=3.0),
    }
