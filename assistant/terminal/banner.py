"""The safety banner: on top of every screen, never scrolled, never covered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from rich.cells import cell_len
from textual.content import Content
from textual.widgets import Static

from assistant.terminal.plain import one_line

Hazard = Mapping[str, Any]

MARKS = {"danger": "!!!", "warning": "!! ", "caution": "!  ", "notice": "i  "}
"""Marks that tell the levels apart without colour."""
_LEVELS = tuple(MARKS)
_INDENT = 14


def level_of(hazard: Hazard) -> str:
    """Return the hazard's level; an unknown one counts as a warning."""
    level = str(hazard.get("level", "")).lower()
    return level if level in MARKS else "warning"


def text_of(hazard: Hazard) -> str:
    """Return what is wrong, with 'not confirmed' where it is only suspected."""
    text = one_line(str(hazard.get("text") or str(hazard.get("hazard", "")).replace("_", " ")))
    return text if hazard.get("certain", True) else f"{text} (not confirmed)"


def since_and_cure(hazard: Hazard) -> str:
    """Return since when it stands and what clears it."""
    cure = hazard.get("clear_by")
    told = one_line(str(cure.get("text", ""))) if isinstance(cure, Mapping) else one_line(str(cure or ""))
    since = hazard.get("since")
    clock = f", {hazard['at']}" if hazard.get("at") else ""
    when = "for the next step" if hazard.get("kind") == "step" else f"since turn {since}{clock}" if since else ""
    return " · ".join(piece for piece in (when, f"clear it: {told}" if told else "") if piece)


def banner_lines(hazards: Sequence[Hazard], width: int, height: int) -> list[Content]:
    """Return the lines of the banner, most severe first.

    Each hazard is written in full while the height allows; where it does not, the
    least severe are cut to one line each, and what still does not fit is counted
    in a last line, so that no hazard is left out without a word.

    Args:
        hazards: as the session orders them.
        width: columns.
        height: lines that may be used.
    """
    ordered = sorted(hazards, key=lambda hazard: _LEVELS.index(level_of(hazard)))
    full = [_in_full(hazard, width) for hazard in ordered]
    short = [[_in_short(hazard, width)] for hazard in ordered]
    for whole in range(len(ordered), -1, -1):
        blocks = full[:whole] + short[whole:]
        if sum(map(len, blocks)) <= height:
            return [line for block in blocks for line in block]
    lines = full[0] if full and len(full[0]) < height else short[0]
    shown = min(len(ordered) - 1, max(0, height - 1 - len(lines)))
    lines = lines + [line for block in short[1 : 1 + shown] for line in block]
    return [*lines, _rest(ordered[1 + shown :], width)]


def _signal(hazard: Hazard) -> Content:
    level = level_of(hazard)
    style = f"bold ${level}-text on ${level}-back"
    return Content.assemble((f" {MARKS[level]} {level.upper()} ".ljust(_INDENT - 1), style), " ")


def _in_full(hazard: Hazard, width: int) -> list[Content]:
    room = max(10, width - _INDENT)
    first = _wrapped(text_of(hazard), room)
    lines = [Content.assemble(_signal(hazard), (first[0], "bold"))]
    lines += [Content.assemble(" " * _INDENT, (piece, "bold")) for piece in first[1:]]
    rest = since_and_cure(hazard)
    lines += [Content("     " + piece) for piece in (_wrapped(rest, max(10, width - 5)) if rest else [])]
    return lines


def _in_short(hazard: Hazard, width: int) -> Content:
    told = " · ".join(piece for piece in (text_of(hazard), since_and_cure(hazard)) if piece)
    room = max(4, width - _INDENT)
    cut = told if cell_len(told) <= room else told[: room - 1].rstrip() + "…"
    return Content.assemble(_signal(hazard), (cut, "bold"))


def _rest(hazards: Sequence[Hazard], width: int) -> Content:
    counts = [(level, sum(level_of(hazard) == level for hazard in hazards)) for level in _LEVELS]
    told = ", ".join(f"{MARKS[level].strip()} {level.upper()} × {count}" for level, count in counts if count)
    return Content.styled(f"and {told}: F2 shows all"[:width], "bold")


def _wrapped(text: str, width: int) -> list[str]:
    return [line.plain for line in Content(text).wrap(width)] or [""]


class Banner(Static):
    """What is dangerous now; takes no room while nothing is."""

    DEFAULT_CLASSES = "banner"

    def __init__(self) -> None:
        """Start empty."""
        super().__init__("", markup=False)
        self._hazards: tuple[Hazard, ...] = ()

    def show(self, hazards: Sequence[Hazard]) -> None:
        """Show these hazards."""
        self._hazards = tuple(hazards)
        self._draw()

    def on_resize(self) -> None:
        """Wrap again for the new width."""
        self._draw()

    def _draw(self) -> None:
        self.display = bool(self._hazards)
        for level in _LEVELS:
            self.set_class(bool(self._hazards) and level_of(self._hazards[0]) == level, f"-{level}")
        if self._hazards:
            size = self.app.size
            width = max(20, size.width - 4)
            lines = banner_lines(self._hazards, width, max(3, size.height // 3))
            self.update(Content("\n").join(lines))
