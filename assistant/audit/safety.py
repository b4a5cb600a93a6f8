"""Findings about safety: a stop passed over, a set-up step left out, a test done with a danger live."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.audit.findings import Finding, Weight
from assistant.audit.record import Record, answered_test, gone_by, reports, same_thing, sure
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
                yield _skipped(record, turn, str(test), text, _contrary(record, str(test), facts, standing))
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


def _contrary(record: Record, test: str, wanted: tuple[Data, ...], standing: dict[str, Data]) -> Data | None:
    """A standing fact that says the opposite of a step; a powered test leaves the power on, so none there."""
    if record.lore is None or record.lore.is_powered(test):
        return None
    told = [f for f in standing.values() for w in wanted if same_thing(f, w) and sure(f) and not reports(f, w)]
    return told[-1] if told else None


def _skipped(record: Record, turn: Turn, test: str, step: str, contrary: Data | None) -> Finding:
    """Not reported is worth a note; reported otherwise is serious."""
    detail = f"{record.names.test(test)} was answered; not reported: {one_line(step)}"
    if contrary is None:
        return Finding("safety_step_skipped", turn.number, record.words(turn), detail, "note")
    detail += f" On record instead: {record.names.fact(contrary)}"
    return Finding("safety_step_skipped", turn.number, record.words(turn), detail)


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
                yield _danger(record, turn, test, hazard, asked == test)


def _cleared(hazard: Data, turn: Turn) -> bool:
    clear = hazard.get("clear_by")
    wanted = items(clear.get("facts")) if isinstance(clear, dict) else ()
    return any(reports(fact, want) for fact in turn.understood for want in wanted)


def _danger(record: Record, turn: Turn, test: str, hazard: Data, asked: bool) -> Finding:
    """Serious, unless it is unconfirmed, or stood already when the assistant itself asked for the test."""
    name = record.names.hazard(str(hazard.get("hazard")))
    known = asked and hazard.get("kind") == "standing"
    remark = " (the assistant asked for it)" if known else "" if sure(hazard) else " (unconfirmed)"
    detail = f"{record.names.test(test)} was answered with this danger open{remark}: {name}"
    weight: Weight = "note" if remark else "serious"
    return Finding("test_with_danger_open", turn.number, record.words(turn), detail, weight)
