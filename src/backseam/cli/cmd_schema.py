"""`backseam schema`: the published schema of the job file, of the leather card and its tests, or of worked.json."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import Annotated, Any, Literal, TypeAlias

from cyclopts import Parameter

from backseam.cli.options import help_of
from backseam.cli.screen import print_json

Document: TypeAlias = Literal["job", "leather-card", "leather-tests", "worked"]

WHERE = {
    "job": "backseam.job.schema",
    "leather-card": "backseam.job.leather_card",
    "leather-tests": "backseam.job.leather_tests",
    "worked": "backseam.job.worked_json",
}


def schema(
    document: Annotated[Document, Parameter(help=help_of("schema_of"))] = "job",
    /,
    *,
    worked: Annotated[bool, Parameter(negative=(), help=help_of("worked"), show_default=False)] = False,
) -> int:
    """Print the schema."""
    published: Callable[[], dict[str, Any]] = import_module(WHERE["worked" if worked else document]).schema
    print_json(published())
    return 0
