"""All benchmarks as tables: `make bench`, or `python -m benchmarks main_job` for one of them. Nothing fails on time."""

from __future__ import annotations

import sys
from importlib import import_module
from pathlib import Path

HERE = Path(__file__).parent


def names() -> list[str]:
    """Every module here with a `main`, the main job first."""
    found = sorted(p.stem for p in HERE.glob("*.py") if "\ndef main(" in p.read_text(encoding="utf-8"))
    found.remove("__main__")
    return sorted(found, key=lambda name: name != "main_job")


def main() -> None:
    """Run those asked for, or all."""
    for name in sys.argv[1:] or names():
        import_module(f"benchmarks.{name}").main()
        print()


if __name__ == "__main__":
    main()
