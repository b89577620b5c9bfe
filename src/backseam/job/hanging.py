"""How the sheath of a worked job hangs, with what its document says of the knife."""

from __future__ import annotations

from backseam.fit.hang import Hang, hang
from backseam.fit.masses import Knife
from backseam.job.document import Job
from backseam.job.forecast import leather_of
from backseam.job.recipe import Worked


def knife_of(job: Job) -> Knife:
    """What the document says of the knife's weight and size."""
    part = job.knife
    return Knife(
        weight=part.weight_g,
        balance=part.balance_mm,
        blade_length=part.blade_length_mm,
        blade_width=part.blade_width_mm,
        blade_thickness=part.blade_thickness_mm,
        handle_length=part.handle_length_mm,
        handle_wood=part.handle_wood,
        liner_wood=part.liner_wood,
        liner=part.liner_g,
        upper=part.upper_g,
        hanger=part.hanger_g,
    )


def hanging(worked: Worked) -> Hang:
    """Weights, balance, lean and swing."""
    return hang(
        worked.form,
        worked.inputs.construction,
        worked.hanger,
        leather_of(worked),
        knife_of(worked.job),
    )
