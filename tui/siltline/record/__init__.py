"""The job file: events and photo bytes, appended and never changed, in one SQLite file."""

from siltline.record.envelope import Event, Late, seal, unseal
from siltline.record.store import Record, open_record

__all__ = ["Event", "Late", "Record", "open_record", "seal", "unseal"]
