"""`backseam rescue`: already cut, folded, pierced or dried like this: what now?"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from backseam.cli.files import read_bytes
from backseam.cli.options import JobFile, JsonOption, UnitsOption, help_of, read_job, speech_for
from backseam.cli.progress import line
from backseam.cli.screen import console, print_json, show_findings
from backseam.ground.errors import InputRefused
from backseam.ground.speech import PLAIN, Speech

if TYPE_CHECKING:
    from rich.table import Table

    from backseam.job.as_made import AsMade
    from backseam.job.rescue import Grip, Rescue, Way
    from backseam.job.ways import Act


LIKE = 0.05  # share: draws that are one
LEAST_FIT = 0.1  # mm: no finer fit is claimed
LEAST = 0.1  # of the planned draw: what is worth a number


def rescue(
    file: JobFile,
    /,
    *,
    as_made: Annotated[
        str | None, Parameter(name="--as-made", help=help_of("as_made"), show_default=False)
    ] = None,
    set_: Annotated[
        list[str] | None, Parameter(name="--set", negative=(), help=help_of("set_made"), show_default=False)
    ] = None,
    units: UnitsOption = None,
    json: JsonOption = False,
) -> int:
    """Hold what was found against the job, and rank what can still be done. 1 if something is out of its gate."""
    from backseam.job.rescue import rescue as rescued
    from backseam.job.told_json import rescue_told

    job = read_job(file)
    speech, made = speech_for(job, units), _found(as_made, set_ or [])
    with line() as progress:
        told = rescued(job, made, progress)
    if json:
        print_json(rescue_told(told, speech))
    else:
        _show(told, speech)
    return 0 if told.good else 1


def _found(as_made: str | None, settings: list[str]) -> AsMade:
    """What was found: JSON as typed, or in a file; then single settings over it."""
    from backseam.job.as_made import entered, read
    from backseam.job.text import raw_of

    raw: Any = {}
    if as_made is not None:
        text = (
            as_made
            if as_made.lstrip().startswith("{")
            else read_bytes(Path(as_made)).decode("utf-8", "replace")
        )
        try:
            raw = raw_of(text)
        except InputRefused as refused:
            raise InputRefused(PLAIN.say("rescue.refuse.json", why=refused)) from None
    if settings and isinstance(raw, dict):
        raw = dict(raw)
        for setting in settings:
            entered(raw, setting)
    return read(raw)


def _say(key: str, speech: Speech, **values: object) -> str:
    return speech.say(f"rescue.{key}", **values)


def _show(told: Rescue, speech: Speech) -> None:
    from rich.text import Text

    out = console()
    show_findings(told.findings, speech)
    if told.good:
        return
    out.print(_say("say.stage", speech, stage=_say(f"stage.{told.stage.value}", speech)))
    if told.stage.value != "dried":
        out.print(_table(told, speech))
    out.print(_say("say.planned", speech, **_odds(told.planned, speech)))
    out.print(_held("now", told.now, speech))
    for number, way in enumerate(told.ways, start=1):
        out.print()
        for i, act in enumerate(way.acts or ()):
            front = f"{number}. " if i == 0 else "   "
            out.print(Text(_set_in(said(act, speech), front, out.width), "bold"))
        for text in _outcome(way, speech):
            out.print(_set_in(text, "   ", out.width))
    from backseam.ground.sources import default

    out.print()
    rates = {"leather": default("rescue.leather"), "off": default("rescue.off")}
    out.print(_set_in(_say("say.best", speech, **rates), "", out.width))


def said(act: Act, speech: Speech) -> str:
    """One act as a sentence."""
    numbers = dict(act.numbers)
    if "side" in numbers:
        numbers["side"] = _say(f"side.{numbers['side']}", speech)
    if "area" in numbers:
        numbers["area"] = f"{numbers['area']:.1f}"
    return _say(f"act.{act.key}", speech, **numbers)


def _outcome(way: Way, speech: Speech) -> list[str]:
    """What it costs, what fit and what hold it gives."""
    cost = "cost_area" if way.area else "cost" if way.minutes else "nothing"
    paid = _say(f"say.{cost}", speech, minutes=f"{way.minutes:.0f}", area=f"{way.area:.1f}")
    lines = [paid + (_say("say.seen", speech) if way.seen else "") + "."]
    if way.girth is not None:
        lines.append(_say("say.measured", speech, girth=way.girth) + ".")
    elif way.new:
        lines.append(_say("say.as_drawn", speech))
    else:
        key = "fits" if abs(way.worst) < _near() else "narrow" if way.worst < 0 else "wide"
        lines.append(_say(f"say.{key}", speech, worst=max(abs(way.worst), LEAST_FIT)) + ".")
    lines.append(_held("hold", way.grip, speech))
    return lines


def _held(key: str, grip: Grip, speech: Speech) -> str:
    """What hold it gives; where none can be reckoned, what is plain without."""
    if grip.reckoned:
        return _say(f"say.{key}", speech, against=_against(grip, speech), **_odds(grip, speech))
    return _say(f"say.{key}_{'loose' if grip.loses else 'stuck'}", speech)


def _near() -> float:
    from backseam.ground.sources import default

    return default("rescue.fits")


def _odds(grip: Grip, speech: Speech) -> dict[str, str]:
    return {
        "draw": speech.say(f"fit.hold.{grip.draw.value}"),
        "loses": _twenty(grip.loses, speech),
        "slips": _twenty(grip.slips, speech),
    }


def _twenty(share: float, speech: Speech) -> str:
    """A share as so many of 20."""
    count = round(20 * share)
    return _say("say.twenty", speech, count=count) if count else _say("say.none", speech)


def _against(grip: Grip, speech: Speech) -> str:
    """How the middle sheath draws against the planned one."""
    ratio = grip.against
    key = "times" if ratio > 1 + LIKE else "share" if ratio >= LEAST else "nearly_none"
    return _say("say.same" if abs(ratio - 1) <= LIKE else f"say.{key}", speech, ratio=ratio)


def _table(told: Rescue, speech: Speech) -> Table:
    from rich.box import SIMPLE_HEAD
    from rich.table import Table

    table = Table(box=SIMPLE_HEAD, pad_edge=False)
    for key in ("name", "height", "wanted", "has", "off"):
        table.add_column(_say(f"table.{key}", speech), justify="left" if key == "name" else "right")
    for row in told.rows:
        numbers = (row.height, row.wanted, row.has, row.off)
        cells = [speech.fill("{v:n}", {"v": value}) for value in numbers]
        table.add_row(row.name, *cells)
    return table


def _set_in(text: str, front: str, width: int) -> str:
    import textwrap

    inset = " " * len(front)
    return textwrap.fill(text, max(min(width, 110), 40), initial_indent=front, subsequent_indent=inset)
