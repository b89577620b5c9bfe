"""DXF, read with GDAL and with ezdxf, neither of which writes it here."""

from __future__ import annotations

import importlib.util
import io
from pathlib import Path

import ezdxf
import pyogrio
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pyogrio.raw import read

from backseam.papers.dxf import escaped, layer, line_type, write
from backseam.papers.letters import clean
from backseam.papers.model import Drawing, Ring, Role, Stroke, Words, segment
from backseam.papers.styles import style, styles

pyogrio.set_gdal_config_options({"DXF_ENCODING": "UTF-8"})  # as R2010 is; GDAL goes by the old code page

HOSTILE = (
    "5^2 ^J ^ M",
    "{\\fArial|b1;bold} \\P \\~",
    "č š ž ł å ö ≤ ± × °",
    "\x00\r\n  0\nEOF\n",
    "a\\\\b;c",
)


def _texts(drawing: Drawing, folder: Path) -> list[str]:
    file = folder / "made.dxf"
    file.write_bytes(write(drawing))
    _, _, _, columns = read(file, columns=["Text"])
    return [str(text) for text in columns[0] if text is not None]


def test_ezdxf_finds_nothing_to_mend(pattern: Drawing) -> None:
    document = ezdxf.read(io.StringIO(write(pattern).decode()))
    audit = document.audit()
    assert (audit.errors, audit.fixes) == ([], [])
    assert document.units == ezdxf.units.MM
    assert document.dxfversion == "AC1024"
    white = sum(not isinstance(mark, Words) and mark.fill == 0 for mark in pattern.marks)
    assert white > 0
    assert len(document.modelspace()) == len(pattern.marks) - white


def test_one_layer_for_each_role_with_its_line(pattern: Drawing) -> None:
    document = ezdxf.read(io.StringIO(write(pattern).decode()))
    for look in styles():
        made = document.layers.get(layer(look.role))
        assert made.dxf.lineweight == round(100 * look.width)
        assert made.dxf.linetype == line_type(look)
        if look.dashes:
            assert document.linetypes.get(made.dxf.linetype).dxf.description.startswith(
                f"ISO 128 {look.number}"
            )
    used = {entity.dxf.layer for entity in document.modelspace()}
    assert used == {layer(mark.role) for mark in pattern.marks}


def test_extent_and_handles_are_true(pattern: Drawing) -> None:
    document = ezdxf.read(io.StringIO(write(pattern).decode()))
    box = pattern.box
    assert document.header["$EXTMIN"][:2] == pytest.approx((box.left, box.bottom), abs=0.001)
    assert document.header["$EXTMAX"][:2] == pytest.approx((box.right, box.top), abs=0.001)
    handles = [int(entity.dxf.handle, 16) for entity in document.modelspace()]
    assert len(set(handles)) == len(handles)
    assert max(handles) < int(write(pattern).decode().split("$HANDSEED\n  5\n")[1].split("\n")[0], 16)


@pytest.mark.parametrize("text", HOSTILE)
def test_typed_text_stays_text(text: str, tmp_path: Path) -> None:
    assert _texts(Drawing("", (Words((0, 0), text),)), tmp_path) == [clean(text)]


@pytest.mark.parametrize(
    ("typed", "read_back"),
    [("100 %%d", "100 % %d"), ("%%%", "% % %"), ("\\U+0041", "\\ U+0041"), ("\\M+1ABCD", "\\ M+1ABCD")],
)
def test_what_would_be_a_command_gets_a_blank(typed: str, read_back: str, tmp_path: Path) -> None:
    assert _texts(Drawing("", (Words((0, 0), typed),)), tmp_path) == [read_back]
    document = ezdxf.read(io.StringIO(write(Drawing("", (Words((0, 0), typed),))).decode()))
    assert document.modelspace()[0].plain_text() == read_back


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=40)
@given(text=st.text(min_size=1, max_size=60))
def test_any_text_gives_a_file_with_that_one_text(text: str, tmp_path: Path) -> None:
    drawing = Drawing("", (Words((0, 0), text), segment((0, 0), (1, 2), Role.CUT)))
    document = ezdxf.read(io.StringIO(write(drawing).decode(), newline="\n"))
    words, line = document.modelspace()
    assert words.dxf.text == escaped(text)
    assert line.dxf.layer == "CUT"


def test_areas_are_solid_and_white_ground_is_left_out() -> None:
    marks = (
        Stroke(((0, 0), (4, 0), (4, 3)), Role.LEADER, True, fill=1.0),
        Ring((10, 10), 2, Role.PUNCH, fill=0.5),
        Stroke(((0, 0), (4, 0), (4, 3)), Role.LABEL, True, fill=0.0),
    )
    solid, tint = ezdxf.read(io.StringIO(write(Drawing("", marks)).decode())).modelspace()
    assert (solid.dxftype(), tint.dxftype()) == ("HATCH", "HATCH")
    assert [tuple(v[:2]) for v in solid.paths[0].vertices] == [(0, 0), (4, 0), (4, 3)]
    assert not solid.dxf.hasattr("true_color")
    assert tint.rgb == (128, 128, 128)


def test_a_drawing_of_nothing_is_a_file_all_the_same() -> None:
    assert len(ezdxf.read(io.StringIO(write(Drawing("")).decode())).modelspace()) == 0


def test_the_skeleton_is_what_ezdxf_writes() -> None:
    """Line types and layers of the shipped skeleton are those of `styles`; if not, run `dxf_skeleton.py` again."""
    spec = importlib.util.spec_from_file_location("dxf_skeleton", Path(__file__).with_name("dxf_skeleton.py"))
    assert spec
    assert spec.loader
    maker = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(maker)
    fresh = ezdxf.read(io.StringIO(maker.skeleton()))
    shipped = ezdxf.read(io.StringIO(write(Drawing("")).decode()))
    for table in ("linetypes", "layers", "styles"):
        ours, theirs = (
            {e.dxf.name: e.dxf.all_existing_dxf_attribs() for e in getattr(d, table)}
            for d in (shipped, fresh)
        )
        assert ours == theirs
    for look in styles():
        assert line_type(style(look.role)) in shipped.linetypes
