"""Keeps a frame within its window: what scrolls in it gives way, its other lines stay in sight."""

from __future__ import annotations

from typing import Any

from textual.screen import Screen
from textual.widget import Widget

from siltline.screens.notice_lines import Notices

FRAME_LINES = 2


def fit(screen: Screen[Any], frame: Widget, scrolls: Widget) -> None:
    """Let what scrolls in a frame be as high as the screen leaves beside all else, notices too.

    Textual counts a height given as a share in full where a frame is as high as what it holds.
    """
    others = FRAME_LINES + sum(
        max(1, one.outer_size.height) + one.styles.margin.height
        for one in frame.children
        if one is not scrolls
    )
    others += sum(one.outer_size.height for one in screen.query(Notices) if one.display)
    scrolls.styles.max_height = max(1, screen.size.height - others)
