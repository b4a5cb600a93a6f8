"""Facts that cannot both be right, and the measurement that settles it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise

from assistant.diagnosis.answers import Said
from assistant.diagnosis.seen import HISTORY, own_station
from assistant.facts.model import Fact
from assistant.knowledge import Knowledge

_Key = tuple[str, str, tuple[str, ...]]


@dataclass(frozen=True)
class Conflict:
    """Two facts that cannot both be right."""

    facts: tuple[str, ...]
    text: str
    settle: str | None


def reading_key(fact: Fact, knowledge: Knowledge) -> _Key:
    """What a reading is a reading of: the thing and its scene."""
    return own_station(fact.about, knowledge.words), fact.what, fact.while_


def agree(a: Fact, b: Fact, knowledge: Knowledge) -> bool:
    """Whether two readings of one thing are the same within meter error."""
    if isinstance(a.value, bool | str) or isinstance(b.value, bool | str):
        return a.value == b.value
    meter = knowledge.scales["meter"]
    allowed = max(meter["share"] * max(abs(a.value), abs(b.value)), meter["least"].get(a.unit or "", 0.0))
    return bool(abs(a.value - b.value) <= allowed)


def repeated_readings(facts: Iterable[Fact], knowledge: Knowledge) -> list[tuple[Conflict, frozenset[str]]]:
    """Readings repeated with another result and nothing in between to explain it; with the ids made doubtful."""
    out = []
    for window in _windows(facts, knowledge):
        newest, older = window[-1], window[:-1]
        against = [f for f in older if not agree(f, newest, knowledge) and f.turn != newest.turn]
        if against and not any(agree(f, newest, knowledge) for f in older):
            name = knowledge.words.part_name(newest.about)
            text = str(knowledge.replies["repeated"]).format(
                part=name,
                what=knowledge.words.attributes[newest.what].name,
                first=show(against[-1], knowledge),
                then=show(newest, knowledge),
            )
            ids = (against[-1].id, newest.id)
            out.append((Conflict(ids, text, settling_test(newest, knowledge)), frozenset(ids)))
    return out


def outvoted(facts: Iterable[Fact], knowledge: Knowledge) -> frozenset[str]:
    """Readings of what lasts that were read otherwise in more turns: nothing leans on them any more."""
    out: set[str] = set()
    for window in _windows(facts, knowledge):
        newest = window[-1]
        against = {f.id: f.turn for f in window if not agree(f, newest, knowledge)}
        turns = {f.turn for f in window if f.id not in against}
        if newest.what in knowledge.words.lasting["of"] and len(turns) > len(set(against.values())):
            out |= against.keys()
    return frozenset(out)


def _windows(facts: Iterable[Fact], knowledge: Knowledge) -> list[list[Fact]]:
    """For each thing that was read, its newest readings with nothing between them that would explain a change."""
    by_key: dict[_Key, list[Fact]] = {}
    listed = sorted(facts, key=lambda f: f.order)
    for fact in listed:
        attribute = knowledge.words.attributes[fact.what]
        moving = set(fact.while_) & _attempts(knowledge)
        if (
            fact.what not in knowledge.words.states
            and not attribute.gathers
            and not moving
            and HISTORY not in fact.while_
        ):
            by_key.setdefault(reading_key(fact, knowledge), []).append(fact)
    changes = [f for f in listed if f.what in knowledge.words.changes]
    return [_unbroken(told, _explaining(told[0], changes, knowledge)) for told in by_key.values()]


def _attempts(knowledge: Knowledge) -> set[str]:
    return {"under_load"} | knowledge.words.asked_for


def _explaining(told: Fact, changes: list[Fact], knowledge: Knowledge) -> list[Fact]:
    """The events that may explain two results of this reading."""
    words = knowledge.words
    if told.what not in words.lasting["of"]:
        return changes
    part = words.parts.get(told.about, {}).get("of", told.about)
    return [
        f for f in changes
        if f.what in words.lasting["changed_by"] and words.parts.get(f.about, {}).get("of", f.about) == part
    ]  # fmt: skip


def _unbroken(told: list[Fact], changes: list[Fact]) -> list[Fact]:
    """The newest stretch of readings with no event between them."""
    start = 0
    for i, (a, b) in enumerate(pairwise(told)):
        if any(a.order < c.order <= (b.turn, 10**6) and c.id not in (a.id, b.id) for c in changes):
            start = i + 1
    return told[start:]


def settling_test(fact: Fact, knowledge: Knowledge) -> str | None:
    """The test whose answer is this reading."""
    about = own_station(fact.about, knowledge.words)
    for question in knowledge.questions.values():
        if (
            (question.about, question.what) == (about, fact.what)
            and set(question.scene) <= set(fact.while_)
            and question.tests
        ):
            return question.tests[0]
    return next(
        (q.tests[0] for q in knowledge.questions.values() if (q.about, q.what) == (about, fact.what) and q.tests),
        None,
    )


def contradictions(
    answers: Mapping[str, Said], facts: Iterable[Fact], knowledge: Knowledge
) -> list[tuple[Conflict, frozenset[str]]]:
    """Answers that cannot both be; a reading taken twice with the same result stands against one taken once."""
    listed = list(facts)
    out = []
    for rule in knowledge.contradictions.values():
        said = [answers.get(q) for q in rule.conditions]
        if not all(
            s and s.sure and s.state in states for s, states in zip(said, rule.conditions.values(), strict=True)
        ):
            continue
        told = [s.fact for s in said if s]
        twice = [confirmed(f, listed, knowledge) for f in told]
        doubtful = [f.id for f, c in zip(told, twice, strict=True) if not c or all(twice)]
        out.append((Conflict(tuple(f.id for f in told), rule.text, rule.settle), frozenset(doubtful)))
    return out


def confirmed(fact: Fact, facts: Iterable[Fact], knowledge: Knowledge) -> bool:
    """Whether a reading was taken again in another turn, with the same result."""
    key = reading_key(fact, knowledge)
    return any(
        f.turn != fact.turn and f.certain and reading_key(f, knowledge) == key and agree(f, fact, knowledge)
        for f in facts
    )


def show(fact: Fact, knowledge: Knowledge) -> str:
    """A value as a person writes it."""
    tongue = knowledge.tongue
    if isinstance(fact.value, bool):
        return str(knowledge.replies["so" if fact.value else "not_so"])
    if isinstance(fact.value, str):
        return tongue.value(fact.what, fact.value)
    return f"{tongue.number(f'{fact.value:g}')} {tongue.name('units', fact.unit) if fact.unit else ''}".strip()
