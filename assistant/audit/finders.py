"""Every finder, run over one record."""

from __future__ import annotations

from assistant.audit import clock, course, safety
from assistant.audit.findings import Finding
from assistant.audit.record import Record


def find(record: Record, gap_minutes: float = 60.0) -> tuple[Finding, ...]:
    """Every finding of a record, by turn and then by kind.

    Args:
        record: The record; with lore it is also read for set-up steps left out.
        gap_minutes: A pause longer than this is noted.
    """
    found = [
        *safety.stop_passed_over(record),
        *safety.steps_skipped(record),
        *safety.danger_open(record),
        *course.replaced_without_proof(record),
        *course.contradictions(record),
        *course.unverified(record),
        *course.bridges(record),
        *course.corrected(record),
        *clock.times(record, gap_minutes),
    ]
    return tuple(sorted(found, key=lambda f: (f.turn, f.kind, f.detail)))
