"""The cases: every fault on several boats, seeded pairs, and one false reading in a session."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from random import Random
from typing import Any

from assistant.bench.aboard import Aboard
from assistant.boat import faults as boat_faults
from assistant.boat.boat import Boat
from assistant.boat.saying import FactDict
from assistant.boat.spec import Spec, draw_spec, fleet
from assistant.facts.vocabulary import Vocabulary

BOATS = 4
PAIRS = 300
TRIES, STEP = 12, 10_000
"""Seeds tried until the boat's owner has a complaint, and the way from one to the next."""


@dataclass(frozen=True)
class CaseSpec:
    """One boat with what is wrong with her."""

    faults: tuple[str, ...]
    spec: Spec
    seed: int
    boat: int
    """Number of the boat, for the tables."""


def singles(boats: int = BOATS, only: Sequence[str] = ()) -> list[CaseSpec]:
    """Every fault on so many boats: kinds of the fleet in turn, each boat drawn with another seed."""
    out = []
    for place, fault in enumerate(boat_faults.known_faults()):
        if only and fault not in only:
            continue
        suited = [spec for spec in fleet() if boat_faults.possible(fault, spec)]
        for number in range(boats):
            turn = place + number
            kinds = [suited[(turn + k) % len(suited)] for k in range(len(suited))]
            out += _with_complaint((fault,), kinds, 1000 * number + place, number)
    return out


def without_complaint(cases: Iterable[CaseSpec]) -> list[str]:
    """Faults of which the owner notices nothing on any boat tried: no case can begin with them alone."""
    told = {case.faults[0] for case in cases}
    return [f for f in boat_faults.known_faults() if f not in told]


def _with_complaint(faults: tuple[str, ...], kinds: Sequence[Spec], seed: int, boat: int) -> list[CaseSpec]:
    """The first of a few seeds with which the owner has something to complain of; none where there is no such."""
    for tried in range(TRIES):
        spec, drawn = kinds[tried % len(kinds)], seed + STEP * tried
        if complains(faults, spec, drawn):
            return [CaseSpec(faults, spec, drawn, boat)]
    return []


def complains(faults: Sequence[str], spec: Spec, seed: int) -> bool:
    """Whether the owner reports anything that is not so on a sound boat."""
    sound, found = Boat(spec, (), seed).complaint(), Boat(spec, faults, seed).complaint()
    return any(f not in sound for f in found)


def pairs(count: int = PAIRS) -> list[CaseSpec]:
    """So many seeded pairs of faults on boats drawn by chance; faults of one part are not paired.

    A pair of which the owner notices nothing is drawn again.
    """
    out: list[CaseSpec] = []
    for number in itertools.count():
        if len(out) == count:
            break
        chance = Random(f"two faults {number}")
        spec = draw_spec(chance)
        able = [f for f in boat_faults.known_faults() if boat_faults.possible(f, spec)]
        first = chance.choice(able)
        part = first.partition(".")[0]
        second = chance.choice([f for f in able if f.partition(".")[0] != part])
        out += _with_complaint((first, second), [spec], number, number)
    return out


class FalseReading:
    """A helper who reads one thing wrongly, once."""

    def __init__(self, aboard: Aboard, words: Vocabulary, seed: int, last_test: int) -> None:
        """Draw when.

        Args:
            aboard: The truthful helper.
            words: The vocabulary: what can be read instead.
            seed: Everything drawn by chance follows from it.
            last_test: The false reading falls on one of the first so many tests.
        """
        self._aboard, self._words = aboard, words
        self._chance = Random(f"false reading {seed}")
        self._waits = self._chance.randrange(max(1, last_test))
        self.told: FactDict | None = None
        """The false reading, once it was given."""
        self.truth: Any = None

    def faults(self) -> tuple[str, ...]:
        """What is wrong now."""
        return self._aboard.faults()

    def report(self) -> list[FactDict]:
        """The boat, the helper and the complaint, truthfully."""
        return self._aboard.report()

    def complaint(self) -> list[FactDict]:
        """What is complained of now."""
        return self._aboard.complaint()

    def make_safe(self) -> list[FactDict]:
        """Take power away."""
        return self._aboard.make_safe()

    def repair(self, fault: str) -> list[FactDict]:
        """Put a fault right."""
        return self._aboard.repair(fault)

    def answer(self, test: str, minutes: float) -> list[FactDict] | None:
        """The truth, but for one reading of one test."""
        facts = self._aboard.answer(test, minutes)
        if facts is None or self.told is not None:
            return facts
        readings = [i for i, f in enumerate(facts) if self._is_reading(f)]
        if not readings or self._waits:
            self._waits -= bool(readings)
            return facts
        place = self._chance.choice(readings)
        self.truth = facts[place]["value"]
        self.told = {**facts[place], "value": self._other(facts[place])}
        return [*facts[:place], self.told, *facts[place + 1 :]]

    def _is_reading(self, fact: FactDict) -> bool:
        return fact["what"] not in self._words.states and fact["what"] not in ("ran_for",)

    def _other(self, fact: FactDict) -> Any:
        value, choice = fact["value"], self._words.attributes[fact["what"]].choices
        if isinstance(value, bool):
            return not value
        if isinstance(value, str):
            return self._chance.choice([c for c in choice if c != value] or [value])
        return 12.6 if abs(value) < 1 else round(value * 0.1, 2)
