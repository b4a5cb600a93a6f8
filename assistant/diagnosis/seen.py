"""Facts taken apart into elementary observations, each in its scene."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from assistant.facts.model import Fact, Value
from assistant.facts.vocabulary import Vocabulary
from assistant.knowledge.model import OTHER_SIDE, SIDES

HISTORY = "before_the_trouble"
"""The one circumstance that takes a fact out of the present case."""


@dataclass(frozen=True)
class Seen:
    """One elementary observation: one part, one attribute, one scene."""

    fact: Fact
    about: str
    what: str
    value: Value
    scene: frozenset[str]

    @property
    def order(self) -> tuple[int, int]:
        """Place in the case."""
        return self.fact.order


Certain = Mapping[tuple[str, str], Sequence[Fact]]
"""Part, attribute → the facts told of it with certainty, oldest first; `panel_1` is the panel in use."""


class Told:
    """All facts of a case, put in order and taken apart once, however often its parts are looked at."""

    def __init__(self, facts: Iterable[Fact], words: Vocabulary) -> None:
        """Put the facts in order.

        Args:
            facts: Of the case, in any order.
            words: The words of the rule base.
        """
        listed = sorted(facts, key=lambda f: f.order)
        certain: dict[tuple[str, str], list[Fact]] = {}
        for fact in listed:
            if fact.certain:
                certain.setdefault((own_station(fact.about, words), fact.what), []).append(fact)
        self.certain: Certain = certain
        self._of = {fact.id: _elementary(fact, certain, words) for fact in listed}
        self.seen = tuple(s for fact in listed for s in self._of[fact.id])
        self.by_reading: dict[tuple[str, str], list[Seen]] = {}
        for seen in self.seen:
            self.by_reading.setdefault((seen.about, seen.what), []).append(seen)

    def of(self, fact: Fact) -> list[Seen]:
        """The elementary observations of one fact of the case."""
        return self._of[fact.id]


def take_apart(facts: Iterable[Fact], words: Vocabulary) -> tuple[Seen, ...]:
    """All elementary observations of a case, oldest first."""
    return Told(facts, words).seen


def _elementary(fact: Fact, certain: Certain, words: Vocabulary) -> list[Seen]:
    scene = frozenset(fact.while_) | _told_scene(fact, certain, words)
    return [s for about in _names(fact, words) for s in _by_direction(fact, about, scene, words)]


def principal(scene: frozenset[str], words: Vocabulary) -> str | None:
    """The scene that counts: the first of the principal scenes that is present."""
    return next((s for s in words.principal_scenes if s in scene), None)


def own_station(about: str, words: Vocabulary) -> str:
    """`panel_1` is the panel in use."""
    return words.stations["part"] if about == words.stations["in_use"] else about


def _names(fact: Fact, words: Vocabulary) -> list[str]:
    about = own_station(fact.about, words)
    names = [about]
    part = words.stations["part"]
    if about == part or re.match(rf"{part}_\d+\Z", about):
        names.append(words.stations["any"])
        if about != part:
            names.append(words.stations["others"])
    for alias in words.aliases:
        if about in alias["about"] and fact.what == alias["what"] and set(alias["while"]) & set(fact.while_):
            names.append(alias["also"])
    return names


def _told_scene(fact: Fact, certain: Certain, words: Vocabulary) -> frozenset[str]:
    """Circumstances that stand for a state in force when it was told, where it names no scene of that kind itself."""
    rules = [r for r in words.from_state if fact.what in r["what"] and fact.about in r["about"]]
    if not rules or HISTORY in fact.while_ or {r["gives"] for r in rules} & set(fact.while_):
        return frozenset()
    if principal(frozenset(fact.while_), words) and any(r["gives"] in words.principal_scenes for r in rules):
        return frozenset()
    return frozenset(r["gives"] for r in rules if _in_force(r["state"], fact, certain, words))


def _in_force(state: Sequence[Any], fact: Fact, certain: Certain, words: Vocabulary) -> bool:
    """Whether a state was told before a fact, with certainty, and has not ended since."""
    about, what, value = state
    told = [f for f in certain.get((about, what), ()) if f.order < fact.order]
    ending = words.ended_by.get(what)
    if ending is None:
        return bool(told) and told[-1].value == value
    fitted = [f for f in told if f.value == value]
    ends = certain.get((about, ending), ())
    return bool(fitted) and not any(f.value in (value, "all") and fitted[-1].order < f.order < fact.order for f in ends)


def _by_direction(fact: Fact, about: str, scene: frozenset[str], words: Vocabulary) -> list[Seen]:
    split = words.split_by_direction.get(fact.what)
    if split is None:
        return [Seen(fact, about, fact.what, fact.value, scene)]
    named = {d: {pair[d] for pair in words.directions} & scene for d in SIDES}
    tried = [d for d in named if named[d]] or list(named)
    ran = split[str(fact.value)]
    out = [Seen(fact, about, f"{fact.what}_{d}", ran[d], scene - named[OTHER_SIDE[d]]) for d in tried if d in ran]
    at_all = any(ran[d] for d in tried if d in ran) if ran else True
    both = scene - named["port"] - named["starboard"]
    return [*out, Seen(fact, about, f"{fact.what}_at_all", at_all, both)]
