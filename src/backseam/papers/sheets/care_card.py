"""The care card: one small page for the customer. What can hurt stands first; then how to wear, draw and look after it.

The page is set by typst from one template; everything a person typed goes in as data, never as markup.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from backseam.ground.sources import default
from backseam.ground.speech import PLAIN, Speech
from backseam.ground.units import Mm
from backseam.papers.sheets.bench_card import Card, typed
from backseam.papers.sheets.card_forecast import Foreseen
from backseam.papers.sheets.typeset import typeset
from backseam.pattern.construction import HangerKind

# Half of the sheet that the other papers are printed on: ISO 216 A5, half a letter.
SIZES: dict[str, tuple[Mm, Mm]] = {"A4": (148.0, 210.0), "Letter": (139.7, 215.9)}
HALF = {"A4": "A4", "A3": "A4", "Letter": "Letter", "Tabloid": "Letter"}
TITLE, NAME = 60, 60  # letters
LOSES = ("FIT-001", "FIT-002", "FIT-008")
SLIPS = ("FIT-003", "FIT-004")


def write(worked: Card, speech: Speech = PLAIN, sheet: str = "A4", foreseen: Foreseen | None = None) -> bytes:
    """The PDF of the card, half a sheet."""
    return typeset("care_card", contents(worked, speech, sheet, foreseen))


def contents(
    worked: Card, speech: Speech = PLAIN, sheet: str = "A4", foreseen: Foreseen | None = None
) -> dict[str, Any]:
    """Everything that stands on the card."""
    width, height = SIZES[HALF[sheet]]
    job = worked.job
    codes = {item.code for item in foreseen.findings} if foreseen else set()

    def say(key: str, **numbers: Any) -> str:
        return speech.say(f"care.{key}", **numbers)

    line = [
        job.customer and say("head.customer", name=typed(job.customer, NAME)),
        job.maker and say("head.by", name=typed(job.maker, NAME)),
        job.id and say("head.job", id=typed(job.id, NAME)),
    ]
    first = [say("safety.loses")] if codes & set(LOSES) else []
    first += [say("safety.slips")] if codes & set(SLIPS) else []
    return {
        "sheet": {"width": width, "height": height},
        "language": speech.language,
        "head": {
            "title": typed(job.title, TITLE) or say("head.untitled"),
            "name": say("head.name"),
            "line": ", ".join(part for part in line if part),
            "foot": say("head.page"),
        },
        "safety": {
            "title": say("safety.title"),
            "first": first,
            "rows": [say(f"safety.{key}") for key in ("thumb", "back", "children", "law")],
        },
        "parts": [
            {"title": say("wear.title"), "rows": list(_wear(worked, speech))},
            {"title": say("draw.title"), "rows": list(_draw(foreseen, speech))},
            {
                "title": say("care.title"),
                "rows": [
                    say(f"care.{key}", limit=default("wet.heat_limit"))
                    for key in ("wipe", "dry", "wax", "store", "mud")
                ],
            },
            {
                "title": say("change.title"),
                "rows": [say(f"change.{key}") for key in ("loose", "tight", "seam")],
            },
        ],
    }


def _wear(worked: Card, speech: Speech) -> Iterator[str]:
    construction = worked.inputs.construction
    if worked.hanger.kind is HangerKind.NONE:
        yield speech.say("care.wear.none")
    else:
        hand = speech.say(f"care.wear.{construction.hand.value}")
        yield speech.say("care.wear.belt", width=construction.hanger.belt_width, hand=hand)
    yield speech.say("care.wear.sit")


def _draw(foreseen: Foreseen | None, speech: Speech) -> Iterator[str]:
    clicks = foreseen is not None and foreseen.fit.click.share >= default("fit.click_share")
    yield speech.say("care.draw.click" if clicks else "care.draw.no_click")
    yield speech.say("care.draw.hold")
    yield speech.say("care.draw.wet_hand")
