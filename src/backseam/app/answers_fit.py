"""What the workers answer of the finished sheath: hold, drying, hang, rescue, diagnosis, moulding, the solid form."""

from __future__ import annotations

from typing import Any

from pydantic_core import to_json

from backseam.app.answers import Answer, Given, job_in, speech_in, worked_in
from backseam.fit.hold import Band, Fit
from backseam.ground.progress import Progress
from backseam.ground.speech import Speech
from backseam.intake.rooms import mass_of, minutes_of, room_of, weighings_of
from backseam.job import forecast, told_json
from backseam.job.findings_json import findings_told
from backseam.papers import svg


def fit(given: Given, progress: Progress) -> bytes:
    """Draw, push, click: words, bands, the force curve, what matters most."""
    from backseam.fit import telling
    from backseam.papers.sheets.fit_plots import force_curve

    _mouth_tried(given)
    worked = worked_in(given, progress)
    speech = speech_in(given, worked.job)
    told = forecast.hold(worked, progress=progress)
    lines = telling.sentences(told, speech)
    return to_json(
        {
            "seq": given.get("seq", 0),
            "words": lines,
            "verdict": lines[0],
            "bands": list(_bands(told, speech)),
            "matters": [
                {
                    "what": telling.moved(one.name, told, speech),
                    "effect": telling.change(one.more, speech),
                    "share": round(float(one.size), 4),
                }
                for one in told.matters[:3]
            ],
            "force": svg.write(force_curve(told, speech)),
            "warn": [
                {"text": one["text"], "remedy": one["remedy"]}
                for one in findings_told(told.findings, speech)
                if one["severity"] != "note"
            ],
            "calibrated": told.calibrated,
            "findings": findings_told(told.findings, speech),
        }
    )


def _mouth_tried(given: Given) -> None:
    """The mouth as it is tried: above the thickest, in place of what the document says."""
    tried = given.get("mouth_above_thickest_mm")
    document = given.get("document")
    if tried is None or not isinstance(document, dict) or not isinstance(document.get("form"), dict):
        return
    marks = {**(document["form"].get("landmarks") or {}), "mouth_above_thickest_mm": tried}
    marks.pop("mouth_mm", None)
    rows = document["form"].get("girths")
    bare = [_unnamed(row) for row in rows] if isinstance(rows, list) else rows
    given["document"] = {**document, "form": {**document["form"], "landmarks": marks, "girths": bare}}


def _unnamed(row: Any) -> Any:
    """A reading without the name that would make it the mouth."""
    if isinstance(row, dict) and str(row.get("name", "")).strip().casefold() == "mouth":
        return {**row, "name": ""}
    return row


def _bands(told: Fit, speech: Speech) -> Any:
    from backseam.fit.telling import band_words

    def row(what: str, band: Band) -> dict[str, Any]:
        values = (band.low, band.middle, band.high)
        low, middle, high = (round(float(one), 2) for one in values)
        return {
            "what": what,
            "low": low,
            "middle": middle,
            "high": high,
            "text": band_words(band, told, speech),
        }

    yield row("draw", told.draw)
    yield row("push", told.push)
    for when in (*told.later, told.waxed):
        yield row(str(when.when), when.draw)


def dry(given: Given, progress: Progress) -> bytes:
    """When to mould, clamp, draw and wax; weighed while it dries, the rest follows from the weights."""
    from backseam.papers.sheets.plots import water_curve

    typed = {name: str(given.get(name) or "").strip() for name in ("room", "start", "piece", "form")}
    begun = minutes_of(typed["start"]) if typed["start"] else None
    masses = {name: mass_of(typed[name], (name,)) if typed[name] else None for name in ("piece", "form")}
    weighings = weighings_of(tuple(given.get("weigh") or ()), begun)
    worked = worked_in(given, progress)
    speech = speech_in(given, worked.job)
    room = room_of(typed["room"]) if typed["room"] else None
    times = forecast.timetable(worked, room, weighings=weighings, **masses)
    picture = svg.write(water_curve(times, speech, begun))
    return to_json({**told_json.dry_told(times, speech), "water": picture})


def hang(given: Given, progress: Progress) -> bytes:
    """How it hangs on the belt."""
    from backseam.fit.hang_telling import sentences
    from backseam.job.hanging import hanging
    from backseam.papers.sheets.hang_picture import hang_picture

    worked = worked_in(given, progress)
    speech, told = speech_in(given, worked.job), hanging(worked)
    construction = worked.inputs.construction
    lines = sentences(told, construction.hand, speech)
    picture = svg.write(hang_picture(told, worked.form, construction, speech))
    return to_json({**told_json.hang_told(told, lines, speech), "picture": picture})


def rescue(given: Given, progress: Progress) -> bytes:
    """What can still be done with a piece that is out of its gate."""
    from backseam.job.as_made import entered, of_job, read
    from backseam.job.rescue import rescue as rescued

    job = job_in(given)
    found = given.get("found") or {}
    raw: dict[str, Any] = {}
    for name, value in found.items():
        if isinstance(value, str):
            entered(raw, f"{name}={value}")
        else:
            raw[name] = value
    told = rescued(job, read(raw) if raw else of_job(job), progress)
    return to_json(told_json.rescue_told(told, speech_in(given, job)))


def diagnose(given: Given, progress: Progress) -> bytes:
    """What a fault comes from, likeliest first; with a job, by its own numbers."""
    from backseam.job.facts import facts_of
    from backseam.making import diagnosis

    speech = speech_in(given)
    said = str(given.get("symptom") or "").strip()
    if not said:
        every = diagnosis.symptoms().values()
        return to_json(
            [{"symptom": one.id, "severity": one.harm.value, "name": one.name(speech)} for one in every]
        )
    matches = diagnosis.found(said, speech.language)
    facts = facts_of(worked_in(given, progress)) if given.get("document") else None
    found = diagnosis.diagnose(matches[0].symptom, facts)
    return to_json(told_json.diagnosis_told(found, matches, speech))


def solid(given: Given, progress: Progress) -> bytes:
    """Form, upper, seam and stretch as a GLB."""
    from backseam.papers.sheets.form_solid import form_solid

    worked = worked_in(given, progress)
    return form_solid(worked, speech_in(given, worked.job))


def moulding(given: Given, progress: Progress) -> bytes:
    """The computed piece and the hand piece, both moulded: map and findings."""
    from backseam.fit.moulding import compare
    from backseam.papers.sheets.moulding_map import moulding_map

    worked = worked_in(given, progress)
    leather, speech = worked.inputs.leather, speech_in(given, worked.job)
    material = forecast.leather_of(worked)
    told = compare(worked.form, worked.layout, worked.upper, leather, material, progress)
    return to_json(
        {
            "better": told.better,
            "map": svg.write(moulding_map(told, worked.form, worked.job.title, speech)),
            "findings": findings_told(told.findings, speech),
        }
    )


ANSWERS: dict[str, Answer] = {
    "fit": fit,
    "dry": dry,
    "hang": hang,
    "rescue": rescue,
    "diagnose": diagnose,
    "solid": solid,
    "moulding": moulding,
}
