"""Ways to choose the next test: the assistant's own, a fixed chart, a random order; all under one set of limits."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from random import Random
from typing import Any, Protocol

from assistant.diagnosis.compute import nominal_voltage
from assistant.diagnosis.diagnose import Diagnoser, Diagnosis
from assistant.diagnosis.seen import take_apart
from assistant.facts.model import Fact
from assistant.knowledge import Knowledge
from assistant.knowledge.model import Test
from assistant.knowledge.reader import read_yaml
from assistant.planner import Planner
from assistant.planner.allowed import Situation
from assistant.safety.hazards import standing_hazards
from assistant.safety.states import States
from assistant.session import Session

Step = tuple[str, float]
"""A test, and its minutes now."""


class Watched(Diagnoser):
    """A diagnoser that keeps its last diagnosis, so that every way to go on sees the same case."""

    last: Diagnosis

    def diagnose(self, facts: Iterable[Fact]) -> Diagnosis:
        """Diagnose and keep it."""
        self.last = super().diagnose(facts)
        return self.last


class Way(Protocol):
    """Chooses the next test of a search."""

    def choose(self, out: Mapping[str, Any], table: Bench, carried: frozenset[str]) -> Step | None:
        """The next test, or None when this way knows none.

        Args:
            out: The session's last turn.
            table: What may be done now, and for how many minutes.
            carried: Tests carried out since the last repair.
        """


class Bench:
    """What may be done now: the limits and minutes that hold for every way alike."""

    def __init__(self, session: Session, diagnoser: Watched) -> None:
        """Look at a session."""
        self.session, self.diagnoser = session, diagnoser
        self.knowledge: Knowledge = session.knowledge
        self._planner = Planner(session.knowledge, diagnoser.table)
        self._at: tuple[int, Situation] | None = None

    @property
    def diagnosis(self) -> Diagnosis:
        """The case as it stands."""
        return self.diagnoser.last

    def situation(self) -> Situation:
        """What decides about tests now."""
        turn = self.session.case.turn
        if self._at is None or self._at[0] != turn:
            facts, words = self.session.case.facts, self.knowledge.words
            nominal, _ = nominal_voltage(take_apart(facts, words))
            states = States(facts, words, nominal)
            live = tuple(standing_hazards(states, self.knowledge))
            role, case = self.session.role, self.diagnosis
            now = Situation(self.knowledge, case.answers, states, live, role, case.searching, case.powerless)
            self._at = (turn, now)
        return self._at[1]

    def bar(self, test: str) -> str:
        """Why a test may not be done now, or an empty word."""
        if test in self.session.case.cannot:
            return "impossible"
        return self.situation().bar(self.knowledge.tests[test])

    def minutes(self, test: str) -> float:
        """Minutes of a test now, less the set-up that stands already."""
        return self._planner.minutes(self.knowledge.tests[test], self.situation())

    def told(self, test: str) -> bool:
        """Whether everything that the test could tell stands answered for sure."""
        questions = [q for q in self.knowledge.questions_of(test) if not q.given]
        answers = self.diagnosis.answers
        return bool(questions) and all(q.id in answers and answers[q.id].sure for q in questions)

    def clearing(self, carried: frozenset[str]) -> Test | None:
        """A test that lifts the block on others, not carried out yet."""
        return next((t for t in self.knowledge.tests.values() if t.settles and t.id not in carried), None)

    def first_of(self, names: Iterable[str], carried: frozenset[str]) -> Step | None:
        """The first of these that may be done, has not been, and can still tell something.

        One that is unsafe for the time being is put off behind the step that makes it safe.
        """
        for name in names:
            if name in carried or self.told(name):
                continue
            bar = self.bar(name)
            if bar == "unsafe" and (first := self.clearing(carried)) and self.bar(first.id) == "":
                return first.id, self.minutes(first.id)
            if bar == "":
                return name, self.minutes(name)
        return None


class Assistant:
    """The session's own plan."""

    def choose(self, out: Mapping[str, Any], table: Bench, carried: frozenset[str]) -> Step | None:
        """What the session asks for."""
        return (out["next"]["test"], out["next"]["minutes"]) if out["next"] else None


@dataclass(frozen=True)
class ChartStep:
    """One line of the chart."""

    test: str
    when: Mapping[str, tuple[str, ...]]
    """All of these must stand."""
    when_any: Mapping[str, tuple[str, ...]]
    """One of these must stand."""
    unless: Mapping[str, tuple[str, ...]]
    """Left out while one of these stands."""

    def fits(self, answers: Mapping[str, str]) -> bool:
        """Whether the answers so far lead over this line."""

        def stands(pair: tuple[str, tuple[str, ...]]) -> bool:
            return answers.get(pair[0]) in pair[1]

        if any(map(stands, self.unless.items())) or not all(map(stands, self.when.items())):
            return False
        return not self.when_any or any(map(stands, self.when_any.items()))


class Chart:
    """The order that a careful electrician keeps on every boat, branching on each answer."""

    def __init__(self, knowledge: Knowledge) -> None:
        """Read the chart; behind its last line stand all other tests, in the order of the rule base."""
        self.steps = chart_steps()
        named = {s.test for s in self.steps}
        self.rest = [t for t in _search_tests(knowledge) if t not in named]

    def choose(self, out: Mapping[str, Any], table: Bench, carried: frozenset[str]) -> Step | None:
        """The first line that the answers lead over."""
        answers = {q: s.state for q, s in table.diagnosis.answers.items()}
        fitting = [s.test for s in self.steps if s.fits(answers)]
        skipped = [s.test for s in self.steps if s.test not in fitting]
        return table.first_of([*fitting, *self.rest, *skipped], carried)


class Shuffled:
    """Any test that may be done, in an order drawn once."""

    def __init__(self, knowledge: Knowledge, seed: int) -> None:
        """Draw the order."""
        self.order = _search_tests(knowledge)
        Random(f"order {seed}").shuffle(self.order)

    def choose(self, out: Mapping[str, Any], table: Bench, carried: frozenset[str]) -> Step | None:
        """The first of the order that may be done."""
        return table.first_of(self.order, carried)


def _search_tests(knowledge: Knowledge) -> list[str]:
    """Every test that looks for a cause."""
    first = knowledge.limits["first_question"]
    return [t for t, entry in knowledge.tests.items() if not entry.settles and t != first]


@cache
def chart_steps() -> tuple[ChartStep, ...]:
    """The lines of `chart.yaml`.

    Raises:
        KnowledgeError: The file is missing or malformed.
    """
    data = read_yaml(files("assistant.bench") / "chart.yaml", "chart.yaml")
    return tuple(
        ChartStep(str(e["test"]), *(_states(e.get(name, {})) for name in ("when", "when_any", "unless")))
        for e in data["chart"]
    )


def _states(entry: Mapping[str, Any]) -> dict[str, tuple[str, ...]]:
    return {q: (s,) if isinstance(s, str) else tuple(s) for q, s in entry.items()}
