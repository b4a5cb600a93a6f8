"""Readings that would be counted twice: two questions that one fact answers."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from assistant.diagnosis.seen import principal
from assistant.knowledge import Knowledge
from assistant.knowledge.model import Question


def read_twice(knowledge: Knowledge) -> Iterator[str]:
    """Pairs of questions with tables of their own that one fact could answer at once."""
    weighed = [q for q in knowledge.questions.values() if not q.given]
    for a, b in combinations(weighed, 2):
        if (a.about, a.what) == (b.about, b.what) and _overlap(a, b, knowledge):
            yield f"{b.place}: {b.id}: one reading would answer it and {a.id}, and count twice"


def _overlap(a: Question, b: Question, knowledge: Knowledge) -> bool:
    words = knowledge.words
    scene = set(a.scene) | set(b.scene)
    if principal(frozenset(a.scene), words) != principal(frozenset(b.scene), words):
        return False
    directions = [frozenset(pair.values()) for pair in words.directions]
    if any(pair <= scene for pair in (*words.opposites, *directions)):
        return False
    if "before_the_trouble" in set(a.scene) ^ set(b.scene):
        return False
    if scene & (set(a.not_while) | set(b.not_while)):
        return False
    return not (
        _asked_apart(a, b) or _told_apart(a, b) or _current_apart(a, b) or _setup_apart(a, b) or _values_apart(a, b)
    )


def _asked_apart(a: Question, b: Question) -> bool:
    return bool(set(a.only_asked) & set(b.not_asked) or set(b.only_asked) & set(a.not_asked))


def _told_apart(a: Question, b: Question) -> bool:
    return {a.take, b.take} == {"first", "later"}


def _current_apart(a: Question, b: Question) -> bool:
    return {a.with_current, b.with_current} == {"yes", "no"}


def _setup_apart(a: Question, b: Question) -> bool:
    return bool(set(a.when_setup) & set(b.unless_setup) or set(b.when_setup) & set(a.unless_setup))


def _values_apart(a: Question, b: Question) -> bool:
    """Questions on different values of one attribute (kinds of noise)."""

    def all_values(q: Question) -> set[object]:
        return {v for rule in q.states.values() for v in rule.values or ()}

    listed = all(rule.values is not None for q in (a, b) for rule in q.states.values())
    return listed and not all_values(a) & all_values(b)
