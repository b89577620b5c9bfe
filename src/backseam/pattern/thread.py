"""Thread: the path of two threads through the seam, layer by layer, with locking stitches and tails.

Saddle stitch, type 201: both threads go through every hole, one span of each stitch on either face.
Source: iso-4915.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil, pi, sqrt
from typing import Literal

import numpy as np

from backseam.ground.findings import Finding, finding
from backseam.ground.sources import default, values
from backseam.ground.units import Mm, Share
from backseam.pattern.construction import Stitching
from backseam.pattern.seam import Seam

VERSION = 1

Tex = float  # g per 1000 m
Lea = float  # lengths of 300 yards to the pound
GramPerCm3 = float

TEX_OF_LEA: Tex = 453.59237 / (300 * 0.9144) * 1000  # one lea: 300 yards to the pound; 1653.5 g per 1000 m


@dataclass(frozen=True)
class Thread:
    """length: to cut, mm, tails included; path: on both faces and through the holes, slack included; locking:
    of the locking stitches; tails: all; rule_of_thumb: four times the seam; needle: shank at most; awl_low,
    awl_high: width that goes with the thread; joins: how many times a new thread begins because one longer
    than an arm-span is not worked; round_hole: of a round awl, in damp leather.
    """

    length: Mm
    path: Mm
    locking: Mm
    tails: Mm
    rule_of_thumb: Mm
    diameter: Mm
    needle: Mm
    awl_low: Mm
    awl_high: Mm
    joins: int
    round_hole: Mm = 0.0
    findings: tuple[Finding, ...] = ()


def measure(seam: Seam, stitching: Stitching, *, locked_at: Literal["bottom", "mouth"] = "bottom") -> Thread:
    """Thread for the whole seam, stitch by stitch.

    A stitch of pitch p through thickness T takes 2 (p + T): one span on each face and two passes. T between
    two holes is the mean of what is sewn at both. The whole path is taken with `slack` more. The thread is
    locked by `locking` stitches sewn back over the end it is finished at, 2 (p + T) each, and leaves two
    tails:

        length = sum 2 (p + T) x (1 + slack) + 2 b (p + T_end) + 2 tail

    A thread longer than an arm-span is not worked in one: each join costs `thread.overlap` stitches more
    and two tails. Source: derived (path of two threads); trusted for T up to a few pitches. Tested: five
    worked seams; 4 mm pitch through 4 mm is four times the seam.
    """
    sewn = np.array([hole.sewn for hole in seam.right])
    stitches = 2 * (seam.pitch + (sewn[:-1] + sewn[1:]) / 2)
    path = float(stitches.sum()) * (1 + stitching.slack)
    end = float(sewn[-1] if locked_at == "bottom" else sewn[0])
    locking = 2 * stitching.locking * (seam.pitch + end)
    tails = 2 * stitching.tail
    again = default("thread.overlap") * float(stitches.max())
    joins = _joins(path + locking + tails, again + tails)
    needle = default("thread.needle_share") * stitching.thread
    found = Thread(
        length=path + locking + tails + joins * (again + tails),
        path=path,
        locking=locking + joins * again,
        tails=tails * (1 + joins),
        rule_of_thumb=4 * seam.sewn_length,
        diameter=stitching.thread,
        needle=needle,
        awl_low=default("thread.awl_share_low") * stitching.thread,
        awl_high=default("thread.awl_share_high") * stitching.thread,
        joins=joins,
        round_hole=default("thread.round_hole_share") * stitching.thread,
    )
    return _checked(found, stitching)


def _joins(length: Mm, more: Mm) -> int:
    """Least number of joins that keeps every piece within an arm-span, each join adding `more`."""
    span = default("thread.arm_span")
    return max(0, ceil((length - span) / (span - more))) if span > more else 0


def _checked(thread: Thread, stitching: Stitching) -> Thread:
    found = []
    awl = {"thread": thread.diameter, "awl": stitching.awl, "low": thread.awl_low, "high": thread.awl_high}
    if stitching.awl < thread.awl_low - 1e-9:
        found.append(finding("THREAD-001", ("construction", "awl_mm"), **awl))
    if stitching.awl > thread.awl_high + 1e-9:
        found.append(finding("THREAD-002", ("construction", "awl_mm"), **awl))
    if thread.joins:
        found.append(
            finding(
                "THREAD-003",
                ("construction", "thread_mm"),
                length=thread.length,
                span=default("thread.arm_span"),
                pieces=thread.joins + 1,
                piece=thread.length / (thread.joins + 1),
                overlap=round(default("thread.overlap")),
            )
        )
    tail = values()["thread.tail"]
    if stitching.tail < tail.low:
        found.append(
            finding("THREAD-004", ("construction", "thread_tail_mm"), tail=stitching.tail, least=tail.low)
        )
    locking = values()["thread.locking"]
    if stitching.locking < locking.low:
        found.append(
            finding(
                "THREAD-005",
                ("construction", "locking_stitches"),
                locking=stitching.locking,
                least=round(locking.low),
            )
        )
    return replace(thread, findings=tuple(found))


def linen_tex(lea: Lea, plies: int) -> Tex:
    """Weight of a linen thread sold as lea/plies (18/3): plies / lea x 1653.5 g per 1000 m.

    A lea count says how many lengths of 300 yards a pound of one ply holds. Source: inch-1959 (pound
    and yard), definition of the lea. Tested: table of linen sizes.

    >>> round(linen_tex(18, 3))                                    # 1653.5 x 3 / 18
    276
    """
    return TEX_OF_LEA * plies / lea


def thread_diameter(tex: Tex, density: GramPerCm3, packing: Share) -> Mm:
    """Diameter of a round thread: sqrt(4/pi x tex / (1000 density packing)).

    The cross-section of the fibre is tex / (1000 density) mm2; `packing` is its share of the thread's round
    outline: 0.70-0.75 tight bonded, 0.35-0.60 twisted waxed linen. density: flax 1.50, polyester 1.38,
    nylon 1.14. Source: derived (weight of a cylinder). Tested: tables of linen and bonded threads.

    >>> round(thread_diameter(276.0, 1.50, 0.60), 2)               # sqrt(1.2732 x 276 / 900)
    0.62
    """
    return sqrt(4 / pi * tex / (1000 * density * packing))
