"""Make what of these pages is computed: docs/findings.md and docs/pictures/*.svg. Run as `make docs`."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from importlib.resources import files
from pathlib import Path

import numpy as np

from backseam import Speech, loads, work
from backseam.form.fillet import Wrap, neutral_path
from backseam.form.section import Oval, Sections
from backseam.job.foreseen import foresee, mould
from backseam.job.recipe import Worked
from backseam.papers import svg
from backseam.papers.model import Drawing, Mark, Ring, Role, Words, segment, stroke
from backseam.papers.sheets import sheaf
from backseam.papers.sheets.fit_plots import force_curve
from backseam.papers.sheets.moulding_map import moulding_map
from backseam.papers.sheets.plots import water_curve

HERE = Path(__file__).parent
PICTURES = HERE / "pictures"
SPEECH = Speech()


def sample(name: str):
    """A shipped sample, worked out."""
    text = files("backseam.samples").joinpath(f"{name}.json").read_text(encoding="utf-8")
    return work(loads(text))


def findings() -> str:
    """The table of all findings, from their texts."""
    lines = [
        "# Findings",
        "",
        "Made by `make docs` from `ground/words/en/findings/`. A *stop* means that a full-scale paper would be wrong:",
        "there is only a marked preview. A *check* is looked at before cutting. A *note* is good to know.",
        "",
    ]
    books = files("backseam.ground").joinpath("words", "en", "findings")
    for book in sorted(books.iterdir(), key=lambda b: b.name):
        records = tomllib.loads(book.read_text(encoding="utf-8"))
        lines += [f"## {book.name.removesuffix('.toml').capitalize()}", ""]
        lines += ["| code | severity | what it means | what to do |", "|---|---|---|---|"]
        for code, record in sorted(records.items()):
            row = [code, record["severity"], record["meaning"], record["remedy"]]
            lines.append("| " + " | ".join(cell.replace("|", "/").replace("\n", " ") for cell in row) + " |")
        lines.append("")
    return "\n".join(lines)


def words(x: float, y: float, text: str, anchor: str = "start", size: float = 3.2) -> Words:
    """A label."""
    return Words((x, y), text, size, anchor)  # type: ignore[arg-type]


def framed(drawing: Drawing, right: float) -> Drawing:
    """The drawing with room for its words on the right, whatever face a viewer takes."""
    box = drawing.box
    return drawing + [segment((right, box.bottom), (right, box.bottom), Role.LEADER)]


def girths() -> Drawing:
    """Three girths of one tube: the form's own, a strap's, the outside of the leather."""
    marks: list[Mark] = []
    labels: list[Mark] = []
    radius, thick = 15.0, 4.0  # leather drawn twice as thick as 2 mm, so that it can be seen
    for r, role in ((radius, Role.PIECE), (radius + thick / 2, Role.CENTRE), (radius + thick, Role.PIECE)):
        marks.append(Ring((0.0, 0.0), r, role))
    for y, r, text in (
        (9.0, radius + thick, "outside of the leather: + 2 π t = 106.8"),
        (0.0, radius + thick / 2, "a butted strap, its middle: + π t = 100.5"),
        (-9.0, radius, "the form, a thread or paper: 94.2"),
    ):
        x = float(np.sqrt(r**2 - y**2))
        labels += [segment((2 * x, 2 * y), (48.0, 2 * y), Role.LEADER), words(50.0, 2 * y - 1.1, text)]
    labels.append(words(0.0, -1.1, "R 15, t 2", "middle"))
    return framed(Drawing("girths", tuple(marks)).mapped(2, 2) + labels, 110.0)


def seam() -> Drawing:
    """The fillet at the back of a round form."""
    radius, t, r = 15.0, 2.0, 1.0
    one = np.ones(1)
    sections = Sections(((one, Oval(one * radius, one * radius, one * radius)),))
    lines = []
    for k in (0.0, 0.5, 1.0):
        path = neutral_path(sections, Wrap(one * t, one * r, k))
        lines.append(path.points[0][path.points[0][:, 1] > -2])
    marks: list[Mark] = [stroke(line * (side, 1), Role.PIECE) for line in lines[::2] for side in (1, -1)]
    marks += [stroke(lines[1] * (side, 1), Role.CENTRE) for side in (1, -1)]
    top = lines[1][-1, 1]
    for side in (1, -1):
        marks += [
            segment((0.0, top), (0.0, top + 10), Role.PIECE),
            segment((side * t, top), (side * t, top + 10), Role.PIECE),
            Ring((side * t / 2, top), 0.5, Role.SLIT, fill=1.0),
        ]
    angle = np.linspace(-0.15, np.pi + 0.15, 80)
    marks.append(stroke(np.stack([radius * np.cos(angle), radius * np.sin(angle)], axis=-1), Role.HIDDEN))
    labels: list[Mark] = []
    for (x, y), at, text in (
        ((t + 0.2, top + 8), top + 8, "flange, flesh to flesh"),
        ((t / 2 + 0.6, top), top + 4, "stitch line, end of the fillet"),
        ((2.4, top - 0.9), top, "fillet, inside radius r on the grain side"),
        ((9.7, 12.8), 13.0, "neutral layer, half the thickness in"),
        ((12.8, 7.8), 7.8, "form"),
    ):
        labels += [segment((3 * x, 3 * y), (60.0, 3 * at), Role.LEADER), words(62.0, 3 * at - 1.1, text)]
    return framed(Drawing("seam", tuple(marks)).mapped(3, 3) + labels, 130.0)


def cone() -> Drawing:
    """A cone unrolled: the edges become arcs, and a straight cut is off at the seam."""
    r0, r1, height = 13.0, 18.0, 100.0
    sin = (r1 - r0) / np.hypot(r1 - r0, height)
    w = np.pi * sin
    s0, s1 = r0 / sin, r1 / sin

    def arc(s: float):
        a = np.linspace(-w, w, 80)
        return np.stack([s * np.sin(a), s * np.cos(a) - s0], axis=-1)

    low, high = arc(s0), arc(s1)
    marks: list[Mark] = [
        stroke(low, Role.CUT),
        stroke(high, Role.CUT),
        segment(tuple(low[0]), tuple(high[0]), Role.STITCH),
        segment(tuple(low[-1]), tuple(high[-1]), Role.STITCH),
        segment((0.0, -4.0), (0.0, high[40, 1] + 4), Role.CENTRE),
        segment((-40.0, 0.0), (44.0, 0.0), Role.HIDDEN),
        segment((-58.0, high[:, 1].max()), (62.0, high[:, 1].max()), Role.HIDDEN),
        words(46.0, -1.0, "straight cut: 3.2 off at the seam"),
        words(64.0, high[:, 1].max() - 1.0, "4.4 off"),
        words(2.0, 50.0, "centre line"),
        words(53.0, 48.0, "stitch line"),
    ]
    return framed(Drawing("cone", tuple(marks)), 110.0)


def hand_and_computed() -> Drawing:
    """The barrel sample: hand line beside computed, the difference ten times as wide beside it."""
    worked = sample("barrel")
    stitch, dots = worked.upper.stitch_right, worked.upper.hand.dots
    apart = stitch[:, 0] - np.interp(stitch[:, 1], dots[::-1, 1], dots[::-1, 0])
    inside = (stitch[:, 1] <= dots[0, 1]) & (stitch[:, 1] >= dots[-1, 1])
    zero = 78.0
    gap = np.stack([zero + 10 * apart[inside], stitch[inside, 1]], axis=-1)
    marks: list[Mark] = [
        segment((0.0, -4.0), (0.0, worked.upper.height + 4), Role.CENTRE),
        stroke(stitch, Role.CUT),
        stroke(dots, Role.HAND),
        segment((zero, 0.0), (zero, worked.upper.height), Role.LEADER),
        stroke(gap, Role.STITCH),
        words(1.5, 30.0, "centre line"),
        words(46.5, 78.0, "half the strap (dots),", "end"),
        words(46.5, 73.0, "and the computed line", "end"),
        words(zero, -6.0, "the gap, ten times as wide", "middle"),
    ]
    marks += [Ring((float(x), float(y)), 0.7, Role.TICK) for x, y in dots]
    marks += [
        words(zero + 21.0, row.station - 1.0, f"{row.station:.0f} {row.name}")
        for row in worked.upper.stations
        if row.name and row.name != "liner end"
    ]
    return framed(Drawing("hand and computed", tuple(marks)), 118.0)


def pictures() -> dict[str, str]:
    """File name to SVG text."""
    worked = sample("barrel")
    pages = sheaf.pages(worked, "A4", SPEECH)
    made = {
        f"{d.name.replace(' ', '-')}.svg": svg.write(d)
        for d in (girths(), seam(), cone(), hand_and_computed())
    }
    return {"pattern.svg": svg.write(replace(pages[0])), **made, **foreseen_pictures(worked)}


def foreseen_pictures(worked: Worked) -> dict[str, str]:
    """The curves of force and of drying and the moulding map of the sample."""
    told = foresee(worked)
    drawings = {
        "force.svg": force_curve(told.fit, SPEECH),
        "water.svg": water_curve(told.clock, SPEECH, 14 * 60),
        "moulding.svg": moulding_map(mould(worked), worked.form, worked.job.title, SPEECH),
    }
    return {name: svg.write(drawing) for name, drawing in drawings.items()}


def main() -> None:
    """Write all of it."""
    PICTURES.mkdir(exist_ok=True)
    (HERE / "findings.md").write_text(findings(), encoding="utf-8")
    for name, text in pictures().items():
        (PICTURES / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
