"""What rescue, hang, drying, match and diagnosis say, as plain values: one piece for both doors, JSON and API."""

from __future__ import annotations

from collections.abc import Iterable
from math import degrees, isfinite
from typing import Any

from backseam.fit.hang import Hang, Loop
from backseam.fit.hold import Fit
from backseam.ground.sources import default
from backseam.ground.speech import PLAIN, Speech
from backseam.job.findings_json import findings_told
from backseam.job.match import Match, Matches, NotRead
from backseam.job.rescue import Grip, Rescue
from backseam.job.ways import Act
from backseam.making.clock import Clock
from backseam.making.diagnosis import Diagnosis, degree, told, withdrawn
from backseam.making.diagnosis import Match as Found
from backseam.making.weighing import Drying


def rescue_told(found: Rescue, speech: Speech) -> dict[str, Any]:
    """What is out of its gate, and each way on, best first."""
    return {
        "stage": found.stage.value,
        "good": found.good,
        "new_is_cheaper": found.new_is_cheaper,
        "rows": [
            {
                "name": row.name,
                "height_mm": round(row.height, 2),
                "wanted_mm": round(row.wanted, 2),
                "off_mm": round(row.off, 2),
            }
            for row in found.rows
        ],
        **{name: grip_told(getattr(found, name)) for name in ("planned", "now")},
        "ways": [
            {
                "acts": [{"key": act.key, "said": said(act, speech)} for act in way.acts],
                "minutes": round(way.minutes, 1),
                "leather_dm2": round(way.area, 2),
                "worst_mm": round(way.worst, 2),
                "finished_girth_mm": None if way.girth is None else round(way.girth, 2),
                "mouth_mm": round(way.mouth, 1),
                "old_holes_seen": way.seen,
                "new_piece": way.new,
                "hold": grip_told(way.grip),
                "score": round(way.score, 1),
            }
            for way in found.ways
        ],
        "findings": findings_told(found.findings, speech),
    }


def said(act: Act, speech: Speech) -> str:
    """One act of a rescue as a sentence."""
    numbers = dict(act.numbers)
    if "side" in numbers:
        numbers["side"] = speech.say(f"rescue.side.{numbers['side']}")
    if "area" in numbers:
        numbers["area"] = f"{numbers['area']:.1f}"
    return speech.say(f"rescue.act.{act.key}", **numbers)


def grip_told(grip: Grip) -> dict[str, Any] | None:
    """Hold against the planned one; None where none can be reckoned."""
    if not grip.reckoned:
        return None
    return {
        "draw": grip.draw.value,
        "against_planned": round(grip.against, 3),
        "loses": round(grip.loses, 4),
        "slips": round(grip.slips, 4),
    }


def hang_told(found: Hang, lines: Iterable[str], speech: Speech) -> dict[str, Any]:
    """Weight, balance, lean; lines: the same in words."""
    return {
        "mass_g": round(found.mass, 1),
        "empty_g": round(found.empty, 1),
        "centre_mm": [round(x, 1) for x in (found.height_low, found.height, found.height_high)],
        "parts_g": {part.name: round(part.mass, 1) for part in found.parts},
        "unknown": {one.name: round(one.moves, 1) for one in found.unknown},
        "hanging": None if found.loop is None else _loop(found.loop),
        "said": list(lines),
        "findings": findings_told(found.findings, speech),
    }


def _loop(loop: Loop) -> dict[str, Any]:
    angles = ("gripped", "sliding", "off_gripped", "off_sliding", "away")
    lengths = ("height", "apart", "peg", "margin", "margin_low", "margin_high", "empty", "offset")
    return {
        "stands": loop.stands.value,
        **{f"{name}_mm": round(getattr(loop, name), 1) for name in lengths},
        **{f"{name}_deg": round(degrees(getattr(loop, name)), 2) for name in angles},
        "steady": round(loop.steady, 2) if isfinite(loop.steady) else None,
        "period_s": round(loop.period, 2) if isfinite(loop.period) else None,
    }


def dry_told(times: Clock, speech: Speech) -> dict[str, Any]:
    """When to mould, clamp, draw and wax, minutes after the soak began (null: not in sight); what the scale says."""
    every = (*times.moments, *times.windows)
    return {
        "minutes": {one.name: [_minutes(v) for v in (one.low, one.likely, one.high)] for one in every},
        "drying": None if times.drying is None else _drying(times.drying),
        "findings": findings_told(times.findings, speech),
    }


def _minutes(value: float) -> float | None:
    return round(value, 1) if isfinite(value) else None


def _drying(told: Drying) -> dict[str, Any]:
    return {
        "pace": [round(v, 3) for v in told.pace],
        "per_hour": [round(v, 4) for v in told.per_hour],
        "dry_g": [round(v, 1) for v in told.dry],
        "left_g": [round(v, 1) for v in told.left],
        "said": learnt(told),
    }


def learnt(told: Drying) -> str:
    """What the weights say, in a sentence."""
    dry, left, pace = (
        PLAIN.fill("{v:f0}", {"v": v}) for v in (told.dry[1], told.left[1], 100 * told.pace[1])
    )
    return PLAIN.say("cli.dry.learnt", dry=dry, left=left, pace=pace)


def diagnosis_told(found: Diagnosis, matches: tuple[Found, ...], speech: Speech) -> dict[str, Any]:
    """Causes of a symptom, likeliest first."""
    return {
        "symptom": found.symptom.id,
        "severity": found.symptom.harm.value,
        "name": found.symptom.name(speech),
        "withdraw": withdrawn(found.symptom, speech) or None,
        "for_this_job": found.facts is not None,
        "causes": [
            {
                "id": cause.id,
                "share": round(cause.share, 3),
                "likelihood": degree(cause.share),
                **told(cause, found, speech),
            }
            for cause in found.causes
        ],
        "also": [one.symptom for one in matches[1:]],
    }


def match_told(found: Matches, unread: tuple[NotRead, ...], speech: Speech) -> dict[str, Any]:
    """Stored uppers held against a knife, best first."""
    return {
        "knife": [{"height_mm": one.height, "girth_mm": one.girth} for one in found.knife.straps],
        "fits": found.fits,
        "matches": [_match(one, speech) for one in found.matches],
        "not_read": [{"name": one.name, "why": one.why} for one in (*unread, *found.not_read)],
        "findings": findings_told(found.findings, speech),
    }


def reasons(one: Match, speech: Speech) -> tuple[str, ...]:
    """What stands against an upper, each in a sentence."""
    low, high = one.ratio
    numbers = {"by": one.moves, "most": default("match.move_most"), "low": low, "high": high}
    return tuple(speech.say(f"match.why.{key}", **numbers) for key in one.why)


def _match(one: Match, speech: Speech) -> dict[str, Any]:
    said_of = zip(one.why, reasons(one, speech), strict=True)
    return {
        "name": one.name,
        "title": one.title,
        "verdict": one.verdict.value,
        "why": [{"key": key, "said": said} for key, said in said_of],
        "worst_mm": round(one.worst, 2),
        "doubt_mm": round(one.doubt, 2),
        "holes": {"was": one.holes[0], "now": one.holes[1]} if one.holes else None,
        "rows": [
            {
                "name": row.name,
                "height_mm": round(row.height, 2),
                "half_width_mm": round(row.half, 2),
                "move_mm": round(row.by, 2),
                "doubt_mm": round(row.doubt, 2),
                "off_mm": round(row.off, 2),
                "read": row.read,
            }
            for row in one.rows
        ],
        "hold": {name: _fit(getattr(one, name)) for name in ("planned", "as_it_is", "moved")},
        "findings": findings_told(one.findings, speech),
    }


def _fit(fit: Fit | None) -> dict[str, Any] | None:
    if fit is None:
        return None
    words = dict(zip(("low", "middle", "high"), (word.value for word in fit.draw.words), strict=True))
    return {"draw": words, "loses": round(fit.loses, 4), "slips": round(fit.slips, 4)}
