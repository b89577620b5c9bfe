"""What the numbers of a job say for or against a cause, each under the name that `diagnosis.toml` calls it by.

A function answers with a factor on how common the cause is (above 1 speaks for it) and with the number itself, as the
words `diagnosis.because.<key>` need it. None: this job says nothing about it. The factor is always the same, or its
inverse: how much a number weighs is not known better.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from math import pi
from types import MappingProxyType
from typing import Any

from backseam.ground.sources import default
from backseam.making.facts import Facts

TWENTY = 20
ANY = 0.0005  # share: an allowance that is one


@dataclass(frozen=True)
class Speaks:
    """factor: on how common the cause is; key: of its words under `because`; numbers for them."""

    factor: float
    key: str
    numbers: Mapping[str, Any] = field(default_factory=dict)


Speaker = Callable[[Facts], "Speaks | None"]


def _either(yes: bool, keys: tuple[str, str], **numbers: Any) -> Speaks:
    """For the cause under the first key if so, against it under the second."""
    factor = default("diagnosis.speaks")
    return Speaks(factor if yes else 1 / factor, keys[0] if yes else keys[1], numbers)


def _for(yes: bool, key: str, **numbers: Any) -> Speaks | None:
    """Only ever for the cause."""
    return Speaks(default("diagnosis.speaks"), key, numbers) if yes else None


def _few(share: float) -> int:
    return min(max(round(TWENTY * share), 1), TWENTY)


# --- fit -----------------------------------------------------------------------------------------------------------


def allowance(f: Facts) -> Speaks | None:
    """Cut wider on purpose."""
    if f.allowance < 0:
        return None
    mm = f.allowance * f.girth
    return _either(f.allowance > ANY, ("allowance_wide", "allowance_none"), by=f.allowance, mm=mm)


def allowance_less(f: Facts) -> Speaks | None:
    """Cut narrower on purpose."""
    mm = -f.allowance * f.girth
    return _either(f.allowance < -ANY, ("allowance_narrow", "allowance_none"), by=-f.allowance, mm=mm)


def behind(f: Facts) -> Speaks | None:
    """Is there a step to press the leather in behind?"""
    return _either(f.drop >= default("diagnosis.step_felt"), ("behind_step", "behind_none"), drop=f.drop)


def film(f: Facts) -> Speaks | None:
    """Film as it was put down."""
    girth = 2 * pi * f.film
    yes = girth > default("diagnosis.film_felt")
    return _either(yes, ("film_thick", "film_thin"), film=f.film, girth=girth)


def soft(f: Facts) -> Speaks | None:
    """Loose or firm part of the hide."""
    if f.part not in ("belly", "bend"):
        return None
    return _either(f.part == "belly", ("soft_belly", "soft_bend"))


def lip(f: Facts) -> Speaks | None:
    """Does the mouth reach past the thickest?"""
    return _either(f.lip < default("diagnosis.lip_least"), ("lip_low", "lip_high"), lip=f.lip)


def rim(f: Facts) -> Speaks | None:
    """Plain or folded mouth."""
    wall = f.thickness + (f.flap if f.folded else 0.0)
    return _either(not f.folded, ("rim_plain", "rim_folded"), wall=wall)


def loses(f: Facts) -> Speaks | None:
    """How often such a sheath would lose the knife."""
    if f.odds is None:
        return None
    share = f.odds.loses
    return _either(share > default("diagnosis.often"), ("loses", "loses_few"), few=_few(share))


def slips(f: Facts) -> Speaks | None:
    """How often such a sheath draws too hard."""
    if f.odds is None:
        return None
    share = f.odds.slips
    return _either(share > default("diagnosis.often"), ("slips", "slips_few"), few=_few(share))


def clicks(f: Facts) -> Speaks | None:
    """How seldom such a sheath clicks."""
    if f.odds is None:
        return None
    share = f.odds.clicks
    key = "clicks_few" if share < default("diagnosis.often") else "clicks"
    return _either(share < default("fit.click_share"), (key, key), few=_few(share))


def swell(f: Facts) -> Speaks | None:
    """Has the handle a swell?"""
    return _either(f.swell < default("diagnosis.step_felt"), ("no_swell", "swell"), drop=f.swell)


def instrument(f: Facts) -> Speaks | None:
    """Readings without their instrument."""
    return _either(f.guessed > 0, ("instrument_guessed", "instrument_noted"), count=f.guessed)


def mouth_read(f: Facts) -> Speaks | None:
    """Mouth read bare or with the folded piece."""
    if not f.folded:
        return None
    return _either(f.mouth_read != "folded_piece", ("mouth_bare", "mouth_piece"), step=f.flap_step)


def thickness(f: Facts) -> Speaks | None:
    """Even leather or not; a girth takes pi times the thickness."""
    spread = (f.thickest_leather - f.thinnest) / 2
    if f.thickness_read < 2:
        return Speaks(1.0, "thickness_one")
    numbers = {"low": f.thinnest, "high": f.thickest_leather, "mm": pi * 2 * spread}
    return _either(spread >= default("diagnosis.uneven"), ("thickness_wide", "thickness_even"), **numbers)


# --- liner ---------------------------------------------------------------------------------------------------------

_MOVES = ("oak", "oak_white", "beech", "beech_american")
_ACID = ("oak", "oak_white")


def wood_moves(f: Facts) -> Speaks | None:
    """A liner of a wood that swells much."""
    return _for(f.liner_wood in _MOVES, "wood_tight", wood=_wood(f))


def acid_wood(f: Facts) -> Speaks | None:
    """A liner of a wood that gives off acid."""
    if f.liner_wood is None:
        return None
    return _either(f.liner_wood in _ACID, ("acid_wood", "mild_wood"), wood=_wood(f))


def _wood(f: Facts) -> str:
    return (f.liner_wood or "").partition("_")[0]


# --- piece and seam ------------------------------------------------------------------------------------------------


def edge(f: Facts) -> Speaks | None:
    """Holes near the trimmed edge."""
    numbers = {"edge": f.trimmed, "thickness": f.thickness, "least": f.edge_least}
    return _either(f.trimmed < f.edge_least, ("edge_near", "edge_far"), **numbers)


def squeeze(f: Facts) -> Speaks | None:
    """Leather that must gather, by the flattening."""
    limit = -default("leather.wrinkle")
    numbers = {"squeeze": f.squeeze, "at": f.squeeze_at, "limit": limit}
    return _either(f.squeeze > limit / 2, ("squeeze_much", "squeeze_little"), **numbers)


def bend(f: Facts) -> Speaks | None:
    """A bent form."""
    way = f.way.replace("_", " ")
    return _either(f.bend > default("diagnosis.bend_felt"), ("bend_much", "bend_none"), bend=f.bend, way=way)


def sideways(f: Facts) -> Speaks | None:
    """A form bent sideways."""
    yes = f.way == "sideways" and f.bend > default("diagnosis.bend_felt")
    return _either(yes, ("sideways", "bend_none"), bend=f.bend) if yes or f.bend < 1 else None


def belly(f: Facts) -> Speaks | None:
    """Belly leather."""
    return _either(f.part == "belly", ("belly", "not_belly"), part=f.part)


def bend_leather(f: Facts) -> Speaks | None:
    """Leather from the bend."""
    return _either(f.part == "bend", ("bend_leather", "not_belly"), part=f.part)


def rounded(f: Facts) -> Speaks | None:
    """A form that turns in the hand."""
    share = min(f.width, f.depth) / max(f.width, f.depth)
    yes = share > default("diagnosis.nearly_round")
    return _either(yes, ("round", "not_round"), width=f.width, depth=f.depth)


def tool(f: Facts) -> Speaks | None:
    """Marked with a tool, or pricked from the pattern."""
    return _either(f.tool != "free", ("tool_wheel", "tool_free"), tool=f.tool)


def easing(f: Facts) -> Speaks | None:
    """Strikes that had to be eased."""
    if f.tool == "free":
        return None
    return _either(f.eased > 0, ("easing", "easing_none"), eased=f.eased, by=abs(f.eased_by))


def many(f: Facts) -> Speaks | None:
    """Many placings of the tool."""
    yes = f.placings >= default("diagnosis.placings")
    return _for(yes, "many", count=f.count, placings=f.placings)


def pitch_wide(f: Facts) -> Speaks | None:
    """Wide stitches."""
    return _either(f.pitch > default("diagnosis.pitch_slack"), ("pitch_wide", "pitch_close"), pitch=f.pitch)


def stretch(f: Facts) -> Speaks | None:
    """Leather that must stretch, by the flattening."""
    yes = f.stretch > default("diagnosis.stretched")
    return _either(yes, ("stretch_much", "stretch_little"), stretch=f.stretch, at=f.stretch_at)


def perforation(f: Facts) -> Speaks | None:
    """Slits too close."""
    limit = default("holes.perforation")
    yes = f.perforation > limit
    return _either(yes, ("perforation_high", "perforation_low"), share=f.perforation, limit=limit)


def thread(f: Facts) -> Speaks | None:
    """Thread thin for the pitch."""
    limit, share = default("holes.thread_least"), f.thread / f.pitch
    return _either(share < limit, ("thread_thin", "thread_fine"), share=share, limit=limit)


def awl(f: Facts) -> Speaks | None:
    """An awl wide for its thread cuts the other one."""
    yes = f.awl > default("thread.awl_share_high") * f.thread + 1e-9
    return _for(yes, "awl_wide", awl=f.awl, thread=f.thread)


def glue_band(f: Facts) -> Speaks | None:
    """Little flange left."""
    return _for(f.trimmed < default("seam.trimmed"), "glue_band", trimmed=f.trimmed)


# --- collar --------------------------------------------------------------------------------------------------------


def flap(f: Facts) -> Speaks | None:
    """A flap too thin for stitches."""
    if not f.folded:
        return Speaks(0.0, "rim_plain", {"wall": f.thickness})
    least = default("collar.flap_least")
    return _either(f.flap < least - 1e-9, ("flap_thin", "flap_enough"), flap=f.flap, least=least)


def fold(f: Facts) -> Speaks | None:
    """Strain of the grain in the fold, against what this hide bears."""
    if not f.folded:
        return None
    limit = default("leather.fold_crack") if f.fold_crack is None else f.fold_crack
    return _either(f.fold_strain > limit, ("fold_sharp", "fold_soft"), strain=f.fold_strain, limit=limit)


def flap_thick(f: Facts) -> Speaks | None:
    """A flap too thick to follow the handle."""
    if not f.folded:
        return Speaks(0.0, "rim_plain", {"wall": f.thickness})
    yes = f.flap > default("diagnosis.flap_follows") + 1e-9
    return _either(yes, ("flap_thick", "flap_fine"), flap=f.flap)


def flats(f: Facts) -> Speaks | None:
    """Flats at the mouth."""
    return _either(f.kind in ("octagon", "polygon"), ("flats", "no_flats"), kind=f.kind)


def rim_thick(f: Facts) -> Speaks | None:
    """Four layers at the mouth."""
    return _for(f.four_layers > 0, "rim_thick", count=f.four_layers, sewn=f.four_thick)


def sag(f: Facts) -> Speaks | None:
    """A mouth that wants a curve."""
    return _either(abs(f.sag) > default("diagnosis.sag_seen"), ("sag_much", "sag_little"), sag=abs(f.sag))


def drop_of_mouth(f: Facts) -> Speaks | None:
    """A high free mouth drops in drying."""
    return _for(f.mouth_drop > default("diagnosis.drop_seen"), "drop_of_mouth", drop=f.mouth_drop)


def thick_slow(f: Facts) -> Speaks | None:
    """Thick leather dries slowly."""
    yes = f.thickness >= default("diagnosis.dries_slowly")
    return _for(yes, "thick_slow", thickness=f.thickness)


# --- hanging -------------------------------------------------------------------------------------------------------


def margin(f: Facts) -> Speaks | None:
    """Weight below the holes?"""
    if f.balance is None:
        return None
    least = default("hang.margin")
    yes = f.balance.margin < least
    return _either(yes, ("margin_low", "margin_high"), margin=f.balance.margin, least=least)


def steady(f: Facts) -> Speaks | None:
    """Would a sliding thong tip it?"""
    if f.balance is None:
        return None
    numbers = {"off": f.balance.off, "lean": f.balance.off_lean}
    return _either(f.balance.steady < default("hang.steady"), ("steady_low", "steady_high"), **numbers)


def lean(f: Facts) -> Speaks | None:
    """Weight beside the middle?"""
    if f.balance is None:
        return None
    numbers = {"offset": abs(f.balance.offset), "lean": f.balance.lean}
    yes = abs(f.balance.offset) > default("hang.off_centre")
    return _either(yes, ("lean_much", "lean_none"), **numbers)


def strap(f: Facts) -> Speaks | None:
    """What was taken for creep."""
    if f.hanger == "none":
        return None
    return Speaks(1.0, "strap_thong", {"kind": f.hanger, "creep": f.creep})


SPEAKERS: Mapping[str, Speaker] = MappingProxyType(
    {
        one.__name__: one
        for one in (
            allowance,
            allowance_less,
            behind,
            film,
            soft,
            lip,
            rim,
            loses,
            slips,
            clicks,
            swell,
            instrument,
            mouth_read,
            thickness,
            wood_moves,
            acid_wood,
            edge,
            squeeze,
            bend,
            sideways,
            belly,
            bend_leather,
            rounded,
            tool,
            easing,
            many,
            pitch_wide,
            stretch,
            perforation,
            thread,
            awl,
            glue_band,
            flap,
            fold,
            flap_thick,
            flats,
            rim_thick,
            sag,
            drop_of_mouth,
            thick_slow,
            margin,
            steady,
            lean,
            strap,
        )
    }
)
