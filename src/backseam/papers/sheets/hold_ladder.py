"""The ladder of words: each draw and push as a bar from the weak ones to the strong ones, the middle sheath marked."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from backseam.fit.hold import Band, Fit, Hold, limits, word
from backseam.fit.telling import band_words
from backseam.ground.speech import Speech
from backseam.ground.units import Mm, Newton, Share
from backseam.papers.model import Drawing, Mark, Role, Stroke, segment
from backseam.papers.sheets.drafting import text
from backseam.papers.sheets.fit_plots import HARDEST, on_ladder

NAMES: Mm = 24.0  # left of the rungs
ROW: Mm = 5.0
BAR: Mm = 2.6
DOT: Mm = 1.35  # half of a mark
HEAD: Mm = 6.2
INK: Share = 0.22
NEWTONS: Mm = 30.0  # right of the rungs, where newtons may be said


def ladder(fit: Fit, speech: Speech, wide: Mm) -> Drawing:
    """Rows: draw, push, later, waxed; columns: the words. Under it nothing; as wide as is asked."""
    rows = [("draw", fit.draw), ("push", fit.push), *((each.when, each.draw) for each in fit.later)]
    rows.append(("waxed", fit.waxed.draw))
    field = wide - NAMES - (NEWTONS if fit.calibrated else 0.0)
    low = -ROW * len(rows)
    marks: list[Mark] = list(_rungs(field, low, speech))
    for i, (name, band) in enumerate(rows):
        y = -ROW * (i + 0.5)
        marks.append(text((0.0, y), speech.say(f"foreseen.row.{name}"), bold=i == 0))
        marks += _bar(band, field, y)
        if fit.calibrated:
            marks.append(text((NAMES + field + 2.0, y), band_words(band, fit, speech)))
    return Drawing("ladder", tuple(marks))


def rung(force: Newton) -> Share:
    """Where a force lies on rungs of equal width, 0 to 1: within its word as on the ladder of the force curve.

    >>> rung(0.0), rung(12.0), rung(1e6)
    (0.0, 0.4, 1.0)
    """
    hold = word(force)
    low, high = limits(hold)
    high = high if isfinite(high) else low * HARDEST
    share = (on_ladder(force) - on_ladder(low)) / (on_ladder(high) - on_ladder(low))
    return (list(Hold).index(hold) + min(max(share, 0.0), 1.0)) / len(Hold)


def _rungs(field: Mm, low: Mm, speech: Speech) -> Iterator[Mark]:
    """Names of the words over their columns, a line between each two."""
    each = field / len(Hold)
    for i, hold in enumerate(Hold):
        x = NAMES + i * each
        yield text((x + each / 2, HEAD / 2), speech.say(f"fit.hold.{hold.value}"), "middle")
        if i:
            yield segment((x, HEAD - 1.0), (x, low), Role.LEADER)
    yield segment((NAMES, 0.0), (NAMES + field, 0.0), Role.CUT)
    yield segment((NAMES, low), (NAMES + field, low), Role.LEADER)


def _bar(band: Band, field: Mm, y: Mm) -> Iterator[Mark]:
    low, middle, high = (
        NAMES + field * rung(max(force, 0.0)) for force in (band.low, band.middle, band.high)
    )
    high = max(high, low + BAR / 2)
    corners = ((low, y - BAR / 2), (high, y - BAR / 2), (high, y + BAR / 2), (low, y + BAR / 2))
    yield Stroke(corners, Role.LEADER, closed=True, fill=INK)
    yield Stroke(corners, Role.LEADER, closed=True)
    diamond = ((middle - DOT, y), (middle, y - DOT), (middle + DOT, y), (middle, y + DOT))
    yield Stroke(diamond, Role.LEADER, closed=True, fill=1.0)
