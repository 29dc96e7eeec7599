"""Lets `python -m siltline` do what the installed command does."""

from siltline.cli import main

main()
