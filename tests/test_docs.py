"""The pages say what the code does: examples run, links lead somewhere, generated pages are fresh, words exist."""

from __future__ import annotations

import doctest
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
PAGES = [ROOT / "README.md", *sorted((ROOT / "docs").rglob("*.md"))]


def test_the_examples_run():
    result = doctest.testfile(str(ROOT / "docs" / "examples.md"), module_relative=False)
    assert result.attempted > 15
    assert result.failed == 0


@pytest.mark.parametrize("page", PAGES, ids=lambda p: str(p.relative_to(ROOT)))
def test_links_lead_somewhere(page):
    for target in re.findall(r"\]\(([^)#]+)\)", page.read_text(encoding="utf-8")):
        assert (page.parent / target).exists(), target


def test_generated_pages_are_fresh():
    from docs import make

    assert (ROOT / "docs" / "findings.md").read_text(encoding="utf-8") == make.findings(), "run make docs"
    for name, text in make.pictures().items():
        kept = (ROOT / "docs" / "pictures" / name).read_text(encoding="utf-8")
        assert [round(float(n), 1) for n in re.findall(r"-?\d+\.\d+", kept)] == pytest.approx(
            [round(float(n), 1) for n in re.findall(r"-?\d+\.\d+", text)], abs=0.11
        ), f"{name}: run make docs"


@pytest.mark.parametrize(
    "page", [ROOT / "README.md", ROOT / "docs" / "floors.md", ROOT / "docs" / "geometry.md"]
)
def test_modules_and_tests_named_in_the_pages_exist(page):
    for name in re.findall(r"`((?:[a-z_]+/)+[a-z_0-9]*\.?[a-z]*)`", page.read_text(encoding="utf-8")):
        places = [ROOT / name, ROOT / "src" / "backseam" / name]
        assert any(p.exists() for p in places), name


def test_every_public_function_of_the_core_is_documented_and_typed():
    import ast

    for path in sorted((ROOT / "src" / "backseam").rglob("*.py")):
        if "cli" in path.parts:
            continue
        tree = ast.parse(path.read_text(encoding="utf-8"))
        assert path.name == "__init__.py" or ast.get_docstring(tree), f"{path} has no docstring"
        for node in tree.body:
            if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
                assert ast.get_docstring(node), f"{path.name}: {node.name}"
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                assert node.returns is not None, f"{path.name}: {node.name}"


def test_the_two_commands_are_in_the_readme():
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    for command in ("demo", "test"):
        assert f"make {command}" in text
        assert f"\n{command}:" in makefile
