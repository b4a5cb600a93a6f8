"""Lines that were not typed, put into the person's words for the conversation."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from assistant.terminal.case import Case
from assistant.terminal.plain import visible
from assistant.terminal.port import Line

_ASKED = {
    "safe": "is it safe?",
    "told": "what is known?",
    "who": "do I need an electrician?",
    "may_close": "can it be closed?",
}


def time_of_day(at: str) -> str:
    """Return a recorded time as the hour and minute where the screen is, or nothing when there is none."""
    try:
        return datetime.fromisoformat(at).astimezone().strftime("%H:%M")
    except ValueError:
        return ""


def said_of(line: Line, case: Case) -> str:
    """Return what a line says, as a person would have said it."""
    pieces: list[str] = []
    if taken_back := line.get("take_back"):
        pieces.append(f"take back: {'; '.join(_fact_text(str(i), case) for i in taken_back)}")
    if facts := line.get("facts"):
        pieces.append("; ".join(case.wording.fact(fact) for fact in facts))
    if isinstance(answer := line.get("answer"), Mapping):
        pieces.append(_answer(answer, case))
    if say := line.get("say"):
        pieces.append(visible(str(say)))
    if ask := line.get("ask"):
        pieces.append(_asked(ask, case))
    return "\n".join(pieces)


def _fact_text(fact_id: str, case: Case) -> str:
    known = case.known.get(fact_id)
    return known.text if known else fact_id


def _answer(answer: Mapping[str, Any], case: Case) -> str:
    test = case.wording.test(str(answer.get("test", "")))
    if "cannot" in answer:
        return f"{test}: cannot be done: {visible(str(answer['cannot']))}"
    return f"{test}: {'; '.join(case.wording.fact(fact) for fact in answer.get('facts') or ())}"


def _asked(ask: Any, case: Case) -> str:
    if not isinstance(ask, Mapping) or not ask:
        return "question"
    kind, subject = next(iter(ask.items()))
    if kind == "close":
        to = subject.get("hand_over_to") if isinstance(subject, Mapping) else None
        return f"hand over to {visible(str(to))}" if to else "close"
    if kind == "report":
        return "report"
    if kind == "what_if":
        return f"what if: {'; '.join(case.wording.fact(fact) for fact in subject)}"
    if kind in _ASKED:
        return _ASKED[kind]
    words = {"why": "why", "why_not": "why not", "why_ask": "why this question"}
    name = case.wording.test(str(subject)) if kind == "why_ask" else case.wording.fault(str(subject))
    return f"{words.get(str(kind), str(kind))}: {name}"
