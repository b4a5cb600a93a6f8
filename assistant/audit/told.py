"""An audit as text for people and as data for programs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from assistant.audit.differences import Difference
from assistant.audit.findings import Finding
from assistant.audit.judge import Audit, Run, Status
from assistant.journal.shown import one_line
from assistant.journal.signing import STATES

EXIT: Mapping[Status, int] = {"sound": 0, "findings": 3, "differs": 4, "broken": 5}
"""Exit status of the command for the gravest status among all journals."""

_STATUS: Mapping[Status, str] = {
    "sound": "sound",
    "findings": "intact, with findings",
    "differs": "intact, but other conclusions when run again",
    "broken": "NOT INTACT",
}
_RUN: Mapping[Run, str] = {
    "same": "identical to the byte",
    "same_conclusions": "the same conclusions",
    "differs": "it differs",
    "failed": "it could not be run",
    "not_run": "not run again",
}
_SHOWN = 20
LIMITS = (
    "The chain shows that no entry was changed, removed, added or moved. By itself it cannot show that the "
    "end was not cut off, nor that the whole file was not written anew: for that, compare the head with one "
    "kept elsewhere (--head), or have the journal signed (springline key)."
)
"""What the chain alone can and cannot prove."""


def audit_lines(audit: Audit) -> Iterator[str]:
    """One audit as lines of text."""
    yield f"{one_line(audit.path)}: {_STATUS[audit.status]}"
    if audit.unreadable:
        yield f"  {one_line(audit.unreadable)}"
    for problem in audit.problems[:_SHOWN]:
        yield f"  line {problem.line}: {problem.text}"
    yield from _more(audit.problems)
    if audit.header:
        rules = str(audit.header.get("rules"))[:12]
        told = f"program {audit.header.get('program')}, rules {rules}, role {audit.header.get('role')}"
        yield f"  {one_line(told)}"
    if not audit.unreadable and not audit.problems:
        end = "" if audit.end_known else " (its end is not vouched for)"
        yield f"  {audit.turns} turns, head {audit.head}{end}"
    yield from _signatures(audit)
    yield from _run(audit)
    for finding in audit.findings:
        yield from _finding(finding)


def _signatures(audit: Audit) -> Iterator[str]:
    if audit.signature_note:
        yield f"  signatures not checked: {one_line(audit.signature_note)}"
    for signed in audit.signatures:
        yield f"  signature over {signed.entries} entries, key {signed.key[:16]}: {STATES[signed.state]}"


def _run(audit: Audit) -> Iterator[str]:
    if audit.unreadable:
        return
    note = f" ({one_line(audit.run_note)})" if audit.run_note else ""
    yield f"  run again: {_RUN[audit.run]}{note}"
    for difference in audit.differences[:_SHOWN]:
        yield f"    {difference.weight}: {difference}"
    yield from _more(audit.differences)
    for difference in audit.rereading[:_SHOWN]:
        yield f"    words read otherwise: {difference}"
    yield from _more(audit.rereading)
    if audit.today is not None:
        yield f"  under the rules of today: {'as recorded' if not audit.today else 'this would differ'}"
        for difference in audit.today[:_SHOWN]:
            yield f"    {difference.weight}: {difference}"
        yield from _more(audit.today)


def _finding(finding: Finding) -> Iterator[str]:
    yield f"  {finding.weight}: turn {finding.turn}, {finding.kind.replace('_', ' ')}: {finding.detail}"
    if finding.words:
        yield f"    words: {finding.words}"
    yield f"    rule: {finding.rule}"


def _more(things: Sequence[Any]) -> Iterator[str]:
    if len(things) > _SHOWN:
        yield f"    and {len(things) - _SHOWN} more"


def audit_data(audit: Audit) -> dict[str, Any]:
    """One audit as plain data."""
    return {
        "path": audit.path,
        "status": audit.status,
        "unreadable": audit.unreadable or None,
        "problems": [{"claim": p.claim, "line": p.line, "text": p.text} for p in audit.problems],
        "header": dict(audit.header),
        "turns": audit.turns,
        "head": audit.head,
        "end_known": audit.end_known,
        "signatures": [{"state": s.state, "entries": s.entries, "key": s.key} for s in audit.signatures],
        "run": audit.run,
        "run_note": audit.run_note or None,
        "differences": [_difference(d) for d in audit.differences],
        "words_read_otherwise": [_difference(d) for d in audit.rereading],
        "under_today": None if audit.today is None else [_difference(d) for d in audit.today],
        "findings": [_finding_data(f) for f in audit.findings],
    }


def _difference(difference: Difference) -> dict[str, Any]:
    return {
        "turn": difference.turn,
        "key": difference.key,
        "recorded": difference.recorded,
        "now": difference.now,
        "weight": difference.weight,
    }


def _finding_data(finding: Finding) -> dict[str, Any]:
    return {
        "kind": finding.kind,
        "turn": finding.turn,
        "weight": finding.weight,
        "words": finding.words,
        "detail": finding.detail,
        "rule": finding.rule,
    }
