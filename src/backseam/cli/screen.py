"""What stands on the terminal: findings, refusals, the table of stations. Results go out, all else beside."""

from __future__ import annotations

import json
import sys
import textwrap
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from backseam.ground.errors import SeveralRefused
from backseam.ground.findings import Finding, Severity
from backseam.ground.speech import PLAIN, Speech

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from backseam.job.foreseen import Foreseen
    from backseam.job.recipe import Worked

# Told apart by shape and word, with colour as a help only.
SHAPES = {Severity.STOP: "■", Severity.CHECK: "◇", Severity.NOTE: "○"}
STYLES = {Severity.STOP: "bold red", Severity.CHECK: "bold", Severity.NOTE: ""}
WIDEST = 110


def console(*, beside: bool = False) -> Console:
    """The terminal's output, or the stream beside it."""
    from rich.console import Console

    stream = sys.stderr if beside else sys.stdout
    width = None if stream.isatty() else WIDEST
    return Console(file=stream, highlight=False, width=width, soft_wrap=False, emoji=False, markup=False)


def note(text: str) -> None:
    """One line beside the output."""
    print(text, file=sys.stderr)


def show_refusal(refused: Exception, place: str = "", *, as_json: bool = False) -> None:
    """Why something was not taken: a line each beside the output, or JSON on it."""
    each = refused.each if isinstance(refused, SeveralRefused) else (refused,)
    front = f"{place}: " if place else ""
    if as_json:
        listed = [{"text": str(one), "where": list(getattr(one, "where", ()))} for one in each]
        print_json({"file": place, "refused": listed})
        return
    for one in each:
        note(f"{front}{one}")


def print_json(value: Any) -> None:
    """A value as JSON on the output."""
    print(json.dumps(value, indent=1, ensure_ascii=False, allow_nan=False))


def show_findings(findings: Sequence[Finding], speech: Speech, *, to: Console | None = None) -> None:
    """Findings, gravest first, each with what to do."""
    out = to or console()
    if not findings:
        out.print(PLAIN.say("cli.findings.none"))
        return
    from rich.text import Text

    widest = max(len(PLAIN.say(f"cli.severity.{kind.value}")) for kind in {one.severity for one in findings})
    inset = " " * (widest + 4)
    for one in findings:
        word = f" {SHAPES[one.severity]} {PLAIN.say(f'cli.severity.{one.severity.value}'):<{widest}} "
        text, remedy = (_set_in(said, inset, out.width) for said in (one.text(speech), one.remedy(speech)))
        out.print(Text(word, STYLES[one.severity]).append(text[len(inset) :], "not bold not red"))
        out.print(Text(remedy, "dim" if out.is_terminal else ""))


def _set_in(text: str, inset: str, width: int) -> str:
    return textwrap.fill(text, max(width, 40), initial_indent=inset, subsequent_indent=inset)


def counted(findings: Iterable[Finding]) -> str:
    """How many of each there are."""
    each = [one.severity for one in findings]
    return PLAIN.say("cli.findings.count", **{kind.value: each.count(kind) for kind in Severity})


def stations_table(worked: Worked, speech: Speech) -> Table:
    """The table of stations: girths, half widths by hand and computed, how far they are apart."""
    from rich.box import SIMPLE_HEAD
    from rich.table import Table

    table = Table(box=SIMPLE_HEAD, pad_edge=False, title=worked.job.title or None, title_justify="left")
    for key in ("name", "station", "girth", "length", "hand", "half", "spread", "apart"):
        table.add_column(PLAIN.say(f"cli.table.{key}"), justify="left" if key == "name" else "right")
    for row in worked.upper.stations:
        numbers = (
            row.station,
            row.girth_form,
            row.stitch_to_stitch,
            row.half_width_hand,
            row.half_width,
            row.spread,
        )
        apart = speech.fill("{v:n2}", {"v": row.half_width - row.half_width_hand})
        cells = [speech.fill("{v:n2}" if n > 0 else "{v:n}", {"v": v}) for n, v in enumerate(numbers)]
        table.add_row(row.name, *cells, apart)
    return table


def summary(worked: Worked, speech: Speech) -> Iterable[str]:
    """Holes, thread, blank, hand line and stretch, a line each."""

    def say(key: str, **values: Any) -> str:
        return speech.say(f"cli.summary.{key}", **values)

    seam, thread, blank, hand = worked.seam, worked.thread, worked.blank, worked.upper.hand
    asked = worked.inputs.construction.stitching.pitch
    yield say("holes", count=seam.count, pitch=seam.pitch, asked=asked, length=seam.length)
    if seam.four_layers:
        yield say("four", count=seam.four_layers)
    yield say("thread", length=thread.length, rule=thread.rule_of_thumb)
    yield say(
        "blank",
        width=blank.upper_width,
        height=blank.upper_height,
        whole_width=blank.width,
        whole_height=blank.height,
    )
    below, most = abs(hand.largest_below_collar), abs(hand.largest_difference)
    yield say("hand", below=below, most=most, at=hand.at)
    yield say("stretch", most=worked.upper.stretch.most, at=worked.upper.stretch.most_at)


def foreseen_lines(told: Foreseen | None, speech: Speech) -> Iterable[str]:
    """How it will hold and when it is ready, a line each."""
    if told is None:
        return
    from backseam.fit.telling import band_words
    from backseam.papers.sheets.plots import when

    yield speech.say("cli.summary.hold", band=band_words(told.fit.draw, told.fit, speech))
    clock = told.clock
    times = {
        name: when(clock.moment(name).likely, speech, told.start) for name in ("ready", "second_draw", "wax")
    }
    after = "" if told.start is not None else "_after"
    room = {"temperature": clock.room.temperature, "humidity": clock.room.humidity}
    yield speech.say(f"cli.summary.dry{after}", **times, **room)
