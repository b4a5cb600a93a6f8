"""Findings about the course of a case: proof, contradictions, repair, bridges, corrections."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from assistant.audit.findings import Finding, Weight
from assistant.audit.record import (
    ALL,
    FITTED,
    REMOVED,
    REPAIRED,
    REPLACED,
    Record,
    gone_by,
    is_history,
    same_thing,
    sure,
)
from assistant.journal.shown import one_line
from assistant.journal.turn import Data, Turn, texts

_STATION = re.compile(r"_\d+\Z")


def replaced_without_proof(record: Record) -> Iterator[Finding]:
    """A part was replaced in this case, and nothing had proved by then that it failed."""
    proved: set[str] = set()
    marked: set[str] = set()
    for turn in record.turns:
        for fact in turn.understood:
            about = str(fact.get("about"))
            now = fact.get("what") == REPLACED and _done(fact) and not _told_as_history(record, fact)
            if now and about not in marked and not _proved(about, proved | _proved_in(turn)):
                marked.add(about)
                part = record.names.part(about)
                detail = f"{part} was replaced, and no test had proved it bad"
                yield Finding("replaced_without_proof", turn.number, record.words(turn, fact), detail)
        proved |= _proved_in(turn)


def _done(fact: Data) -> bool:
    return fact.get("value") is True and sure(fact) and not is_history(fact)


def _told_as_history(record: Record, fact: Data) -> bool:
    return any(is_history(later) and same_thing(later, fact) for _, later in record.facts())


def _proved_in(turn: Turn) -> set[str]:
    """Faults proved in a turn, and their parts."""
    found = set(texts(turn.verdict.get("faults"))) if turn.verdict is not None else set()
    for suspect in turn.suspects:
        if suspect.get("state") == "proved":
            found |= {str(suspect.get("fault")), str(suspect.get("part"))}
    return found


def _proved(about: str, proved: set[str]) -> bool:
    """A part is proved bad by itself, by a fault of it, or by a fault that names it, as one does a coil."""
    part = _STATION.sub("", about)
    return any(part in item.split(".") or f".{part}_" in item for item in proved)


def contradictions(record: Record) -> Iterator[Finding]:
    """Two facts that cannot both be right still stood when the record ended."""
    if not record.turns:
        return
    facts = {str(fact.get("id")): (turn, fact) for turn, fact in record.facts()}
    for conflict in record.turns[-1].conflicts:
        between = [facts[i] for i in texts(conflict.get("facts")) if i in facts]
        turn = max((turn for turn, _ in between), key=lambda t: t.number, default=record.turns[-1])
        settle = record.names.test(str(conflict.get("settle")))
        detail = f"{one_line(str(conflict.get('text')))} Never settled by: {settle}"
        words = record.words(turn, *(fact for _, fact in between))
        yield Finding("contradiction_not_settled", turn.number, words, detail)


def unverified(record: Record) -> Iterator[Finding]:
    """A repair was reported, and the verdict still stood when the record ended."""
    last = record.turns[-1] if record.turns else None
    if last is None or last.verdict is None:
        return
    work = [(turn, fact) for turn, fact in record.facts() if fact.get("what") in (REPLACED, REPAIRED) and _done(fact)]
    if not work:
        return
    turn, fact = work[-1]
    faults = ", ".join(record.names.fault(fault) for fault in texts(last.verdict.get("faults")))
    handed = last.closed is not None and bool(last.closed.get("handed_over_to"))
    weight: Weight = "note" if handed else "serious"
    detail = f"the repair was not shown to have cured: {faults}" + (" (handed over)" if handed else "")
    yield Finding("verification_missing", turn.number, record.words(turn, fact), detail, weight)


def bridges(record: Record) -> Iterator[Finding]:
    """A bridge was reported fitted and never reported removed."""
    for way, (turn, fact) in still_fitted(record.turns).items():
        detail = f"never reported removed: {one_line(way.replace('_', ' '))}"
        yield Finding("bridge_not_removed", turn.number, record.words(turn, fact), detail)


def still_fitted(turns: Iterable[Turn]) -> dict[str, tuple[Turn, Data]]:
    """The bridges that were reported fitted and not reported removed, each with where it was told."""
    fitted: dict[str, tuple[Turn, Data]] = {}
    for turn in turns:
        withdrawn = frozenset(turn.taken_back)
        fitted = {way: told for way, told in fitted.items() if told[1].get("id") not in withdrawn}
        for fact in turn.understood:
            way = str(fact.get("value"))
            if fact.get("what") == FITTED and not is_history(fact):
                fitted[way] = (turn, fact)
            elif fact.get("what") == REMOVED and sure(fact):
                fitted = {} if way == ALL else {w: told for w, told in fitted.items() if w != way}
    return fitted


def corrected(record: Record) -> Iterator[Finding]:
    """A finding that a verdict could rest on was withdrawn or superseded after it, and before any repair."""
    when = {str(fact.get("id")): (turn, fact) for turn, fact in record.facts()}
    since: int | None = None
    for turn in record.turns:
        if any(fact.get("what") in (REPLACED, REPAIRED) and _done(fact) for fact in turn.understood):
            since = None
            continue
        for fact_id in sorted(gone_by(turn)) if since is not None else ():
            told, fact = when.get(fact_id, (turn, {}))
            if told.number <= (since or 0) and fact:
                yield from _correction(record, turn, told, fact)
        since = since or (turn.number if turn.verdict is not None else None)


def _correction(record: Record, turn: Turn, told: Turn, fact: Data) -> Iterator[Finding]:
    withdrawn = fact.get("id") in turn.taken_back
    if not withdrawn and record.lore is not None and record.lore.is_state(str(fact.get("what"))):
        return
    how = "taken back" if withdrawn else "superseded"
    detail = f"{record.names.fact(fact)}, told in turn {told.number}, was {how} after the verdict"
    weight: Weight = "serious" if withdrawn else "note"
    yield Finding("corrected_after_verdict", turn.number, record.words(turn, fact), detail, weight)
