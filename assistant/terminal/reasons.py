"""Reasons on demand: why, why not and what would change it, for one thing, on a screen to read."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from assistant.facts.shares import percent
from assistant.terminal.plain import visible
from assistant.terminal.port import Wording
from assistant.terminal.turns import Piece

_LEAST = 0.005
"""A smaller move of a probability is not worth a line."""


def reason_pieces(found: Mapping[str, Any], wording: Wording, more: str = "", against: str = "") -> list[Piece]:
    """Return the reasons as lines to read.

    Args:
        found: as the session looks them up.
        wording: puts ids into words.
        more: a reason that the screen itself knows.
        against: what stands under "why not" where the session says nothing.
    """
    why = "\n".join(text for text in (str(found.get("why") or ""), more) if text)
    told = [str(found.get("why_not") or ""), *map(str, found.get("against") or ())]
    against = "\n".join(filter(None, told)) or against
    pieces = list(_part("Why", why or "Nothing that was told bears on it."))
    pieces += _part("Why not", against or "Nothing speaks against it.")
    changes = [line for change in found.get("changes") or () for line in _change(change, wording)]
    if found.get("clear"):
        changes.insert(0, visible(str(found["clear"])))
    return [*pieces, *_part("What would change it", "\n".join(changes) or "Nothing that is asked for now.")]


def _part(title: str, text: str) -> Iterable[Piece]:
    yield title, "who"
    for line in visible(text).split("\n"):
        yield f"  {line}", "said"
    yield "", "blank"


def _change(change: Mapping[str, Any], wording: Wording) -> Iterable[str]:
    """Yield what one answer would do, the answer first."""
    told = change.get("if")
    yield "If it were taken back:" if told is None else f"If told “{told}”:"
    lines = [f"  proved: {wording.fault(str(fault))}" for fault in change.get("proved") or ()]
    lines += [f"  ruled out: {wording.fault(str(fault))}" for fault in change.get("ruled_out") or ()]
    settled = {*(change.get("proved") or ()), *(change.get("ruled_out") or ())}
    for row in change.get("suspects") or ():
        before, after = float(row["before"]), float(row["probability"])
        if row["fault"] not in settled and abs(after - before) >= _LEAST:
            lines.append(f"  {wording.fault(str(row['fault']))}: {percent(before)} → {percent(after)}")
    yield from lines or ["  nothing moves"]
