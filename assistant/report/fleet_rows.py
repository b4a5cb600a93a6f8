"""What each recorded case adds to the picture of a fleet: rows of plain values, from intact journals."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from assistant.audit.finders import find
from assistant.audit.findings import Finding
from assistant.audit.record import REPLACED, Record, answered_test
from assistant.errors import JournalError
from assistant.journal import check, read_bytes, seconds_between
from assistant.journal.turn import Data, Turn, texts
from assistant.report.case import Case, case_of

Row = tuple[Any, ...]

COLUMNS: dict[str, tuple[str, ...]] = {
    "cases": (
        "head VARCHAR", "path VARCHAR", "program VARCHAR", "rules VARCHAR", "role VARCHAR", "started VARCHAR",
        "ended VARCHAR", "minutes DOUBLE", "turns INTEGER", "closed BOOLEAN", "handed_over_to VARCHAR",
    ),
    "proofs": ("head VARCHAR", "fault VARCHAR", "turn INTEGER", "minutes DOUBLE", "test VARCHAR", "stands BOOLEAN"),
    "firings": ("head VARCHAR", "rule VARCHAR", "turn INTEGER", "fault VARCHAR", "state VARCHAR"),
    "answers": ("head VARCHAR", "test VARCHAR", "turn INTEGER", "minutes DOUBLE", "proved BOOLEAN"),
    "replacements": ("head VARCHAR", "part VARCHAR", "turn INTEGER", "proved BOOLEAN", "faults VARCHAR"),
    "findings": ("head VARCHAR", "kind VARCHAR", "turn INTEGER", "weight VARCHAR"),
}  # fmt: skip
"""The tables of a fleet, each column with its type."""


@dataclass
class Fleet:
    """All rows, and what was left out and why."""

    rows: dict[str, list[Row]] = field(default_factory=lambda: {name: [] for name in COLUMNS})
    left_out: list[tuple[str, str]] = field(default_factory=list)


def gather(paths: Iterable[Path]) -> Fleet:
    """Read journals one after another; a copy of a case counts once, a broken one not at all."""
    fleet, seen = Fleet(), set()
    for path in paths:
        try:
            checked = check(read_bytes(path))
            if checked.problems:
                raise JournalError(f"line {checked.problems[0].line}: {checked.problems[0].text}")
            case = case_of(checked)
        except JournalError as error:
            fleet.left_out.append((str(path), str(error)))
            continue
        if checked.head in seen:
            fleet.left_out.append((str(path), "the same case was read already"))
            continue
        seen.add(checked.head)
        _add(fleet, str(path), case)
    return fleet


def _add(fleet: Fleet, path: str, case: Case) -> None:
    head = case.checked.head
    fleet.rows["cases"].append(_case_row(path, case))
    fleet.rows["proofs"] += [(head, *row) for row in _proofs(case)]
    fleet.rows["firings"] += [(head, *row) for row in _firings(case)]
    fleet.rows["answers"] += [(head, *row) for row in _answers(case)]
    found = find(Record(case.header, case.turns))
    fleet.rows["replacements"] += [(head, *row) for row in _replacements(case, found)]
    fleet.rows["findings"] += [(head, f.kind, f.turn, f.weight) for f in found]


def _case_row(path: str, case: Case) -> Row:
    first, last = (case.turns[0], case.turns[-1]) if case.turns else (None, None)
    closed = next((turn.closed for turn in reversed(case.turns) if turn.closed is not None), None)
    handed = closed.get("handed_over_to") if closed is not None else None
    told = [str(case.header.get(key) or "") for key in ("program", "rules", "role")]
    times = [turn.at if turn is not None else "" for turn in (first, last)]
    spent = _minutes(first, last) if first is not None and last is not None else None
    to = str(handed) if handed else None
    return (case.checked.head, path, *told, *times, spent, len(case.turns), closed is not None, to)


def _proofs(case: Case) -> Iterator[Row]:
    before = {turn.number: earlier for earlier, turn in zip(case.turns, case.turns[1:], strict=False)}
    last: tuple[Data, ...] = next((turn.suspects for turn in reversed(case.turns) if turn.suspects), ())
    stands = {suspect.get("fault") for suspect in last if suspect.get("state") == "proved"}
    for turn, fault in case.verdicts:
        earlier = before.get(turn.number)
        test = answered_test(earlier, turn) if earlier is not None else None
        yield (fault, turn.number, _minutes(case.turns[0], turn), test, fault in stands)


def _firings(case: Case) -> Iterator[Row]:
    seen: set[Row] = set()
    for turn in case.turns:
        yield from ((rule, turn.number, None, "fired") for rule in turn.fired)
        for suspect in turn.suspects:
            for rule in texts(suspect.get("because")):
                key = (rule, str(suspect.get("fault")), str(suspect.get("state")))
                if key not in seen:
                    seen.add(key)
                    yield (rule, turn.number, key[1], key[2])


def _answers(case: Case) -> Iterator[Row]:
    proved_in = {turn.number for turn, _ in case.verdicts}
    for earlier, turn in zip(case.turns, case.turns[1:], strict=False):
        test = answered_test(earlier, turn)
        if test is not None:
            yield (test, turn.number, _minutes(earlier, turn), turn.number in proved_in)


def _replacements(case: Case, found: tuple[Finding, ...]) -> Iterator[Row]:
    unproved = {(f.turn, f.detail) for f in found if f.kind == "replaced_without_proof"}
    for told in case.work:
        if told.fact.get("what") != REPLACED:
            continue
        part = case.names.part(str(told.fact.get("about")))
        bad = any(turn == told.turn.number and detail.startswith(f"{part} ") for turn, detail in unproved)
        faults = [fault for turn, fault in case.verdicts if turn.number <= told.turn.number]
        yield (str(told.fact.get("about")), told.turn.number, not bad, ", ".join(faults))


def _minutes(first: Turn, last: Turn) -> float | None:
    try:
        return seconds_between(first.at, last.at) / 60
    except JournalError:
        return None
