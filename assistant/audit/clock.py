"""Findings about time: pauses, a clock that went back, times that are none."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from assistant.audit.findings import Finding
from assistant.audit.record import Record
from assistant.errors import JournalError
from assistant.journal import parse_time
from assistant.journal.shown import one_line


def times(record: Record, gap_minutes: float) -> Iterator[Finding]:
    """Compare each recorded time with the one before it that could be read."""
    before: datetime | None = None
    for turn in record.turns:
        try:
            now = parse_time(turn.at)
        except JournalError:
            yield Finding("time_unreadable", turn.number, one_line(turn.at), "the turn has no readable time")
            continue
        minutes = (now - before).total_seconds() / 60 if before is not None else 0.0
        if minutes < 0:
            detail = f"the clock went back by {_span(-minutes)}"
            yield Finding("clock_backwards", turn.number, turn.at, detail)
        elif minutes > gap_minutes:
            yield Finding("time_gap", turn.number, turn.at, f"nothing was recorded for {_span(minutes)}", "note")
        before = now


def _span(minutes: float) -> str:
    if minutes < 1:
        return f"{minutes * 60:g} s"
    if minutes < 120:
        return f"{minutes:.0f} min"
    return f"{minutes / 60:.1f} h" if minutes < 2880 else f"{minutes / 1440:.1f} days"
