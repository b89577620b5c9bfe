"""Values from the world: each has range, unit, kind and a source that resolves; every source is used."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
SRC = ROOT / "src" / "backseam"
SOURCES = tomllib.loads((ROOT / "docs" / "sources.toml").read_text(encoding="utf-8"))
KINDS = {"standard", "published", "measured", "derived", "common practice", "assumed"}
TABLES = [SRC / "ground" / "defaults.toml", *sorted((SRC / "leather").glob("*.toml"))]


def records(table: Path):
    for group, inner in tomllib.loads(table.read_text(encoding="utf-8")).items():
        for name, record in inner.items():
            if isinstance(record, dict) and "value" in record:
                yield f"{group}.{name}", record


@pytest.mark.parametrize("table", TABLES, ids=lambda p: p.name)
def test_every_value_has_range_unit_kind_and_source(table):
    for name, record in records(table):
        assert record["low"] <= record["value"] <= record["high"], name
        assert record["unit"], name
        assert record["kind"] in KINDS, name
        assert record["source"] in SOURCES, f"{name}: {record['source']}"


def test_every_source_is_used_and_complete():
    text = "\n".join(p.read_text(encoding="utf-8") for p in SRC.rglob("*") if p.suffix in (".py", ".toml"))
    text += "\n".join(p.read_text(encoding="utf-8") for p in (ROOT / "tests").rglob("*.py"))
    for key, record in SOURCES.items():
        assert re.search(rf"\b{re.escape(key)}\b", text), f"nothing uses {key}"
        assert {"author", "year", "title", "where", "what"} <= set(record), key


def test_source_keys_named_in_docstrings_resolve():
    for path in SRC.rglob("*.py"):
        for key in re.findall(
            r"Source:\s+([a-z]+(?:-[a-z0-9.]+)*-\d[\d.]*)", path.read_text(encoding="utf-8")
        ):
            assert key.rstrip(".") in SOURCES, f"{path.name}: {key}"


def test_weak_assumed_values_that_move_the_paper_are_in_the_assumptions_block():
    # neutral layer, fillet, allowances and the law of flattening move a printed dimension by more than 0.5 mm
    from backseam.ground.sources import values

    for name in (
        "leather.neutral_layer",
        "seam.inside_radius_share",
        "leather.allowance_across",
        "leather.allowance_along",
        "flattening.stiffness_across",
        "flattening.compression",
    ):
        assert values()[name].weak, name
