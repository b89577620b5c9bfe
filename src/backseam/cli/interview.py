"""The course of the questions: which is next, what the answers make, what is odd about the last one.

Pure: answers in, a job out. The terminal (`asking`) and the draft file are kept outside.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from backseam.cli.questions import (
    NAMED,
    Answers,
    Question,
    Station,
    free_stations,
    height_of,
    leather_mm,
    mm,
    pair,
    questions,
    station_name,
)
from backseam.ground.errors import BackseamError, InputRefused
from backseam.ground.numbers import plain
from backseam.ground.speech import PLAIN
from backseam.job.document import KIND, VERSION, Job
from backseam.job.refused import at
from backseam.job.text import job_of, raw_of

DRAFT = "backseam.draft"
ORDER: tuple[Station, ...] = ("bottom_edge", *NAMED)
# Findings of the form that a single reading can raise while the others are still to come.
AT_ONCE = frozenset(("READ-001", "READ-002", "FORM-001", "FORM-002", "FORM-003", "FORM-004"))

OF_MOUTH = ("FORM-002", "FORM-003")


@dataclass
class Interview:
    """The answers so far, in the order they were given."""

    answers: dict[str, str] = field(default_factory=dict)

    def next(self) -> Question | None:
        """The question to ask now; None when all are answered."""
        return next((one for one in questions(self.answers) if one.id not in self.answers), None)

    def take(self, question: Question, text: str) -> list[str]:
        """Answer a question; what is odd about it comes back as sentences, and the answer is kept all the same.

        Raises `InputRefused` or `InDoubt` if the text is no answer; nothing is kept then.
        """
        before = self._remarks()
        kept = question.read(self.answers, text) if text else ""
        self.answers[question.id] = kept
        try:
            self.job()
        except InputRefused as refused:
            del self.answers[question.id]
            front = at(refused.where, "")
            raise InputRefused(str(refused).removeprefix(front), refused.where) from None
        return [said for said in self._remarks() if said not in before]

    def back(self) -> bool:
        """Take the last answer back; False if there is none."""
        if not self.answers:
            return False
        self.answers.popitem()
        return True

    def job(self) -> Job:
        """The job that the answers make so far."""
        return job_of(raw_job_of(self.answers))

    def draft(self) -> str:
        """The answers as text, to go on from later."""
        listed = [list(one) for one in self.answers.items()]
        return (
            json.dumps({"kind": DRAFT, "version": 1, "answers": listed}, ensure_ascii=False, indent=1) + "\n"
        )

    def _remarks(self) -> list[str]:
        return [*_of_order(self.answers), *_of_form(self.answers)]


def from_draft(text: bytes) -> Interview:
    """The interview that a draft holds; answers that no longer fit are left out, so that they are asked again."""
    raw = raw_of(text)
    if not isinstance(raw, dict) or raw.get("kind") != DRAFT or not isinstance(raw.get("answers"), list):
        raise InputRefused(PLAIN.say("cli.new.no_draft"))
    begun = Interview()
    for entry in raw["answers"]:
        question = begun.next()
        if question is None or not isinstance(entry, list) or len(entry) != 2 or entry[0] != question.id:
            break
        try:
            begun.take(question, str(entry[1]))
        except InputRefused:
            break
    return begun


def raw_job_of(answers: Answers) -> dict[str, Any]:
    """The raw job that answers make; what was left open is left out."""
    construction = {
        **_told(answers, "collar", "mouth_read", "tool", "hand"),
        **_renamed(answers, collar_depth="collar_depth_mm", pitch="pitch_mm", teeth="tool_teeth"),
    }
    hanger = _renamed(answers, hanger="kind", belt="belt_width_mm")
    if hanger:
        construction["hanger"] = hanger
    leather: dict[str, Any] = _told(answers, "tight")
    if answers.get("thickness"):
        leather["thickness_mm"] = [one.strip() for one in answers["thickness"].split(";")]
    raw: dict[str, Any] = {
        "kind": KIND,
        "version": VERSION,
        **_told(answers, "title", "customer", "promised"),
    }
    parts = {
        "form": _form(answers),
        "leather": leather,
        "construction": construction,
        "paper": _told(answers, "units"),
    }
    return raw | {name: part for name, part in parts.items() if part}


def _form(answers: Answers) -> dict[str, Any]:
    form: dict[str, Any] = _told(answers, "heights_from", "heights_along") | _renamed(
        answers, reach="reach_mm"
    )
    girths = [row for row in _rows(answers) if "reading_mm" in row or "width_mm" in row]
    if girths:
        form["girths"] = girths
    if sections := _sections(answers):
        form["sections"] = sections
    if "axis" in answers:
        form["axis"] = _axis(answers)
    marks: dict[str, Any] = {
        f"{station}_mm": height
        for station in ("liner_end", "junction", "thickest")
        if (height := height_of(answers, station)) is not None
    }
    marks |= _renamed(answers, mouth_above="mouth_above_thickest_mm")
    if "height.lower_groove" in answers:
        marks["grooves"] = _grooves(answers)
    return form | ({"landmarks": marks} if marks else {})


def _axis(answers: Answers) -> dict[str, Any]:
    axis: dict[str, Any] = {"kind": answers["axis"]}
    axis |= _renamed(
        answers, bend_side="direction", bend_angle="angle_deg", bend_from="from_mm", bend_to="to_mm"
    )
    if answers["axis"] == "offsets":
        pairs = [one.split("@") for one in answers.get("bend_offsets", "").split(";") if "@" in one]
        axis["offsets"] = [
            {"station_mm": height.strip(), "offset_mm": offset.strip()} for height, offset in pairs
        ]
    return axis


def _sections(answers: Answers) -> list[dict[str, Any]]:
    liner, handle = answers.get("liner_section"), answers.get("handle_section")
    junction, thickest = height_of(answers, "junction"), height_of(answers, "thickest")
    if not liner or not handle:
        return []
    if liner == handle or junction is None or thickest is None:
        return [{"kind": handle}]
    bottom = height_of(answers, "bottom_edge")
    kinds = ((bottom, liner), (junction, liner), (thickest, handle))
    return [{"station_mm": height, "kind": kind} for height, kind in kinds]


def _grooves(answers: Answers) -> list[dict[str, Any]]:
    heights = [answers.get(f"height.{station}", "") for station in ("lower_groove", "upper_groove")]
    size = answers.get("groove_size")
    width_depth = dict(zip(("width_mm", "depth_mm"), pair(size), strict=True)) if size else {}
    return [{"station_mm": height, **width_depth} for height in heights if height]


def _rows(answers: Answers) -> Iterator[dict[str, Any]]:
    """A row of readings for each station, from the bottom edge up, then the free ones."""
    for station in (*ORDER, "mouth"):
        height = height_of(answers, station)
        if height is not None:
            typed = answers.get(f"height.{station}")
            yield _row(answers, station, typed or height, station_name(station, answers), station)
    for number in free_stations(answers):
        yield _row(answers, "free", answers[f"free.{number}"], "", f"free.{number}")


def _row(answers: Answers, station: str, height: str | float, name: str, tail: str) -> dict[str, Any]:
    row: dict[str, Any] = {"station_mm": height} | ({"name": name} if name else {})
    girth, size = answers.get(f"girth.{tail}"), answers.get(f"size.{tail}")
    if size:
        row["width_mm"], row["depth_mm"] = pair(size)
    if girth:
        row["reading_mm"] = girth
        row |= _read_with(answers, folded=station == "mouth" and answers.get("mouth_read") == "folded_piece")
    elif size:
        row["instrument"] = "caliper"
    return row


def _read_with(answers: Answers, *, folded: bool) -> dict[str, Any]:
    if folded:
        return {"instrument": "folded_piece"}
    read_with: dict[str, Any] = _told(answers, "instrument", "pull")
    if answers.get("instrument_thickness") and not _strap_of_this_leather(answers):
        read_with["instrument_mm"] = answers["instrument_thickness"]
    if answers.get("over_film"):
        read_with["over_film"] = answers["over_film"] == "film"
    return read_with


def _strap_of_this_leather(answers: Answers) -> bool:
    """True if the strap is as thick as the leather: then it is left out, and goes with the leather's readings."""
    strap = answers.get("instrument", "").startswith("strap")
    return strap and mm(answers, "instrument_thickness") == leather_mm(answers)


def _told(answers: Answers, *ids: str) -> dict[str, Any]:
    return {id: answers[id] for id in ids if answers.get(id)}


def _renamed(answers: Answers, **names: str) -> dict[str, Any]:
    return {name: answers[id] for id, name in names.items() if answers.get(id)}


def _of_order(answers: Answers) -> Iterator[str]:
    """Named heights that do not rise from the bottom edge to the thickest."""
    known = [(one, height) for one in ORDER if (height := height_of(answers, one)) is not None]
    for (below, low), (above, high) in pairwise(known):
        same_allowed = (below, above) == ("liner_end", "junction")
        if high < low or (high == low and not same_allowed):
            yield PLAIN.say(
                "questions.talk.order",
                name=station_name(above, answers).capitalize(),
                here=f"{plain(high)} mm",
                other=station_name(below, answers),
                there=f"{plain(low)} mm",
            )


def _of_form(answers: Answers) -> Iterator[str]:
    """What the form itself says of the readings so far."""
    raw = raw_job_of(answers)
    rows = raw.get("form", {}).get("girths", [])
    if not rows:
        return
    if not answers.get("height.thickest"):  # until it is read: the highest so far, for girths rise towards it
        heights = [height for one in ORDER if (height := height_of(answers, one)) is not None]
        raw["form"].setdefault("landmarks", {})["thickest_mm"] = max(heights)
    from backseam.form.build import build
    from backseam.job.inputs import inputs

    try:
        found = build(inputs(job_of(raw)).form).findings
    except BackseamError:
        return
    for one in found:
        if one.code in AT_ONCE and (one.code not in OF_MOUTH or "girth.mouth" in answers):
            yield PLAIN.say("questions.talk.noted", said=one.text(), remedy=one.remedy())
