"""Facts taken apart into elementary observations, each in its scene."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from assistant.facts.model import Fact, Value
from assistant.facts.vocabulary import Vocabulary

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


def take_apart(facts: Iterable[Fact], words: Vocabulary) -> tuple[Seen, ...]:
    """All elementary observations of a case, oldest first."""
    listed = sorted(facts, key=lambda f: f.order)
    out: list[Seen] = []
    for fact in listed:
        scene = frozenset(fact.while_) | _told_scene(fact, listed, words)
        for about in _names(fact, words):
            out += _by_direction(fact, about, scene, words)
    return tuple(out)


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


def _told_scene(fact: Fact, facts: list[Fact], words: Vocabulary) -> frozenset[str]:
    """Circumstances that stand for a state told in the same line or before."""
    given: set[str] = set()
    for rule in words.from_state:
        if fact.what not in rule["what"] or fact.about not in rule["about"]:
            continue
        about, what, value = rule["state"]
        told = [f for f in facts if f.about == about and f.what == what and f.certain and f.turn <= fact.turn]
        if told and told[-1].value == value:
            given.add(rule["gives"])
    opposite = {r["gives"] for r in words.from_state}
    return frozenset() if opposite & set(fact.while_) else frozenset(given)


def _by_direction(fact: Fact, about: str, scene: frozenset[str], words: Vocabulary) -> list[Seen]:
    split = words.split_by_direction.get(fact.what)
    if split is None:
        return [Seen(fact, about, fact.what, fact.value, scene)]
    named = {d: {pair[d] for pair in words.directions} & scene for d in ("port", "starboard")}
    tried = [d for d in named if named[d]] or list(named)
    ran = split[str(fact.value)]
    out = [Seen(fact, about, f"{fact.what}_{d}", ran[d], scene - named[_other(d)]) for d in tried if d in ran]
    at_all = any(ran[d] for d in tried if d in ran) if ran else True
    both = scene - named["port"] - named["starboard"]
    return [*out, Seen(fact, about, f"{fact.what}_at_all", at_all, both)]


def _other(direction: str) -> str:
    return "starboard" if direction == "port" else "port"
