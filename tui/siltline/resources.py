"""Where the data that ships with the program lies: in the wheel, or beside pyproject.toml."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).parent
_PLACES = (_PACKAGE / "_data", _PACKAGE.parent.parent)


def folder(name: str) -> Path:
    """Return the folder of that name: `checklists` or `sample_job`.

    Raises:
        FileNotFoundError: the installation is not whole.
    """
    for place in _PLACES:
        if (place / name).is_dir():
            return place / name
    raise FileNotFoundError(name)


def checklist_names() -> list[str]:
    """Return the names of the checklists that ship, in order."""
    return sorted(p.parent.name for p in folder("checklists").glob("*/checklist.yaml"))


def house_template() -> Path:
    """Return the file of the house sheet that a person fills in."""
    return _PACKAGE / "catalogue" / "house-template.yaml"
