"""Findings about safety: a stop passed over, a set-up step left out, a test done with a danger live."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.audit.findings import Finding, Weight
from assistant.audit.record import Record, answered_test, gone_by, reports, sure
from assistant.journal.shown import one_line
from assistant.journal.turn import Data, Turn, items


def stop_passed_over(record: Record) -> Iterator[Finding]:
    """Something else was done or told while a stop stood."""
    for before, turn in record.pairs():
        if before.stop is None or turn.stop is None or not turn.understood:
            continue
        wanted = items(before.stop.get("facts"))
        if any(reports(fact, want) for fact in turn.understood for want in wanted):
            continue
        tried = turn.answered is not None or any(fact.get("while") for fact in turn.understood)
        weight: Weight = "serious" if tried else "note"
        asked = one_line(str(before.stop.get("text")))
        yield Finding("safety_step_skipped", turn.number, record.words(turn), f"Before this: {asked}", weight)


def steps_skipped(record: Record) -> Iterator[Finding]:
    """A test was answered, and a step of its set-up that clears a hazard was never reported."""
    if record.lore is None:
        return
    standing: dict[str, Data] = {}
    previous: Turn | None = None
    for turn in record.turns:
        for fact_id in gone_by(turn):
            standing.pop(fact_id, None)
        standing |= {str(fact.get("id")): fact for fact in turn.understood}
        test = answered_test(previous, turn) if previous is not None else None
        for text, facts in record.lore.safety_steps(test) if test is not None else ():
            if not _reported(record, facts, standing, turn):
                detail = f"{record.names.test(str(test))} was answered; not reported: {one_line(text)}"
                yield Finding("safety_step_skipped", turn.number, record.words(turn), detail)
        previous = turn


def _reported(record: Record, wanted: tuple[Data, ...], standing: dict[str, Data], turn: Turn) -> bool:
    told = [*standing.values()]
    for fact in turn.understood:
        around = fact.get("while")
        for circumstance in around if isinstance(around, list) else ():
            state = record.lore.reported_by(str(circumstance)) if record.lore is not None else None
            if state is not None:
                told.append(state)
    return any(reports(fact, want) for fact in told for want in wanted)


def danger_open(record: Record) -> Iterator[Finding]:
    """A test was answered while a danger stood that nothing told beside it would clear."""
    for before, turn in record.pairs():
        test = answered_test(before, turn)
        if test is None:
            continue
        asked = before.next.get("test") if before.next is not None else None
        for hazard in before.hazards:
            if hazard.get("level") != "danger" or (hazard.get("kind") == "step" and test != asked):
                continue
            if not _cleared(hazard, turn):
                yield _danger(record, turn, test, hazard)


def _cleared(hazard: Data, turn: Turn) -> bool:
    clear = hazard.get("clear_by")
    wanted = items(clear.get("facts")) if isinstance(clear, dict) else ()
    return any(reports(fact, want) for fact in turn.understood for want in wanted)


def _danger(record: Record, turn: Turn, test: str, hazard: Data) -> Finding:
    name = record.names.hazard(str(hazard.get("hazard")))
    confirmed = sure(hazard)
    doubt = "" if confirmed else " (unconfirmed)"
    detail = f"{record.names.test(test)} was answered with this danger open{doubt}: {name}"
    weight: Weight = "serious" if confirmed else "note"
    return Finding("test_with_danger_open", turn.number, record.words(turn), detail, weight)
