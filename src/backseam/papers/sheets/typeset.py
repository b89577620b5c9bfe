"""Pages set by typst from one template: everything a person typed goes in as data, never as markup.

Same content, same bytes.
"""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files
from typing import Any

import typst


def typeset(template: str, content: dict[str, Any]) -> bytes:
    """The PDF of a template of this folder, its name without ending, with this content."""
    pdf = typst.compile(
        _template(template),
        font_paths=fonts(),
        sys_inputs={"card": json.dumps(content, ensure_ascii=False)},
        timestamp=0,
        pdf_tags=False,
    )
    assert isinstance(pdf, bytes)
    return pdf


@cache
def _template(name: str) -> bytes:
    return files("backseam.papers.sheets").joinpath(f"{name}.typ").read_bytes()


@cache
def fonts() -> typst.Fonts:
    """The fonts the sheets are printed with, and no other."""
    folder = str(files("backseam.papers").joinpath("fonts"))
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[folder])
