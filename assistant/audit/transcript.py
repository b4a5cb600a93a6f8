"""A recorded case as plain text, turn by turn: roles in words, no boxes, no colour."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from assistant.audit.names import SafeNames
from assistant.audit.replay import Step
from assistant.facts.shares import percent
from assistant.journal.shown import one_line, visible
from assistant.journal.turn import Turn, items, mapping, number, texts

_SHOWN_SUSPECTS = 5


def heading(header: Mapping[str, Any]) -> str:
    """The first line of a transcript: under what the case was recorded."""
    return one_line(
        f"Case recorded by program {header.get('program')}, rules {str(header.get('rules'))[:12]}, "
        f"role {header.get('role')}"
    )


def turn_lines(step: Step, names: SafeNames) -> Iterator[str]:
    """One turn as lines of text, with what differs in the run of today."""
    turn = step.turn
    yield " · ".join(one_line(piece) for piece in (f"Turn {turn.number}", turn.at, turn.by) if piece)
    yield from line_in(turn, names)
    yield from taken(turn, names)
    yield from _labelled("assistant", turn.reply)
    yield from _standing(turn, names)
    yield f"  head: {turn.seal}"
    for difference in step.differences:
        yield f"  DIFFERS: {difference}"
    yield ""


def line_in(turn: Turn, names: SafeNames) -> Iterator[str]:
    """What came in, in lines."""
    line = turn.line
    yield from _labelled("said", turn.said)
    yield from (f"  told: {names.fact(fact)}" for fact in items(line.get("facts")))
    if answer := mapping(line.get("answer")):
        yield f"  answered: {names.test(str(answer.get('test')))}"
        yield from (f"    {names.fact(fact)}" for fact in items(answer.get("facts")))
        yield from _labelled("cannot", str(answer.get("cannot") or ""))
    if turn.taken_back:
        yield f"  taken back: {one_line(', '.join(turn.taken_back))}"
    if ask := mapping(line.get("ask")):
        yield f"  asked: {brief(ask)}"


def taken(turn: Turn, names: SafeNames) -> Iterator[str]:
    """What was understood, superseded, refused and found to contradict, in lines."""
    for fact in turn.understood:
        doubt = "" if fact.get("certain", True) else " (not sure)"
        words = f" — “{one_line(str(fact['words']))}”" if fact.get("words") else ""
        yield f"  noted {one_line(str(fact.get('id')))}: {names.fact(fact)}{doubt}{words}"
    for fact in turn.replaced:
        by = f" by {brief(fact.get('by'))}" if fact.get("by") else ""
        yield f"  superseded {brief(fact.get('id'))}{by}: {names.fact(fact)}"
    for piece in items(turn.out.get("unclear")):
        yield f"  not understood: “{brief(piece.get('words'))}” {brief(piece.get('question'))}"
    for refusal in items(turn.out.get("refused")):
        yield f"  refused: {brief(refusal.get('fact'))}: {brief(refusal.get('why'))}"
    for conflict in turn.conflicts:
        settle = names.test(str(conflict.get("settle")))
        yield f"  cannot both be: {brief(conflict.get('text'))}; settle by {settle}"


def warned(turn: Turn, names: SafeNames) -> Iterator[str]:
    """The stop and the hazards that were live, in lines."""
    if turn.stop is not None:
        yield f"  STOP: {brief(turn.stop.get('text'))}"
    for hazard in turn.hazards:
        sure = "" if hazard.get("certain", True) else " (unconfirmed)"
        level, name = one_line(str(hazard.get("level"))).upper(), names.hazard(str(hazard.get("hazard")))
        yield f"  {level}{sure}: {name}, since turn {brief(hazard.get('since'))}"


def _standing(turn: Turn, names: SafeNames) -> Iterator[str]:
    yield from warned(turn, names)
    if suspects := _suspects(turn, names):
        yield f"  suspects: {suspects}"
    if turn.verdict is not None:
        yield f"  verdict: {', '.join(names.fault(f) for f in texts(turn.verdict.get('faults')))}"
    if turn.next is not None:
        yield f"  next: {names.test(str(turn.next.get('test')))}"
    if turn.closed is not None:
        to = turn.closed.get("handed_over_to")
        yield f"  closed, handed over to {brief(to)}" if to else "  closed"


def _suspects(turn: Turn, names: SafeNames) -> str:
    proved = [s for s in turn.suspects if s.get("state") == "proved"]
    likely = [s for s in turn.suspects if s.get("state") == "open"][:_SHOWN_SUSPECTS]
    pieces = [f"{names.fault(str(s.get('fault')))} proved" for s in proved]
    pieces += [f"{names.fault(str(s.get('fault')))} {percent(number(s.get('probability')))}" for s in likely]
    return ", ".join(pieces)


def _labelled(label: str, text: str) -> Iterator[str]:
    if not text:
        return
    first, *more = visible(text).split("\n")
    yield f"  {label}: {first}"
    yield from (f"  {' ' * len(label)}| {line}" for line in more)


def brief(value: Any) -> str:
    """Any plain value on one line."""
    if isinstance(value, Mapping):
        return one_line("; ".join(f"{key} {brief(item)}" for key, item in value.items()))
    if isinstance(value, list):
        return one_line(", ".join(brief(item) for item in value))
    return "" if value is True else one_line(str(value))
