"""The commands: the first face of siltline, and the one for scripts and screen readers."""

from siltline.cli.root import main

__all__ = ["main"]
