"""What was typed into a form and not sent yet: kept on the laptop, so that a kill loses none of it.

A draft is no part of the record: nobody said it yet. It lies in the settings folder, one small
file a form, and goes when its act is done or it is thrown away.
"""

from __future__ import annotations

import hashlib
import json
import os
import secrets
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from msgspec import Struct

from siltline import config
from siltline.job.desk import Job

FOLDER = "drafts"
LARGEST = 4_000_000  # bytes; a house sheet of 500,000 characters, and what JSON adds


class Draft(Struct, frozen=True):
    """Where what is typed into one form is kept."""

    path: Path

    def kept(self) -> dict[str, str]:
        """Return what was typed, by the key of its field; {} where nothing is kept."""
        try:
            if self.path.stat().st_size > LARGEST:
                return {}
            found = json.loads(self.path.read_text(encoding="utf-8"))
        except (OSError, ValueError, RecursionError):
            return {}
        if not isinstance(found, dict):
            return {}
        return {key: typed for key, typed in found.items() if isinstance(typed, str)}

    def keep(self, typed: Mapping[str, str]) -> None:
        """Keep what is typed; whole or as it was before, whenever the program is killed.

        A laptop that lets nothing be written still works, it only forgets.
        """
        part = self.path.with_name(f".{self.path.name}.{secrets.token_hex(4)}.part")
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            # what people type is theirs alone
            with open(os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as file:  # noqa: PTH123
                file.write(json.dumps(dict(typed), ensure_ascii=True).encode())
            part.replace(self.path)
        except OSError:
            with suppress(OSError):
                part.unlink()

    def throw_away(self) -> None:
        """Forget what was typed."""
        with suppress(OSError):
            self.path.unlink()


def draft_of(job: Job | None, form: str) -> Draft:
    """Return the draft of a form, of one job or of none: the same wherever the job file lies."""
    about = job.record.events[0].id if job else ""
    name = hashlib.sha256(f"{about} {form}".encode("utf-8", "replace")).hexdigest()[:32]
    return Draft(config.settings_folder() / FOLDER / f"{name}.json")
