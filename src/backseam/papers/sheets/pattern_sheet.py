"""The flat piece at full size, grain side up, mouth up: lines, hatching and words as one drawing."""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from backseam.ground.speech import Speech
from backseam.ground.units import Mm
from backseam.leather.leather import Leather
from backseam.papers.model import Box, Drawing, Words
from backseam.papers.sheets import lettering, seam_labels, wall_labels
from backseam.papers.sheets.hatch import hatch
from backseam.papers.sheets.labelling import Labels, broken
from backseam.papers.sheets.lettering import NOTE
from backseam.papers.sheets.piece import CENTRE_BEYOND, Areas, lines
from backseam.papers.sheets.placing import Room
from backseam.papers.sheets.title_block import Heading
from backseam.pattern.construction import Construction
from backseam.pattern.hanger import HangerPlan
from backseam.pattern.seam import Seam
from backseam.pattern.upper import Upper

LEAST_UNDER: Mm = 60.0  # width of the lines under a narrow piece
BESIDE_SEAM: Mm = 1.3  # the hatching leaves the slits clear


def pattern(
    upper: Upper,
    seam: Seam,
    hanger: HangerPlan,
    construction: Construction,
    leather: Leather,
    labels: Heading,
    speech: Speech,
    joins: Sequence[Box] = (),
) -> Drawing:
    """The upper in its own coordinates (x = 0 on the centre line, y = 0 at the bottom edge), mm, at full size.

    joins: where sheets will be joined; words stay off them as long as there is other room.
    """
    drawn = lines(upper, seam, hanger, construction)
    room = Room(drawn)
    room.take_shapes(shapely.box(b.left, b.bottom, b.right, b.top) for b in joins)
    made = Labels(upper, Areas(upper), room, speech)
    seam_labels.hole_numbers(made, seam, construction)
    seam_labels.stations(made)
    wall_labels.flap(made, construction)
    wall_labels.hanger(made, hanger)
    wall_labels.bottom(made)
    wall_labels.mouth(made)
    wall_labels.title(made, leather, labels)
    wall_labels.press(made)
    wall_labels.tight(made, leather)
    wall_labels.centre(made)
    wall_labels.hand_line(made, construction)
    seam_labels.clamps(made, construction)
    seam_labels.snips(made)
    words = [mark for mark in made.placed if isinstance(mark, Words)]
    seams = shapely.MultiLineString([upper.stitch_left, upper.stitch_right]).buffer(BESIDE_SEAM)
    bands = (made.areas.glue(side).difference(seams) for side in (-1, 1))
    glue = [line for band in bands for line in hatch(band, words=words, why="glue band")]
    return Drawing("pattern", (*glue, *drawn, *made.placed, *_under(made)))


def _under(made: Labels) -> tuple[Words, ...]:
    """What found no room on a narrow piece, in lines under it."""
    texts = dict.fromkeys(text for text in made.unplaced if not text.isdigit())
    left, bottom, right, _ = made.areas.piece.bounds
    lines = broken([(text, NOTE, False) for text in texts], max(right - left, LEAST_UNDER))
    return lettering.block(lines, left, bottom - CENTRE_BEYOND - 1.0)
