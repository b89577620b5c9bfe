"""`backseam schema`: the published schema of the job file, or of worked.json."""

from __future__ import annotations

from typing import Annotated

from cyclopts import Parameter

from backseam.cli.options import help_of
from backseam.cli.screen import print_json


def schema(
    *, worked: Annotated[bool, Parameter(negative=(), help=help_of("worked"), show_default=False)] = False
) -> int:
    """Print the schema."""
    if worked:
        from backseam.job.worked_json import schema as published
    else:
        from backseam.job.schema import schema as published
    print_json(published())
    return 0
