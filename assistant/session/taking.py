"""Taking a line in: facts checked, placed, marked; what they replace; what is withdrawn."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from assistant.diagnosis.compute import told_nominal
from assistant.diagnosis.seen import HISTORY, own_station, principal, take_apart
from assistant.facts.intake import RefusalError, imply_from_test, split_directions, take_fact
from assistant.facts.model import JUST_DONE, Fact, RawFact
from assistant.knowledge import Knowledge
from assistant.language import Reading
from assistant.planner import Plan
from assistant.safety.states import States
from assistant.session.case import Case
from assistant.session.own_names import NameTaker


@dataclass
class Taken:
    """What one line brought."""

    facts: list[Fact] = field(default_factory=list)
    refused: list[dict[str, Any]] = field(default_factory=list)
    replaced: list[tuple[Fact, Fact]] = field(default_factory=list)
    withdrawn: list[Fact] = field(default_factory=list)
    tests: list[str] = field(default_factory=list)
    """Tests that this line answers."""


class Taker:
    """Takes facts into a case; works on one line only."""

    def __init__(self, case: Case, knowledge: Knowledge, by: str) -> None:
        """Start from the case as it stands."""
        self.case = case
        self.knowledge = knowledge
        self.by = by
        self.turn = case.turn + 1
        self.told = case.told
        self.facts = list(case.facts)
        self.taken = Taken()
        self.names = NameTaker(case, knowledge, by)

    def withdraw(self, ids: Iterable[str]) -> None:
        """Take facts back: they never were so."""
        gone = set(ids)
        self.names.withdraw(gone)
        self.taken.withdrawn += [f for f in self.facts if f.id in gone]
        self.facts = [f for f in self.facts if f.id not in gone]

    def take_back(self, reading: Reading) -> None:
        """Take back what a text takes back: parts, facts that it describes, or all that was told last."""
        for subject in reading.withdraw:
            self._withdraw_about(subject, self.case.last_told() if reading.corrects else None)
        for fact in reading.taken_back:
            self._withdraw_said(fact)
        if reading.undo and not self.names.undoes:
            self.withdraw([f.id for f in self.case.last_told()])

    def _withdraw_about(self, subject: str, among: Iterable[Fact] | None = None) -> None:
        """Take back what was said about a part: all of it, or what a correction can mean."""
        facts = self.facts if among is None else among
        self.withdraw([f.id for f in facts if own_station(f.about, self.knowledge.words) == subject])

    def _withdraw_said(self, said: RawFact) -> None:
        """Take back what was told of one attribute, in any circumstances; of a figure, only that figure."""
        words = self.knowledge.words
        own = own_station(said.about, words)
        told = [f for f in self.facts if own_station(f.about, words) == own and f.what == said.what]
        same = [f for f in told if said.words and _same(f, said)]
        figure = not isinstance(said.value, bool | str)
        self.withdraw([f.id for f in same] if same else [f.id for f in told if not figure or f.value == said.value])

    def take(self, raws: Iterable[Any], test: str | None) -> None:
        """Take facts, each by itself: what cannot be is refused with its reason, the rest is kept.

        Args:
            raws: Facts as sent.
            test: The test that they answer, if any.
        """
        for raw in raws:
            try:
                told = take_fact(raw, self.knowledge.words, told_nominal(self.facts))
            except RefusalError as refusal:
                self.taken.refused.append({"fact": raw, "why": str(refusal)})
                continue
            for fact in told:
                self._place(fact, test)

    def _place(self, raw: RawFact, test: str | None) -> None:
        asked = test if test and JUST_DONE not in raw.while_ and self._reads(test, raw) else None
        for fact in self._implied(raw, asked):
            self.put(
                Fact(
                    **fact.model_dump(by_alias=True),
                    id=f"f{self.told + 1}", turn=self.turn, index=len(self.taken.facts), by=self.by, asked=asked,
                    regards=self._regards(fact), as_setup=asked is None and self._as_setup(fact, test),
                )
            )  # fmt: skip

    def put(self, placed: Fact) -> None:
        """Put a fact that has its place into the case."""
        self.told += 1
        older = self._older(placed)
        if older is not None:
            self.taken.replaced.append((older, placed))
        self.facts.append(placed)
        self.taken.facts.append(placed)
        if placed.asked and placed.asked not in self.taken.tests:
            self.taken.tests.append(placed.asked)

    def _implied(self, fact: RawFact, asked: str | None) -> list[RawFact]:
        if asked is None:
            return [fact]
        words = self.knowledge.words
        return split_directions(imply_from_test(fact, words, asked, [(fact.about, fact.what)]), words)

    def _reads(self, test: str, fact: RawFact) -> bool:
        """Whether a fact is one of the readings that this test asks for."""
        words = self.knowledge.words
        seen = take_apart([Fact(**fact.model_dump(by_alias=True), id="?", turn=0, index=0)], words)
        asked = [q for q in self.knowledge.questions.values() if test in q.tests or test in q.may_tell]
        wanted = {(q.about, q.what) for q in asked}
        return any((s.about, s.what) in wanted for s in seen) or fact.what in self._plainly(test, fact)

    def _plainly(self, test: str, fact: RawFact) -> set[str]:
        """Readings that the test's own pickable answers hold besides those of its questions."""
        held = {f["what"] for a in self.knowledge.tests[test].answers for f in a.facts if f["about"] == fact.about}
        return held - self.knowledge.words.states | (held & {"runs"})

    def _regards(self, fact: RawFact) -> int | None:
        pending = self.case.pending
        if pending is None or pending.kind != "setup" or pending.fact is None:
            return None
        about = own_station(fact.about, self.knowledge.words)
        wanted = any((about, fact.what) == (a, w) for a, w, _ in pending.needs)
        return pending.fact.turn if wanted else None

    def _as_setup(self, fact: RawFact, test: str | None) -> bool:
        """Whether the step just asked for, or a stop, wanted just this state: set-up, not a finding."""
        pending: Plan | None = self.case.pending
        wanted: list[Mapping[str, Any]] = []
        for done in self.case.answered:
            wanted += [f for s in self.knowledge.tests[done].restore for f in s.facts]
        for name in {
            test,
            pending.test if pending and pending.kind in ("test", "confirm", "verify", "settle") else None,
        } - {None}:
            if self._reads(str(name), fact):
                continue
            steps = self.knowledge.tests[str(name)]
            wanted += [f for s in (*steps.setup, *steps.restore) for f in s.facts]
        same = any((f["about"], f["what"], f["value"]) == (fact.about, fact.what, fact.value) for f in wanted)
        return same or JUST_DONE in fact.while_ or self._ends_a_stop(fact)

    def _ends_a_stop(self, fact: RawFact) -> bool:
        states = States(self.facts, self.knowledge.words, 12.0)
        for hazard in self.knowledge.hazards.values():
            if not hazard.stop_text or not any(
                all(states.holding(c, doubtful=True) for c in option) for option in hazard.raised_when
            ):
                continue
            if any(
                (f["about"], f["what"], f["value"]) == (fact.about, fact.what, fact.value) for f in hazard.stop_facts
            ):
                return True
        return False

    def _older(self, fact: Fact) -> Fact | None:
        """The earlier fact about the same thing in the same scene, if this one takes its place."""
        words = self.knowledge.words
        attribute = words.attributes[fact.what]
        complaint = fact.what in words.split_by_direction and principal(frozenset(fact.while_), words) is None
        if complaint or attribute.adds_up or HISTORY in fact.while_:
            return None
        about = own_station(fact.about, words)
        for old in reversed(self.facts):
            same = own_station(old.about, words) == about and (old.what, _seen_in(old)) == (fact.what, _seen_in(fact))
            if same and (not attribute.gathers or old.value == fact.value):
                return old
        return None


def _same(told: Fact, said: RawFact) -> bool:
    """Whether it is just this fact, in these words, and not one like it."""
    return all(getattr(told, name) == getattr(said, name) for name in ("value", "while_", "words"))


def _seen_in(fact: Fact) -> tuple[str, ...]:
    """The circumstances of a fact; that it was just done makes it no fact of another kind."""
    return tuple(c for c in fact.while_ if c != JUST_DONE)
