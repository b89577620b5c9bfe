"""What of one job bears on what can go wrong with its sheath: plain numbers, gathered once."""

from __future__ import annotations

from dataclasses import dataclass

from backseam.ground.units import Degree, Mm, Share, Strain


@dataclass(frozen=True)
class Odds:
    """What a forecast of the hold says: of all sheaths that fit the readings, the share that would lose the knife, draw
    too hard, click home.
    """

    loses: Share
    slips: Share
    clicks: Share


@dataclass(frozen=True)
class Balance:
    """How it hangs. margin: hanger holes above the centre of gravity; steady: upright by itself above 1; offset: of the
    centre of gravity beside the middle; lean: with a sliding thong; off_lean: for `off` more beside the middle.
    """

    margin: Mm
    steady: float
    offset: Mm
    lean: Degree
    off: Mm
    off_lean: Degree


@dataclass(frozen=True)
class Facts:
    """Of the form: girth and lip (mouth above the thickest), drop (girth at the thickest less that at the mouth), swell
    (largest girth less that at the mouth), width and depth at the mouth, kind of its section there, bend (degrees) and
    way (`seam_inside`, `seam_outside`, `sideways`). Of the readings: how many there are and for how many the instrument
    was guessed; mouth_read: bare, folded_piece or None; flap_step: what a flap that slides free adds.
    Of the leather: thickness and its readings' range (count of them), part, allowance across.
    Of the piece: stretch and squeeze (positive) with their heights, sag of the mouth, drop of a free mouth.
    Of the seam: count, pitch, perforation, tool, placings, eased strikes and by how much, trimmed flange and its least,
    thread, awl, four layers and their thickness. Of the collar: folded, flap, strain of the fold, and fold_crack: the
    stretch at which the grain of this hide's fold cracks, None as the house has it.
    Lengths mm; odds, balance: None where they were not reckoned or there is nothing to hang it by.
    """

    girth: Mm
    lip: Mm
    drop: Mm
    swell: Mm
    width: Mm
    depth: Mm
    kind: str
    bend: Degree
    way: str
    readings: int
    guessed: int
    mouth_read: str | None
    flap_step: Mm
    film: Mm
    thickness: Mm
    thinnest: Mm
    thickest_leather: Mm
    thickness_read: int
    part: str
    allowance: Share
    stretch: Strain
    stretch_at: Mm
    squeeze: Strain
    squeeze_at: Mm
    sag: Mm
    mouth_drop: Mm
    count: int
    pitch: Mm
    perforation: Share
    tool: str
    placings: int
    eased: int
    eased_by: Mm
    trimmed: Mm
    edge_least: Mm
    thread: Mm
    awl: Mm
    four_layers: int
    four_thick: Mm
    folded: bool
    flap: Mm
    collar_depth: Mm
    fold_strain: Strain
    liner_wood: str | None
    hanger: str
    creep: Share
    odds: Odds | None = None
    balance: Balance | None = None
    fold_crack: Strain | None = None
