"""The places on the sheath that are touched: where each lies on the pictures, its few numbers, what they do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, field
from typing import Any, Literal

from pydantic import BaseModel

from backseam.ground.findings import Path
from backseam.ground.speech import Speech, words
from backseam.ground.units import Mm
from backseam.job.document import GirthReading, Groove, Job, Landmarks
from backseam.job.fields import choices, field_words, sizes
from backseam.job.recipe import Worked
from backseam.papers.sheets.sheath import Side, View
from backseam.pattern.construction import HangerKind
from backseam.pattern.upper import StationRow

READ = ("reading_mm", "pull", "instrument")
CALIPER = ("width_mm", "depth_mm")  # too, where no girth was read
HIGHLESS = ("draw", "seam")  # places that are no height
NEAR: Mm = 0.5  # a reading this near to a landmark is the landmark's
_HALF = 0.5


@dataclass(frozen=True)
class Field:
    """One number or choice of the document. typed: as it was written, "" if the house default holds."""

    path: Path
    label: str
    why: str
    kind: str
    unit: str
    typed: str
    choices: tuple[dict[str, str], ...] = ()


@dataclass(frozen=True)
class Place:
    """One place. station: its height, mm, None if it is none; at: where it lies on each picture, in the file's own
    millimetres (y down)."""

    key: str
    name: str
    station: Mm | None
    side: Literal["left", "right"]
    value: str
    effect: str
    fields: tuple[Field, ...] = ()
    at: Mapping[str, tuple[Mm, Mm]] = field(default_factory=dict)

    def told(self) -> dict[str, Any]:
        """As the page takes it."""
        return {
            "key": self.key,
            "name": self.name,
            "station_mm": None if self.station is None else round(self.station, 2),
            "side": self.side,
            "at": {name: [round(x, 2), round(y, 2)] for name, (x, y) in self.at.items()},
            "value": self.value,
            "fields": [
                {**asdict(one), "path": list(one.path), "choices": list(one.choices)} for one in self.fields
            ],
            "effect": self.effect,
        }


def places_of(worked: Worked, views: Mapping[Side, View], speech: Speech) -> tuple[Place, ...]:
    """All places, the maker's way round: readings left, decisions right."""
    made = _Making(worked, views, speech)
    return (*made.left(), *made.right())


def fields_of(
    job: Job, part: type[BaseModel], path: Path, names: tuple[str, ...], language: str
) -> tuple[Field, ...]:
    """Fields of a part of the document at a path, with what stands in them."""
    return tuple(_field(job, part, path, name, language) for name in names)


def _field(job: Job, part: type[BaseModel], path: Path, name: str, language: str) -> Field:
    label, why = field_words(part)[name]
    several = choices(part).get(name, ())
    size = sizes(part).get(name)
    kind = (
        "choice" if several else {"mm": "length", "count": "count"}.get(size.unit if size else "", "number")
    )
    if not several and size is None:
        kind = "text"
    known: dict[str, str] = words(language, "job")["choice"]
    told = tuple({"value": one, "label": known.get(one, one.replace("_", " "))} for one in several)
    at = (*path, name)
    return Field(
        at, label[:1].upper() + label[1:], why, kind, size.unit if size else "", _typed(job, at), told
    )


def _typed(job: Job, path: Path) -> str:
    """What stands there, as it was typed if that was kept."""
    at: Any = job
    for step in path[:-1]:
        if isinstance(step, int):
            if at is None or step >= len(at):
                return ""
            at = at[step]
        else:
            at = getattr(at, step, None)
    if at is None:
        return ""
    kept = getattr(at, "typed", {}) or {}
    value = getattr(at, str(path[-1]), None)
    if value is None:
        return ""
    return str(kept.get(str(path[-1]), getattr(value, "value", value)))


class _Making:
    """What all places of one job share."""

    def __init__(self, worked: Worked, views: Mapping[Side, View], speech: Speech) -> None:
        self.worked, self.views, self.speech = worked, views, speech
        self.job, self.form, self.upper = worked.job, worked.form, worked.upper
        self.marks = worked.form.marks

    def left(self) -> Iterator[Place]:
        """Draw, the named heights, then every other reading."""
        yield self._draw()
        named: dict[str, tuple[Mm, tuple[str, ...]]] = {
            "mouth": (self.marks.mouth, ("mouth_mm",)),
            "thickest": (self.marks.thickest, ("thickest_mm",)),
        }
        if self.marks.junction is not None and NEAR < self.marks.junction < self.marks.mouth - NEAR:
            named["junction"] = (self.marks.junction, ("junction_mm",))
        named["bottom"] = (0.0, ())
        used = set()
        for key, (u, heights) in named.items():
            row = self._row(u)
            yield self._height(key, u, row, heights)
            if row is not None:
                used.add(row.reading_index)
        for row in self.upper.stations:
            if row.reading_index is not None and row.reading_index not in used:
                used.add(row.reading_index)
                u = next(r.station for r in self.form.rows if r.index == row.reading_index)
                yield self._height(f"station:{row.reading_index}", u, row, ())

    def right(self) -> Iterator[Place]:
        """Collar, hanger, liner, grooves, seam."""
        yield self._collar()
        yield self._hanger()
        yield from self._liner()
        yield from self._grooves()
        yield self._seam()

    # --- where ---------------------------------------------------------------------------------------------------

    def _row(self, u: Mm) -> StationRow | None:
        """The station read nearest to a height, if near enough; the strapped one of two."""
        near = [
            (abs(r.station - u), s)
            for r in self.form.rows
            for s in self.upper.stations
            if s.reading_index == r.index and abs(r.station - u) <= NEAR
        ]
        return min(near, key=lambda pair: pair[0])[1] if near else None

    def _edges(self, u: Mm, side: Literal["left", "right"]) -> dict[str, tuple[Mm, Mm]]:
        """The sheath's outline at a height, both views, y down; the stitch line on the piece below the mouth."""
        found = {}
        for name, view in self.views.items():
            x, y = view.edge(u, side)
            found[str(name)] = (x, -y)
        if u <= self.marks.mouth + NEAR:
            sign = -1.0 if side == "left" else 1.0
            x, y = self.worked.layout.place(min(u, self.marks.mouth), sign)[0]
            found["piece"] = (float(x), -float(y))
        return found

    def _fields(self, part: type[BaseModel], path: Path, *names: str) -> tuple[Field, ...]:
        return fields_of(self.job, part, path, names, self.speech.language)

    def _place(
        self,
        key: str,
        u: Mm,
        side: Literal["left", "right"],
        value: str,
        effect: str,
        fields: tuple[Field, ...],
        at: Mapping[str, tuple[Mm, Mm]],
        name: str = "",
    ) -> Place:
        named = name or self.speech.say(f"views.place.{key}")
        height = None if key in HIGHLESS else self.form.as_read(u)
        return Place(key, named, height, side, value, effect, fields, at)

    # --- left ----------------------------------------------------------------------------------------------------

    def _draw(self) -> Place:
        above = self.marks.mouth_above_thickest
        view = self.views["front"]
        u = (self.marks.mouth + view.sheath.butt) * _HALF
        fields = self._fields(Landmarks, ("form", "landmarks"), "mouth_above_thickest_mm")
        at = {name: point for name, point in self._edges(u, "left").items() if name != "piece"}
        say = self.speech.say
        return self._place(
            "draw",
            u,
            "left",
            say("views.value.draw", above=above),
            say("views.effect.draw", above=above),
            fields,
            at,
        )

    def _height(self, key: str, u: Mm, row: StationRow | None, heights: tuple[str, ...]) -> Place:
        say = self.speech.say
        fields: tuple[Field, ...] = ()
        if row is not None and row.reading_index is not None:
            names = (
                READ if self.job.form.girths[row.reading_index].reading_mm is not None else (*READ, *CALIPER)
            )
            fields = self._fields(GirthReading, ("form", "girths", row.reading_index), *names)
            if not heights:
                fields += self._fields(GirthReading, ("form", "girths", row.reading_index), "station_mm")
        if heights:
            fields += self._fields(Landmarks, ("form", "landmarks"), *heights)
        name = "" if not key.startswith("station:") else (row.name if row and row.name else "")
        name = name[:1].upper() + name[1:]
        if key.startswith("station:") and not name:
            name = say("views.place.station", at=self.form.as_read(u))
        return self._place(
            key, u, "left", self._read(row), self._does(key, u, row), fields, self._edges(u, "left"), name
        )

    def _read(self, row: StationRow | None) -> str:
        """The reading as typed, or width and depth."""
        say = self.speech.say
        if row is None or row.reading_index is None:
            return say("views.value.none")
        read = self.job.form.girths[row.reading_index]
        if read.reading_mm is not None:
            return read.typed.get("reading_mm") or self.speech.fill("{v:n}", {"v": read.reading_mm})
        return say("views.value.caliper", w=row.width, d=row.depth)

    def _does(self, key: str, u: Mm, row: StationRow | None) -> str:
        say = self.speech.say
        if row is None:
            return say(f"views.effect.unread{'_mouth' if key == 'mouth' else ''}", at=self.form.as_read(u))
        more = 2 * (row.half_width - row.half_width_hand)
        kind = "under" if row.layers > 1 and more > NEAR else "dot"
        return say(f"views.effect.{kind}", half=row.half_width, hand=row.half_width_hand, more=more)

    # --- right ---------------------------------------------------------------------------------------------------

    def _collar(self) -> Place:
        from backseam.job.document import ConstructionPart

        made, say = self.worked.inputs.construction.collar, self.speech.say
        names = ("collar", "collar_depth_mm", "collar_flap_mm", "mouth_read") if made.folded else ("collar",)
        fields = self._fields(ConstructionPart, ("construction",), *names)
        u = self.marks.mouth - (made.depth * _HALF if made.folded else 1.0)
        at = self._edges(u, "right")
        x, top = float(self.upper.cut[:, 0].max()), self.upper.height
        at["piece"] = (0.86 * x, -(top + self.upper.turn_in * _HALF))
        kind = "folded" if made.folded else "plain"
        value = say(f"views.value.{kind}", depth=made.depth)
        effect = say(
            f"views.effect.{kind}", depth=made.depth, flap=made.flap, four=self.worked.seam.four_layers
        )
        return self._place("collar", u, "right", value, effect, fields, at)

    def _hanger(self) -> Place:
        from backseam.job.document import HangerPart

        plan, made, say = self.worked.hanger, self.worked.inputs.construction.hanger, self.speech.say
        kind = {HangerKind.THONG: "thong", HangerKind.STRAP: "strap"}.get(made.kind, "no_hanger")
        names = {
            "thong": ("kind", "holes_a_side", "from_stitch_mm", "rows_apart_mm", "width_mm", "belt_width_mm"),
            "strap": ("kind", "width_mm", "from_stitch_mm", "belt_width_mm"),
        }.get(kind, ("kind",))
        view = self.views["back"]
        rows = view.carried.heights
        u = rows[len(rows) // 2] if rows else 0.75 * self.marks.mouth
        at = self._edges(u, "right")
        if rows:
            x, y = view.carried.spot(view.carried.near, u)
            at["back"] = (float(x), -float(y))
        punched = [(h.x, h.y) for h in plan.holes if h.side > 0]
        punched += [((s.x1 + s.x2) * _HALF, (s.y1 + s.y2) * _HALF) for s in plan.slits if s.side > 0]
        if punched:
            x, y = punched[len(punched) // 2]
            at["piece"] = (x, -y)
        return self._place(
            "hanger",
            u,
            "right",
            say(f"views.value.{kind}", count=made.holes_a_side),
            say(
                f"views.effect.{kind}",
                hole=made.hole,
                from_stitch=made.from_stitch,
                apart=made.rows_apart,
                cut=plan.cut,
                width=made.width,
            ),
            self._fields(HangerPart, ("construction", "hanger"), *names),
            at,
        )

    def _liner(self) -> Iterator[Place]:
        end, junction = self.marks.liner_end, self.marks.junction
        if end is None or not 0 < end < self.marks.mouth:
            return
        say = self.speech.say
        value = say("views.value.liner", at=self.form.as_read(end))
        effect = say("views.effect.liner", below=max((junction or end) - end, 0.0))
        fields = self._fields(Landmarks, ("form", "landmarks"), "liner_end_mm")
        yield self._place("liner", end, "right", value, effect, fields, self._edges(end, "right"))

    def _grooves(self) -> Iterator[Place]:
        """From the top: the upper counts from the junction, the lower from the upper."""
        grooves = [g for g in self.marks.grooves if 0 < g.station < self.marks.mouth]
        read = self.job.form.landmarks.grooves
        above, say = self.marks.junction, self.speech.say
        for groove in sorted(grooves, key=lambda g: -g.station):
            i = self.marks.grooves.index(groove)
            first = groove.station == max(g.station for g in grooves)
            two = len(grooves) == 2
            key = ("upper_groove" if first else "lower_groove") if two else f"groove:{i + 1}"
            value = say("views.value.liner", at=self.form.as_read(groove.station))
            if above is not None:
                word = "below" if first else "apart"
                value = say(f"views.value.{word}", below=above - groove.station, apart=above - groove.station)
            above = groove.station
            fields: tuple[Field, ...] = ()
            if read is not None and i < len(read):
                path: Path = ("form", "landmarks", "grooves", i)
                fields = self._fields(Groove, path, "station_mm", "width_mm", "depth_mm")
            effect = say("views.effect.groove", width=groove.width, depth=groove.depth)
            name = "" if two else say("views.place.groove")
            at = self._edges(groove.station, "right")
            yield self._place(key, groove.station, "right", value, effect, fields, at, name)

    def _seam(self) -> Place:
        from backseam.job.document import ConstructionPart

        seam, say = self.worked.seam, self.speech.say
        u = 0.28 * self.marks.mouth
        at = self._edges(u, "right")
        return self._place(
            "seam",
            u,
            "right",
            say("views.value.seam", count=seam.count, pitch=seam.pitch),
            say("views.effect.seam", count=seam.count, pitch=seam.pitch, thread=self.worked.thread.length),
            self._fields(
                ConstructionPart, ("construction",), "pitch_mm", "tool", "first_hole_mm", "last_hole_mm"
            ),
            at,
        )
