"""The house: imports run downhill, the core stays pure, pieces stay small."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

SRC = Path(__file__).parent.parent / "src" / "backseam"

# The floor of each folder, longest prefix first. docs/floors.md says the same in words.
FLOORS = {
    "ground": 0,
    "geom": 1,
    "papers/sheets": 5,
    "papers": 1,
    "form": 2,
    "leather": 2,
    "stock": 2,
    "pattern": 3,
    "fit": 4,
    "making": 4,
    "job": 6,
    "intake": 7,
    "store": 7,
    "cli": 8,
    "app": 8,
}
APART = [{"form", "leather", "stock"}, {"fit", "making"}, {"intake", "store"}, {"cli", "app"}]
CORE_MAY = {"numpy", "scipy", "shapely"}
MORE = {
    "papers/pdf.py": {"reportlab"},
    "papers/dxf.py": {"ezdxf"},
    "papers/letters.py": {"reportlab", "fontTools"},
    "papers/sheets/typeset.py": {"typst"},
}
PYDANTIC = {"job"}
IMPURE = {"open", "print", "input", "exec", "eval"}
CLOCKS = {
    "time",
    "random",
    "socket",
    "os",
    "sqlite3",
    "http",
    "urllib",
    "requests",
    "subprocess",
    "locale",
}


def modules():
    return sorted(p for p in SRC.rglob("*.py") if p.name != "__init__.py" or p.parent != SRC)


def folder(path: str) -> str:
    return next(
        (f for f in sorted(FLOORS, key=len, reverse=True) if path == f or path.startswith(f + "/")), ""
    )


def imports(tree: ast.AST):
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and node.level == 0:
            yield node.module
            if node.module.startswith("backseam"):
                yield from (f"{node.module}.{alias.name}" for alias in node.names)


def uphill(source: str, text: str) -> list[str]:
    """Imports of one module that run upward or sideways."""
    mine, found = folder(source), []
    for name in imports(ast.parse(text)):
        if not name.startswith("backseam."):
            continue
        theirs = folder(name.removeprefix("backseam.").replace(".", "/"))
        if not theirs or theirs == mine:
            continue
        apart = any(mine in group and theirs in group for group in APART)
        if (
            FLOORS[theirs] > FLOORS[mine]
            or apart
            or (FLOORS[theirs] == FLOORS[mine] and theirs != mine and FLOORS[mine] > 1)
        ):
            found.append(f"{source} imports {name}")
    return found


@pytest.mark.parametrize("path", modules(), ids=lambda p: str(p.relative_to(SRC)))
def test_imports_run_downhill(path):
    assert uphill(path.relative_to(SRC).as_posix(), path.read_text(encoding="utf-8")) == []


def test_the_guard_sees_an_upward_and_a_sideways_import():
    assert uphill("geom/x.py", "def f():\n    from backseam.form import girth\n")
    assert uphill("form/x.py", "from backseam.leather.leather import Leather\n")
    assert uphill("pattern/x.py", "from backseam.form.form import Form\n") == []


@pytest.mark.parametrize(
    "path",
    [p for p in modules() if 0 <= FLOORS.get(folder(p.relative_to(SRC).as_posix()), 9) <= 6],
    ids=lambda p: str(p.relative_to(SRC)),
)
def test_the_core_imports_little_and_touches_nothing(path):
    inside = path.relative_to(SRC).as_posix()
    tree = ast.parse(path.read_text(encoding="utf-8"))
    allowed = (
        CORE_MAY
        | MORE.get(inside, set())
        | ({"pydantic", "pydantic_core"} if folder(inside) in PYDANTIC else set())
    )
    for name in imports(tree):
        top = name.split(".")[0]
        assert top in allowed | {"backseam"} or top in sys.stdlib_module_names, f"{inside} imports {name}"
        assert top not in CLOCKS, f"{inside} imports {name}"
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute):
            of_clock = isinstance(node.value, ast.Name) and node.value.id in {"datetime", "date", "day"}
            asks = {"now", "today", "utcnow"} if of_clock else {"today", "utcnow"}
            assert node.attr not in asks, f"{inside}:{node.lineno} asks the clock"
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            assert node.func.attr != "now", f"{inside}:{node.lineno} asks the clock"
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in IMPURE, f"{inside}:{node.lineno} calls {node.func.id}"


@pytest.mark.parametrize("path", modules(), ids=lambda p: str(p.relative_to(SRC)))
def test_modules_and_functions_stay_small(path):
    text = path.read_text(encoding="utf-8")
    assert text.count("\n") <= 500, f"{path.name} has {text.count(chr(10))} lines"
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef):
            body = (
                node.body[1:]
                if isinstance(node.body[0], ast.Expr) and isinstance(node.body[0].value, ast.Constant)
                else node.body
            )
            if body:
                length = (body[-1].end_lineno or 0) - body[0].lineno + 1
                assert length <= 60, f"{path.name}:{node.lineno} {node.name} has {length} lines"


def test_names_that_say_nothing_are_not_used():
    for path in modules():
        assert path.stem not in {"utils", "helpers", "manager", "data", "process", "common", "misc"}, path


def test_importing_the_package_is_quick_and_light():
    code = (
        "import sys; import backseam; "
        "heavy = {'numpy', 'scipy', 'shapely', 'reportlab', 'ezdxf', 'typst', 'sqlite3', 'http', 'socket'}; "
        "print(sorted(heavy & set(sys.modules)))"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "[]"


def test_the_recipe_fits_on_a_page():
    assert (SRC / "job" / "recipe.py").read_text().count("\n") <= 220
