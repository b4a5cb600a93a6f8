"""Lines whose continuation is indented when they are wrapped."""

from __future__ import annotations

from collections.abc import Iterable

from textual.content import Content
from textual.css.styles import RulesMap
from textual.strip import Strip
from textual.style import Style
from textual.visual import RenderOptions, Visual

Row = tuple[Content, int]
"""A line, and by how many cells what does not fit on it is indented below."""


def wrapped(row: Row, width: int) -> list[Content]:
    """Return the row as lines of at most `width` cells."""
    content, hang = row
    if content.cell_length <= width:
        return [content]
    hang = min(hang, max(0, width - 8))
    first, *rest = content[hang:].wrap(max(1, width - hang)) or [Content("")]
    return [Content.assemble(content[:hang], first), *(Content.assemble(" " * hang, line) for line in rest)]


class Hanging(Visual):
    """Rows of text with hanging indents; nothing in them is read as markup."""

    def __init__(self, rows: Iterable[Row]) -> None:
        """Keep the rows."""
        self._rows = list(rows)
        self._drawn: tuple[int, Content] | None = None

    def laid_out(self, width: int) -> Content:
        """Return all rows wrapped to a width, as one text."""
        if self._drawn is None or self._drawn[0] != width:
            lines = [line for row in self._rows for line in wrapped(row, width)]
            self._drawn = (width, Content("\n").join(lines))
        return self._drawn[1]

    def render_strips(self, width: int, height: int | None, style: Style, options: RenderOptions) -> list[Strip]:
        """Draw the rows."""
        return self.laid_out(width).render_strips(width, height, style, options)

    def get_optimal_width(self, rules: RulesMap, container_width: int) -> int:
        """Return the width of the longest row."""
        return max((content.cell_length for content, _ in self._rows), default=0)

    def get_height(self, rules: RulesMap, width: int) -> int:
        """Return the number of lines at a width."""
        return self.laid_out(width).plain.count("\n") + 1 if self._rows else 0
