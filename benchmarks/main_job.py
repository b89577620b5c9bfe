"""From readings to pattern: time warm and cold, memory, many at once, mesh error, and libigl on the same surface."""

from __future__ import annotations

import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from importlib.resources import files
from pathlib import Path

import numpy as np

from backseam import loads, work, write_all
from backseam.form.form import Form
from backseam.geom.spline import spline
from backseam.pattern.flatten import Law, flatten
from backseam.pattern.surface import grid_for, surface
from benchmarks.timing import SAMPLES, sample, timed

ENVIRONMENT = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}


def mesh_error(form: Form) -> float:
    """Largest distance of the stitch line from that of a mesh four times as fine, mm."""
    lines = []
    for mesh in ({}, {"rows": 73, "wall": 19, "fillet": 8, "flange": 8}):
        grid = grid_for(form, **mesh)
        done = flatten(surface(form, grid), Law.girth_kept())
        lines.append(spline(grid.u, done.nodes[:, grid.seam])(np.linspace(0, form.marks.mouth, 300)))
    return float(np.abs(lines[0] - lines[1]).max())


def warm() -> float:
    """Readings to pattern, stitches and findings. Returns the median of the first, for ratios."""
    print("readings to pattern, stitches and findings, warm (ms)")
    print(f"{'job':<14}{'median':>8}{'95 %':>8}{'holes':>7}{'steps':>7}{'mesh error, mm':>16}")
    first = 0.0
    for name in SAMPLES:
        job = loads(sample(name))
        median, high = timed(lambda job=job: work(job), 40)
        first = first or median
        done = work(job)
        print(
            f"{name:<14}{median:>8.1f}{high:>8.1f}{done.seam.count:>7}{done.upper.stretch.steps:>7}"
            f"{mesh_error(done.form):>16.3f}"
        )
    return first


def against_libigl() -> None:
    """The same neutral layer flattened by libigl, whole width, in the same run."""
    from tests.truth.test_flatten_against_libigl import arap, slim

    print("\nthe same surface, flattening alone (ms), girth lost at most")
    print(f"{'job':<14}{'ours':>8}{'ARAP':>8}{'SLIM':>8}{'ours':>9}{'ARAP':>9}{'SLIM':>9}")
    for name in ("barrel", "bent-inside"):
        form = work(loads(sample(name))).form
        grid = grid_for(form)
        ours, _ = timed(lambda form=form, grid=grid: flatten(surface(form, grid), Law.girth_kept()), 15)
        lost = [np.abs(flatten(surface(form, grid), Law.girth_kept()).girth).max()]
        took = []
        for solve in (arap, slim):
            start = time.perf_counter()
            uv, path = solve(form)
            took.append(1e3 * (time.perf_counter() - start))
            rows = np.hypot(*np.moveaxis(np.diff(uv, axis=1), -1, 0)).sum(axis=1)
            lost.append(np.abs(2 * path.half / rows - 1).max())
        print(
            f"{name:<14}{ours:>8.1f}{took[0]:>8.0f}{took[1]:>8.0f}"
            + "".join(f"{100 * v:>8.2f}%" for v in lost)
        )


def cold() -> None:
    """A whole run of the command, process start to the last paper; and the bare import."""
    print("\nfrom cold (s), memory (MB)")
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "job.json"
        file.write_text(
            files("backseam.samples").joinpath("barrel.json").read_text(encoding="utf-8"), encoding="utf-8"
        )
        command = [
            sys.executable,
            "-m",
            "backseam.cli.main",
            "work",
            str(file),
            "-o",
            str(Path(folder) / "out"),
        ]
        for name, argv in (
            ("python alone", [sys.executable, "-c", "pass"]),
            ("import backseam", [sys.executable, "-c", "import backseam"]),
            ("work, all papers", command),
        ):
            took = []
            for _ in range(6):  # the first may compile bytecode
                start = time.perf_counter()
                subprocess.run(argv, check=True, capture_output=True, env=ENVIRONMENT)
                took.append(time.perf_counter() - start)
            peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
            print(f"{name:<18} least {min(took):.2f}  median {np.median(took[1:]):.2f}  peak {peak:.0f}")


def many() -> None:
    """Jobs at once over the cores: 25 to 200 of them, as a straight line."""
    print("\nmany at once, `work` over the cores (s)")
    raw = json.loads(files("backseam.samples").joinpath("barrel.json").read_text(encoding="utf-8"))
    with tempfile.TemporaryDirectory() as folder:
        for count in (25, 50, 100, 200):
            names = []
            for i in range(count):
                raw["form"]["girths"][2]["reading_mm"] = 95.0 + 0.004 * i
                raw["id"] = f"J-{i:03}"
                names.append(Path(folder) / f"job-{i:03}.json")
                names[-1].write_text(json.dumps(raw), encoding="utf-8")
            start = time.perf_counter()
            argv = [
                sys.executable,
                "-m",
                "backseam.cli.main",
                "work",
                *map(str, names),
                "-o",
                f"{folder}/out{count}",
            ]
            subprocess.run(argv, check=True, capture_output=True, env=ENVIRONMENT)
            took = time.perf_counter() - start
            print(f"{count:>5} jobs {took:>7.1f}   {1e3 * took / count:>6.0f} ms a job")


def main() -> None:
    """All of it."""
    warm()
    against_libigl()
    done = work(loads(sample("barrel")))
    papers, _ = timed(lambda: write_all(done), 5)
    print(f"\nall papers of one job, warm: {papers:.0f} ms")
    cold()
    many()
