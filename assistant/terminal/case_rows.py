"""The rows that a case is made of, and small readings of the outputs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from assistant.facts.points import without_id as plain_point
from assistant.terminal.plain import one_line, visible
from assistant.terminal.port import FactData, Line, Out


@dataclass(frozen=True)
class Turn:
    """One turn as it stands in the conversation."""

    said: str
    """What the person typed, or what their pick or key meant in words."""
    who: str = "you"
    at: str = ""
    """Time of day, as shown."""
    number: int | None = None
    """The case's turn; None while waiting and for lines that were no turn."""
    noted: tuple[str, ...] = ()
    doubted: tuple[str, ...] = ()
    unclear: tuple[tuple[str, str], ...] = ()
    """Words that were not understood, each with the question to ask back."""
    remarks: tuple[str, ...] = ()
    """Refused facts, replaced facts and contradictions, as sentences."""
    reply: str = ""
    shown: tuple[str, ...] = ()
    """What other parts of the screen show of the same output: its facts, set-up, reason, hazards."""
    asks: str = ""
    """The question that stands after this turn, shown above its answers while it stands."""
    error: str = ""
    waiting: bool = False


@dataclass(frozen=True)
class Known:
    """One fact that stands."""

    id: str
    part: str
    text: str
    words: str
    who: str
    turn: int
    at: str
    certain: bool
    data: FactData


@dataclass(frozen=True)
class Suspect:
    """One row of the suspects, with its change since the last turn that brought facts."""

    fault: str
    name: str
    part: str | None
    probability: float
    state: str
    trend: int
    """Change in whole percent; 0 when nothing moved or nothing came before."""
    because: str = ""
    """What proved it or ruled it out, in words."""


@dataclass(frozen=True)
class Step:
    """What a line changed, so that it can be taken back and told again."""

    added: tuple[FactData, ...] = ()
    removed: tuple[FactData, ...] = ()


def turned(take_back: Sequence[str], facts: Sequence[FactData]) -> Line:
    """Return the line that withdraws some facts and tells others; own names are given again in words."""
    line: dict[str, Any] = {}
    if take_back:
        line["take_back"] = list(take_back)
    if again := [told(fact) for fact in facts if "name" not in fact]:
        line["facts"] = again
    if names := [str(fact["words"]) for fact in facts if "name" in fact]:
        line["say"] = ". ".join(names)
    return line


def told(fact: FactData) -> dict[str, Any]:
    """Return a fact of an output in the form in which it can be told again."""
    keys = ("about", "what", "value", "unit", "bound")
    kept = {key: fact[key] for key in keys if fact.get(key) is not None}
    if fact.get("while"):
        kept["while"] = list(fact["while"])
    if fact.get("certain") is False:
        kept["certain"] = False
    return kept


def names_in(out: Out, key: str) -> tuple[FactData, ...]:
    """Return the person's own names of parts that an output lists: `standing`, `replaced` or `taken_back`."""
    told = out.get("own_names")
    rows = told.get(key) if isinstance(told, Mapping) else None
    return tuple(row for row in rows or () if isinstance(row, Mapping))


def id_of(item: Any) -> str:
    """Return the id of a fact given whole or by its id."""
    return str(item.get("id", "")) if isinstance(item, Mapping) else str(item)


def same_thing(old: FactData, new: FactData) -> bool:
    """Return whether two facts are about the same thing."""
    return (old.get("about"), old.get("what")) == (new.get("about"), new.get("what"))


def person(by: str) -> str:
    """Return who spoke, as the screen names them."""
    return "you" if by in ("user", "you", "") else one_line(by)


def unclear(piece: Any) -> tuple[str, str]:
    """Return words that were not understood, and the question to ask back."""
    if not isinstance(piece, Mapping):
        return one_line(str(piece)), ""
    words = piece.get("words") or piece.get("text") or ""
    question = piece.get("question") or piece.get("ask") or ""
    return one_line(str(words)), one_line(str(question))


def shown_elsewhere(out: Out, facts: Sequence[str]) -> tuple[str, ...]:
    """Return the texts of an output that have a place of their own on the screen.

    Args:
        out: the output; of one that answers a question only the next step counts.
        facts: the facts taken, in words.
    """
    step: Mapping[str, Any] = out.get("next") or {}
    texts = [*step.get("setup", ()), step.get("why", "")]
    answer = out.get("answer")
    if answer is not None:
        return tuple(visible(str(text)) for text in texts if text and "why_ask" not in answer)
    texts += [*facts, (out.get("stop") or {}).get("text", "")]
    texts += [str(piece.get("question", "")) for piece in out.get("unclear") or () if isinstance(piece, Mapping)]
    for hazard in out.get("hazards") or ():
        cure = hazard.get("clear_by")
        texts += [hazard.get("text", ""), cure.get("text", "") if isinstance(cure, Mapping) else ""]
    return tuple(visible(str(text)) for text in texts if text)


def without_id(text: str) -> str:
    """Return an open point without the id it begins with."""
    return one_line(plain_point(text))


def minutes_of(test: Mapping[str, Any]) -> str:
    """Return how long a test takes, without idle decimals."""
    minutes = test.get("minutes")
    return f"{minutes:g} min" if isinstance(minutes, int | float) else ""


def report_in(out: Out) -> str:
    """Return the report that an output carries, or nothing."""
    answer = out.get("answer")
    report = answer.get("report") if isinstance(answer, Mapping) else None
    if isinstance(report, Mapping):
        report = report.get("text")
    return visible(report) if isinstance(report, str) else ""
