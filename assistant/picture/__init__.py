"""The picture of the path: battery to motor and back, drawn from readings, in plain characters and as SVG."""

from __future__ import annotations

from assistant.picture.lines import brief_lines, table_of, text_lines
from assistant.picture.picture import Picture, Point, Stretch, picture_of
from assistant.picture.readings import describes_cable, path_read
from assistant.picture.svg import to_svg

__all__ = [
    "Picture",
    "Point",
    "Stretch",
    "brief_lines",
    "describes_cable",
    "path_read",
    "picture_of",
    "table_of",
    "text_lines",
    "to_svg",
]
