"""`backseam why`: which readings and values a thing came from, and how far each moves it."""

from __future__ import annotations

from dataclasses import asdict
from typing import Annotated

from cyclopts import Parameter

from backseam.cli.options import JobFile, JsonOption, UnitsOption, help_of, read_job, speech_for
from backseam.cli.progress import line
from backseam.cli.screen import console, print_json
from backseam.ground.speech import PLAIN, Speech

SMALLEST = 0.01  # mm; what makes less over its whole spread is only counted


def why(
    job: JobFile,
    what: Annotated[str, Parameter(help=help_of("what"))],
    /,
    *,
    units: UnitsOption = None,
    json: JsonOption = False,
) -> int:
    """Move each input a little, work again, and show what moved."""
    from backseam.job.explain import why as explain

    document = read_job(job)
    with line() as progress:
        answer = explain(document, what, progress)
    if json:
        print_json(asdict(answer))
        return 0
    _show(answer, speech_for(document, units))
    return 0


def _show(answer: object, speech: Speech) -> None:
    from rich.box import SIMPLE_HEAD
    from rich.table import Table

    from backseam.job.explain import Why

    assert isinstance(answer, Why)
    named = [speech.say("cli.why.value", name=name, value=value) for name, value in answer.values.items()]
    out = console()
    out.print(PLAIN.say("cli.why.heading", what=answer.what, values=", ".join(named)))
    if not answer.reasons:
        out.print(PLAIN.say("cli.why.nothing"))
        return
    table = Table(box=SIMPLE_HEAD, pad_edge=False)
    for key in ("reading", "number", "spread", "moves", "over"):
        table.add_column(
            PLAIN.say(f"cli.why.{key}", unit=speech.units), justify="left" if key == "reading" else "right"
        )
    told = [reason for reason in answer.reasons if reason.over_spread >= SMALLEST]
    for reason in told:
        label = f"{reason.label} ({PLAIN.say('cli.why.assumed')})" if reason.assumed else reason.label
        moves = "\n".join(f"{name} {by:+.3f}" for name, by in reason.moves.items())
        unit = "" if reason.unit == "share" else f" {reason.unit}"
        table.add_row(
            f"{label}\n{reason.path}",
            f"{reason.value:.6g}{unit}",
            f"{reason.spread:.3g}",
            moves,
            speech.fill("{v:n2}", {"v": reason.over_spread}),
        )
    out.print(table)
    if len(told) < len(answer.reasons):
        out.print(PLAIN.say("cli.why.small", count=len(answer.reasons) - len(told), size=f"{SMALLEST:g}"))
