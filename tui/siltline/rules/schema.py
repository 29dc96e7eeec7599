"""JSON Schema of the files that people write, for editors that complete and check as they type."""

from __future__ import annotations

from typing import Any

from siltline.rules.house import House
from siltline.rules.rule import PhaseFile, SharedFile, TopFile
from siltline.rules.shapes import Shape

SHAPES: dict[str, type[Shape]] = {
    "house": House,
    "checklist": TopFile,
    "phase": PhaseFile,
    "shared": SharedFile,
}


def schema(name: str) -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of a kind of file, one of SHAPES."""
    found = SHAPES[name].model_json_schema(by_alias=True)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **found}
