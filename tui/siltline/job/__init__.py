"""The use cases: begin, open, add, tick, review, hand off. Screens and commands call these."""

from siltline.job.desk import Job, open_job

__all__ = ["Job", "open_job"]
