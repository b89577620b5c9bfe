"""Makes `papers/skeleton.dxf`: all of a DXF file but its drawing, by ezdxf. Run it when the styles change.

    python tests/papers/dxf_skeleton.py

The header (mm), the line types of ISO 128, one layer for each role and the tables a reader asks for are the
same in each file, so they are made once, here, by the library that knows the format; `papers/dxf.py` puts the
drawing in. That spares each run of the program the second that ezdxf takes to load, and its look-ups in the
user's folder.
"""

from __future__ import annotations

import io
from importlib.resources import files

import ezdxf
from ezdxf import units

from backseam.papers.dxf import STYLE, layer, line_type
from backseam.papers.styles import Style, styles

BLACK_OR_WHITE = 7


def pattern(style: Style) -> list[float]:
    """The dashes as DXF wants them: total length, then dash positive, gap negative."""
    signed = [dash if i % 2 == 0 else -dash for i, dash in enumerate(style.dashes)]
    return [sum(style.dashes), *signed]


def skeleton() -> str:
    """The text of the file."""
    ezdxf.options.write_fixed_meta_data_for_testing = True
    made = ezdxf.new("R2010", units=units.MM)
    made.header["$LASTSAVEDBY"] = "Backseam"
    made.styles.add(STYLE, font="arial.ttf")
    for style in styles():
        name = line_type(style)
        if style.dashes and name not in made.linetypes:
            made.linetypes.add(name, pattern(style), description=f"ISO 128 {style.number} {style.name}")
        added = made.layers.add(layer(style.role), color=BLACK_OR_WHITE, linetype=name)
        added.dxf.lineweight = round(100 * style.width)
    out = io.StringIO()
    made.write(out)
    return out.getvalue()


if __name__ == "__main__":
    with files("backseam.papers").joinpath("skeleton.dxf").open("w", encoding="utf-8", newline="\n") as out:
        out.write(skeleton())
