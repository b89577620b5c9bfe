"""What a worked job says of the finished sheath: how it will hold, and when it is ready.

Both stand beside the recipe, not in it: a forecast never changes a paper that is cut from.
"""

from __future__ import annotations

from dataclasses import replace

from backseam.fit import forecast
from backseam.fit.hold import Fit, Hold
from backseam.fit.inverse import Aim, aim
from backseam.fit.tested import Measured
from backseam.ground.progress import SILENT, Progress
from backseam.ground.units import Gram, Mm, Newton
from backseam.job.account import measured_of
from backseam.job.recipe import Worked
from backseam.leather.material import Material, material
from backseam.leather.records import Hide
from backseam.leather.wet import Room
from backseam.making.clock import Clock, clock, work_minutes
from backseam.making.weighing import Weighing


def leather_of(worked: Worked, hide: Hide | None = None) -> Material:
    """The records of the job's leather: its part of the hide and its thickness, and what is known of the hide.

    hide: what to know instead of what the job says its leather card does.
    """
    leather = worked.inputs.leather
    return material(leather.part, leather.thickness, worked.inputs.hide if hide is None else hide)


def hold(
    worked: Worked,
    *,
    hide: Hide | None = None,
    tested: Measured | None = None,
    seed: int = 0,
    progress: Progress = SILENT,
) -> Fit:
    """Hold, draw and click as bands. Same job and seed, same forecast. Raises Stopped only.

    hide: what to know of the leather instead of what the job says its card does. tested: what was
    measured of this sheath, as the job says unless given.
    """
    return forecast.forecast(
        worked.form,
        worked.layout,
        worked.inputs.leather,
        worked.inputs.construction,
        leather_of(worked, hide),
        tested=tested_of(worked) if tested is None else tested,
        knife=worked.job.knife.weight_g,
        seed=seed,
        progress=progress,
    )


def tested_of(worked: Worked) -> Measured:
    """What the job says was measured of this sheath; until it is finished, the girth of its trial ring."""
    known, ring = measured_of(worked.job), worked.job.made.ring
    if known.finished_girth is None and ring.inside_mm is not None:
        return replace(known, finished_girth=ring.inside_mm, station=worked.ring.station)
    return known


def towards(
    worked: Worked,
    wanted: Hold | tuple[Newton, Newton],
    *,
    tested: Measured | None = None,
    seed: int = 0,
    progress: Progress = SILENT,
) -> Aim:
    """What to change for a wanted hold: a word, or between two pulls, N. Raises Stopped only."""
    return aim(
        worked.form,
        worked.layout,
        worked.inputs.leather,
        worked.inputs.construction,
        leather_of(worked),
        wanted,
        tested=tested_of(worked) if tested is None else tested,
        seed=seed,
        progress=progress,
    )


def timetable(
    worked: Worked,
    room: Room | None = None,
    *,
    weighings: tuple[Weighing, ...] = (),
    piece: Gram | None = None,
    form: Gram | None = None,
) -> Clock:
    """From soak to wax for this leather, collar and number of stitches, in that room (20 degrees C, 50 %).

    weighings: of the whole while it dries, and the rest follows from them; piece, form: before the soak, g.
    Raises InputRefused for a room in which nothing can be reckoned, or a weight that is none.
    """
    return clock(
        leather_of(worked),
        room,
        work_minutes(worked.seam.count - 1),
        flap=_flap(worked),
        weighings=weighings,
        piece=piece,
        form=form,
    )


def _flap(worked: Worked) -> Mm:
    collar = worked.inputs.construction.collar
    return collar.flap if collar.folded else 0.0
