"""The answers about a fleet as plain text tables."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from assistant.journal.shown import one_line
from assistant.report.fleet import heading_of

_WIDEST = 60


def fleet_lines(found: Mapping[str, Sequence[Mapping[str, Any]]], left_out: Sequence[tuple[str, str]]) -> Iterator[str]:
    """Every answer as a table, then what was left out and why."""
    for name, rows in found.items():
        yield heading_of(name)
        yield from _table(rows) if rows else ("  none",)
        yield ""
    if left_out:
        yield "Left out"
        yield from (f"  {one_line(path)}: {one_line(reason)}" for path, reason in left_out)


def _table(rows: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    head = [key.replace("_", " ") for key in rows[0]]
    cells = [head, *([_cell(value) for value in row.values()] for row in rows)]
    widths = [max(len(row[column]) for row in cells) for column in range(len(head))]
    for row in cells:
        pairs = zip(row, widths, rows[0].values(), strict=True)
        yield ("  " + "  ".join(_aligned(text, width, like) for text, width, like in pairs)).rstrip()


def _aligned(text: str, width: int, like: Any) -> str:
    return text.rjust(width) if isinstance(like, int | float) else text.ljust(width)


def _cell(value: Any) -> str:
    text = "" if value is None else one_line(str(value))
    return text if len(text) <= _WIDEST else text[: _WIDEST - 1] + "…"
