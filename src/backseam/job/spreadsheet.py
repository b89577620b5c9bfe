"""A worked job's stations and holes as tables for a spreadsheet, the columns those of `worked.json`."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from backseam.job.recipe import Worked
from backseam.job.worked_json import HoleOut, StationOut, hole_out, stations_out
from backseam.papers import tables

STATIONS, HOLES = "stations.csv", "holes.csv"


def spreadsheets(worked: Worked) -> dict[str, bytes]:
    """Stations from the bottom edge up, and both rows of holes from the mouth down; lengths in mm, CSV by file name."""
    stations = [one.model_dump() for one in stations_out(worked)]
    sides = (("left", worked.seam.left), ("right", worked.seam.right))
    holes = [{"side": side, **hole_out(hole).model_dump()} for side, row in sides for hole in row]
    return {
        STATIONS: _table(tuple(StationOut.model_fields), stations),
        HOLES: _table(("side", *HoleOut.model_fields), holes),
    }


def _table(names: Sequence[str], rows: Iterable[dict[str, Any]]) -> bytes:
    return tables.write(names, ([row[name] for name in names] for row in rows))
