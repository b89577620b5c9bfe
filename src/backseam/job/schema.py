"""The published JSON Schema of the job document: what may stand where, with its name and explanation."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel

from backseam.job.document import VERSION, Job

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def schema() -> dict[str, Any]:
    """The schema of the newest version, for editors and other programs. It describes what Backseam writes."""
    return published(Job, f"urn:backseam:job:{VERSION}")


def published(document: type[BaseModel], name: str) -> dict[str, Any]:
    """The schema of a document under its name, its parts called as the document says them."""
    made = document.model_json_schema(mode="validation")
    made["required"] = ["kind", "version"]
    names = {name: _name(name) for name in made.get("$defs", {})}
    renamed = _renamed(made, {f"#/$defs/{old}": f"#/$defs/{new}" for old, new in names.items()})
    renamed["$defs"] = {names[name]: one for name, one in sorted(renamed["$defs"].items())}
    return {"$schema": DIALECT, "$id": name, **renamed}


def _name(name: str) -> str:
    """A definition's name as the document says it: `FormPart` is the form."""
    words = "".join(f"_{char.lower()}" if char.isupper() else char for char in name.removesuffix("Part"))
    return words.strip("_")


def _renamed(value: Any, names: dict[str, str]) -> Any:
    if isinstance(value, dict):
        return {key: _renamed(one, names) for key, one in value.items()}
    if isinstance(value, list):
        return [_renamed(one, names) for one in value]
    return names.get(value, value) if isinstance(value, str) else value
