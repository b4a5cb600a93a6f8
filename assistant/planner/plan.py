"""The choice of the next step: settle a contradiction, ask for a set-up, test, verify; or say what cannot be told apart."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from assistant.diagnosis.diagnose import Diagnosis, shares_of
from assistant.diagnosis.table import Table
from assistant.facts.model import Fact
from assistant.knowledge import Knowledge
from assistant.knowledge.model import Question, Test
from assistant.planner.allowed import Situation
from assistant.planner.gain import Gains
from assistant.planner.proofs import Proofs, Way

Kind = Literal["test", "settle", "setup", "scene", "verify", "first"]


@dataclass(frozen=True)
class Asked:
    """What has been asked and answered so far in this epoch."""

    answered: Mapping[str, int] = field(default_factory=dict)
    """Test → how often it was answered."""
    cannot: frozenset[str] = frozenset()
    setup: frozenset[str] = frozenset()
    """Ids of the readings whose set-up or scene has been asked for."""


@dataclass(frozen=True)
class Plan:
    """The next step, or what cannot be told apart."""

    kind: Kind
    test: str
    reason: str
    """Key of the sentence that says why, with what it names."""
    names: Mapping[str, object] = field(default_factory=dict)
    questions: tuple[str, ...] = ()
    fact: Fact | None = None
    needs: tuple[tuple[str, str, object], ...] = ()


@dataclass(frozen=True)
class Outcome:
    """What the planner found."""

    plan: Plan | None
    narrowed: tuple[str, ...] = ()
    """Faults that nothing left tells apart; empty while there is a next step."""
    beyond: bool = False
    """Whether a better test was there that this person cannot do."""


class Planner:
    """Chooses the next step for one rule base; holds no case."""

    def __init__(self, knowledge: Knowledge, table: Table) -> None:
        """Look up which test answers which question, and the ways to proofs."""
        self.knowledge = knowledge
        self.table = table
        self.proofs = Proofs(knowledge, table)
        self._figures = knowledge.scales["plan"]

    def choose(self, diagnosis: Diagnosis, situation: Situation, asked: Asked, facts: tuple[Fact, ...]) -> Outcome:
        """The next step.

        Args:
            diagnosis: The case as it stands.
            situation: What decides about tests besides the suspects.
            asked: What was asked and answered in this epoch.
            facts: The facts of the case, oldest first.
        """
        early = self._unsettled(diagnosis, situation, asked) or self._set_up(diagnosis, asked)
        early = early or self._scene(diagnosis, asked, facts)
        if early:
            return Outcome(early)
        if diagnosis.verdict and not diagnosis.unexplained:
            return Outcome(self._verify(diagnosis, situation, asked))
        if not self._complained(diagnosis):
            return self._first(diagnosis, asked)
        outcome = self._search(diagnosis, situation, asked)
        if outcome.plan is None and diagnosis.verdict:
            return Outcome(self._verify(diagnosis, situation, asked), beyond=outcome.beyond)
        return outcome

    # ------------------------------------------------------------ what comes before any test
    def _unsettled(self, diagnosis: Diagnosis, situation: Situation, asked: Asked) -> Plan | None:
        for conflict in diagnosis.conflicts:
            test = conflict.settle
            if test and self._to_be_had(test, situation, asked) and asked.answered.get(test, 0) <= 2:
                return Plan("settle", test, "settle", {"conflict": conflict.text})
        return None

    def _set_up(self, diagnosis: Diagnosis, asked: Asked) -> Plan | None:
        for said in diagnosis.now.values():
            question = self.knowledge.questions[said.question]
            if said.blur == "setup_not_said" and said.fact.id not in asked.setup and question.tests:
                return Plan(
                    "setup", said.fact.asked or question.tests[0], "setup", fact=said.fact, needs=question.needs,
                    questions=(question.id,),
                )  # fmt: skip
        return None

    def _scene(self, diagnosis: Diagnosis, asked: Asked, facts: tuple[Fact, ...]) -> Plan | None:
        """A voltage told without circumstances is neither at rest nor under load until asked."""
        used = {s.fact.id for s in diagnosis.answers.values()}
        for fact in reversed(facts):
            if fact.while_ or fact.what != "voltage" or fact.id in used or fact.id in asked.setup:
                continue
            same = [q for q in self.knowledge.questions.values() if (q.about, q.what) == (fact.about, fact.what)]
            at_rest = [q for q in same if q.scene == ("at_rest",) and q.tests]
            answered = any(q.id in diagnosis.answers for q in same)
            if at_rest and not answered:
                return Plan("scene", at_rest[0].tests[0], "scene", fact=fact, questions=(at_rest[0].id,))
        return None

    # ------------------------------------------------------------ the search
    def _complained(self, diagnosis: Diagnosis) -> bool:
        answers = diagnosis.answers.values()
        questions = self.knowledge.questions
        return any(not questions[s.question].given and s.state != questions[s.question].normal for s in answers)

    def _first(self, diagnosis: Diagnosis, asked: Asked) -> Outcome:
        test = self.knowledge.limits["first_question"]
        if diagnosis.epoch or asked.answered.get(test, 0) or test in asked.cannot:
            return Outcome(None)
        return Outcome(Plan("first", test, "first"))

    def _search(self, diagnosis: Diagnosis, situation: Situation, asked: Asked) -> Outcome:
        base = tuple(f for f in diagnosis.verdict if f not in diagnosis.repaired)
        gains = Gains(self.table, diagnosis.weights, base)
        ways = self._ways(diagnosis, situation, asked)
        ranked: list[tuple[float, int, Plan]] = []
        beyond = 0.0
        for place, test in enumerate(self.knowledge.tests.values()):
            open_questions = self._open_questions(test, diagnosis, asked)
            if (
                not open_questions
                or asked.answered.get(test.id, 0) >= self._figures["asked_at_most"]
                or test.id in asked.cannot
            ):
                continue
            bar = situation.bar(test)
            if bar in ("impossible", "unsafe"):
                continue
            bits = gains.of([q for q in open_questions if not q.given])
            minutes = self.cost(test, situation)
            way = next((w for w in ways if test.id == w.tests[0]), None)
            score = bits / minutes + self._proof_score(way, diagnosis)
            least = self._figures["least_bits"] if ways else self._figures["least_bits_alone"]
            if bits < least and way is None:
                continue
            score /= 1 + asked.answered.get(test.id, 0)
            if bar == "beyond":
                beyond = max(beyond, score)
                continue
            ranked.append((-round(score, 9), place, self._plan(test, way, bits, diagnosis, open_questions)))
        ranked += self._clearing(diagnosis, situation, asked, gains)
        if not ranked:
            return Outcome(None, self._group(diagnosis), beyond > 0)
        best = min(ranked, key=lambda r: r[:2])
        return Outcome(best[2], beyond=beyond > -best[0])

    def _plan(self, test: Test, way: Way | None, bits: float, diagnosis: Diagnosis, questions: list[Question]) -> Plan:
        ids = tuple(q.id for q in questions)
        if way and bits < 0.2:
            return Plan("test", test.id, "proof", {"fault": way.fault}, ids)
        worth = self._figures["worth_proving"]
        told = [
            s.fault
            for s in diagnosis.suspects
            if s.state == "open" and s.fault in self.knowledge.faults and s.probability >= worth
        ]
        touched = [
            f for f in told if any(f in named for q in questions for t in q.says.values() for named in t.values())
        ]
        rest = [f for f in told if f not in touched]
        if touched and rest:
            return Plan("test", test.id, "split", {"fault": touched[0], "other": rest[0]}, ids)
        return Plan("test", test.id, "tells", {"fault": told[0] if told else ""}, ids)

    def _open_questions(self, test: Test, diagnosis: Diagnosis, asked: Asked) -> list[Question]:
        answers = diagnosis.answers
        return [
            q
            for q in self.knowledge.questions.values()
            if test.id in self._tests_of(q, asked)
            and not (q.id in answers and answers[q.id].blur in ("sure", "setup_not_said"))
        ]

    @staticmethod
    def _tests_of(question: Question, asked: Asked) -> tuple[str, ...]:
        """The tests that answer a question; when none of them can be done, those that may tell it by the way."""
        left = tuple(t for t in question.tests if t not in asked.cannot)
        return left or question.may_tell

    def _ways(self, diagnosis: Diagnosis, situation: Situation, asked: Asked) -> list[Way]:
        """The best way to each suspect worth proving, with its likeliest first."""
        shares = shares_of(diagnosis.weights)

        def cost(test: str) -> float | None:
            if not self._to_be_had(test, situation, asked):
                return None
            return self.cost(self.knowledge.tests[test], situation)

        tests_of = {q.id: self._tests_of(q, asked) for q in self.knowledge.questions.values()}
        out = []
        for fault in self.knowledge.faults:
            share = shares.get(fault, 0.0)
            if share < self._figures["worth_proving"] or fault in diagnosis.proved:
                continue
            ways = self.proofs.ways(fault, diagnosis.answers, cost, tests_of)
            out += ways[:1]
        return sorted(out, key=lambda w: (-round(self._proof_score(w, diagnosis), 9), w.fault))

    def _proof_score(self, way: Way | None, diagnosis: Diagnosis) -> float:
        if way is None:
            return 0.0
        share = shares_of(diagnosis.weights).get(way.fault, 0.0)
        return float(self._figures["proof_weight"] * share * way.chance / (way.minutes + 1))

    def _to_be_had(self, test: str, situation: Situation, asked: Asked) -> bool:
        if test in asked.cannot or asked.answered.get(test, 0) >= self._figures["asked_at_most"]:
            return False
        return situation.bar(self.knowledge.tests[test]) == ""

    def cost(self, test: Test, situation: Situation) -> float:
        """What the test weighs now: its minutes, and more for runs and live work."""
        extra = self._figures["run_minutes"] * test.runs_motor + self._figures["live_minutes"] * test.live
        return float(self.minutes(test, situation) + extra)

    def minutes(self, test: Test, situation: Situation) -> float:
        """Minutes of the test now, less the set-up that is already done."""
        saved = 0.0
        for scene in test.scenes:
            about, what, value = self.knowledge.words.reports.get(scene, ("", "", None))
            if about and situation.states.value(about, what) == value:
                saved += self.knowledge.scales["setup_minutes"].get(scene, 0)
        return float(max(1.0, test.minutes - saved))

    def _clearing(
        self, diagnosis: Diagnosis, situation: Situation, asked: Asked, gains: Gains
    ) -> list[tuple[float, int, Plan]]:
        """Tests that lift the block on others (air the space), worth the best of what they block."""
        blocked = [
            t for t in self.knowledge.tests.values() if situation.bar(t) == "unsafe" and t.id not in asked.cannot
        ]
        out = []
        for place, test in enumerate(self.knowledge.tests.values()):
            if not test.settles or not blocked or not self._to_be_had(test.id, situation, asked):
                continue
            values = []
            for b in blocked:
                questions = [q for q in self._open_questions(b, diagnosis, asked) if not q.given]
                if questions and (b.powered or b.runs_motor):
                    values.append(gains.of(questions) / (self.cost(b, situation) + test.minutes))
            best = max(values, default=0.0)
            if best > 0:
                out.append((-round(best, 9), place, Plan("test", test.id, "clears")))
        return out

    def _group(self, diagnosis: Diagnosis) -> tuple[str, ...]:
        """The suspects that are left when nothing more can be asked: all within reach of the likeliest."""
        open_ones = [s for s in diagnosis.suspects if s.state == "open" and s.fault in self.knowledge.faults]
        if not open_ones:
            return ()
        least = self._figures["group_share"] * open_ones[0].probability
        return tuple(s.fault for s in open_ones if s.probability >= least and s.probability > 0)

    # ------------------------------------------------------------ after the verdict
    def _verify(self, diagnosis: Diagnosis, situation: Situation, asked: Asked) -> Plan | None:
        """The next verifying test: the repair's own list, then whatever of the complaint is not yet tried again."""
        names: list[str] = []
        for fault in diagnosis.verdict:
            names += [t for t in self.knowledge.repairs[self.knowledge.faults[fault].repair].verify if t not in names]
        done = asked.answered
        limit = 1 if diagnosis.repaired else self._figures["asked_at_most"]
        waiting = [t for t in names if done.get(t, 0) < limit]
        again = [t for t in self._untried(diagnosis) if done.get(t, 0) < self._figures["asked_at_most"]]
        for test in [*waiting, *again]:
            if test not in asked.cannot and situation.bar(self.knowledge.tests[test]) == "":
                return Plan("verify", test, "verify_after" if diagnosis.repaired else "verify_when_done")
        return None

    def _untried(self, diagnosis: Diagnosis) -> list[str]:
        questions = self.knowledge.questions
        now = diagnosis.now
        wanted = [
            q
            for e in diagnosis.earlier
            for q, s in e.items()
            if questions[q].complaint and s.state != questions[q].normal
        ]
        out: list[str] = []
        for q in dict.fromkeys(
            [*wanted, *self.knowledge.scales["verify_always"], *self.knowledge.scales["verify_load"]]
        ):
            alike = [q, *questions[q].same_as]
            if not any(a in now and now[a].sure for a in alike):
                out += [t for a in alike for t in questions[a].tests]
        return list(dict.fromkeys(out))
