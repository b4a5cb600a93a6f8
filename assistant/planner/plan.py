"""The choice of the next step: settle a contradiction, ask for a set-up, search, verify."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from assistant.diagnosis.answers import Said, anything_abnormal
from assistant.diagnosis.diagnose import Diagnosis
from assistant.diagnosis.support import Evidence
from assistant.diagnosis.table import Table
from assistant.facts.model import Fact
from assistant.knowledge import Knowledge
from assistant.knowledge.model import Test
from assistant.planner.allowed import LATER, Situation
from assistant.planner.proofs import Proofs
from assistant.planner.search import Search, to_be_had, to_spend
from assistant.planner.second_look import second_looks
from assistant.planner.steps import Asked, Outcome, Plan


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
        evidence = Evidence(diagnosis.answers, diagnosis.conclusions, facts, self.table)
        confirming = self._confirm(diagnosis, situation, asked)
        early = self._unsettled(diagnosis, situation, asked) or self._set_up(diagnosis, asked)
        early = early or self._scene(diagnosis, situation, asked, facts)
        outcome = Outcome(early) if early else self._onward(diagnosis, evidence, situation, asked, confirming)
        return replace(outcome, waiting=tuple(confirming))

    def _onward(
        self,
        diagnosis: Diagnosis,
        evidence: Evidence,
        situation: Situation,
        asked: Asked,
        confirming: Mapping[str, Plan | None],
    ) -> Outcome:
        """Confirm what one reading proved, search for what is not explained, look again, verify."""
        if diagnosis.verified:
            return Outcome(None)
        confirm = next((plan for plan in confirming.values() if plan), None)
        to_blame = next((p for f, p in confirming.items() if p and self._is_to_blame(f, diagnosis)), None)
        if to_blame or (diagnosis.verdict and not diagnosis.unexplained):
            return Outcome(to_blame or confirm or self._verify(diagnosis, situation, asked))
        if diagnosis.untried and (plan := self._verify(diagnosis, situation, asked)):
            return Outcome(plan)
        if not anything_abnormal(diagnosis.answers, self.knowledge):
            return self._first(diagnosis, asked)
        outcome = Search(self.knowledge, self.table, self.proofs, diagnosis, situation, asked).best()
        if outcome.plan:
            return outcome
        again = confirm or self._second_look(diagnosis, evidence, situation, asked)
        if again:
            return Outcome(again, beyond=outcome.beyond)
        if diagnosis.verdict:
            plan = self._verify(diagnosis, situation, asked)
            return Outcome(plan, () if plan else outcome.narrowed, outcome.beyond)
        return outcome

    def _is_to_blame(self, fault: str, diagnosis: Diagnosis) -> bool:
        """Whether a proved fault would bring something that is complained of, and is not just found by the way."""
        told = [(self.knowledge.questions[q], s.state) for q, s in diagnosis.answers.items()]
        return any(q.complaint and s != q.normal and self.table.brings(q, s, fault) for q, s in told)

    # ------------------------------------------------------------ what comes before any test
    def _unsettled(self, diagnosis: Diagnosis, situation: Situation, asked: Asked) -> Plan | None:
        for conflict in diagnosis.conflicts:
            test = conflict.settle
            if not test or test in asked.cannot or situation.bar(self.knowledge.tests[test]):
                continue
            if asked.answered.get(test, 0) <= self._figures["asked_at_most"]:  # once more than anything else
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

    def _is_off(self, situation: Situation) -> bool:
        """Whether the power was told to be off, so that nobody asks whether anything ran."""
        about, what, on = self.knowledge.limits["power_on"]
        return situation.states.value(about, what) not in (None, on)

    def _scene(self, diagnosis: Diagnosis, situation: Situation, asked: Asked, facts: tuple[Fact, ...]) -> Plan | None:
        """A voltage told without circumstances is neither at rest nor under load until asked."""
        used = {s.fact.id for s in diagnosis.answers.values()}
        for fact in reversed(facts):
            if fact.while_ or fact.what != "voltage" or fact.id in used or fact.id in asked.setup:
                continue
            if fact.value == 0 and self._is_off(situation):
                continue  # nothing runs on that
            same = [q for q in self.knowledge.questions.values() if (q.about, q.what) == (fact.about, fact.what)]
            at_rest = [q for q in same if q.scene == ("at_rest",) and q.tests]
            answered = any(q.id in diagnosis.answers for q in same)
            if at_rest and not answered:
                return Plan("scene", at_rest[0].tests[0], "scene", fact=fact, questions=(at_rest[0].id,))
        return None

    def _confirm(self, diagnosis: Diagnosis, situation: Situation, asked: Asked) -> dict[str, Plan | None]:
        """For each fault proved on one reading: the test that takes it again in the fewest minutes.

        None stands where such a test is barred for a while only, or was taken again often enough and has not said the
        same: the part waits.
        """
        out: dict[str, Plan | None] = {}
        for fault, told in diagnosis.unconfirmed.items():
            test = self._again(told, situation, asked)
            if test:
                out[fault] = Plan("confirm", test, "confirm", {"fault": fault}, tuple(s.question for s in told))
            elif any(self._could_be(t, situation, asked) for s in told for t in self._retaken_by(s)):
                out[fault] = None
        return out

    def _retaken_by(self, said: Said) -> tuple[str, ...]:
        """The tests that take a reading again: the one that was asked, and those of its question.

        What was complained of is not asked again but tried again.
        """
        asked = (said.fact.asked,) if said.fact.asked else ()
        first, tried = (str(self.knowledge.limits[name]) for name in ("first_question", "tried_again_by"))
        return tuple(tried if t == first else t for t in (*asked, *self.knowledge.questions[said.question].tests))

    def _could_be(self, test: str, situation: Situation, asked: Asked) -> bool:
        """Whether this person could do a test on this boat, now or later."""
        return test not in asked.cannot and situation.bar(self.knowledge.tests[test]) in ("", *LATER)

    def _again(self, told: Sequence[Said], situation: Situation, asked: Asked) -> str | None:
        """The test that takes most of these readings again, in the fewest minutes."""
        tests = {s.question: self._retaken_by(s) for s in told}
        offers = {
            t: (self.minutes(self.knowledge.tests[t], situation), -sum(t in each for each in tests.values()), t)
            for each in tests.values()
            for t in each
            if to_be_had(t, situation, asked, "confirmed_at_most")
        }
        return min(offers, key=offers.__getitem__, default=None)

    def _second_look(self, diagnosis: Diagnosis, evidence: Evidence, situation: Situation, asked: Asked) -> Plan | None:
        """Before an honest end: the reading that alone rules out a cause at least as good as those that are left."""
        for fault, said in second_looks(diagnosis, evidence):
            test = self._again([said], situation, asked)
            if test:
                return Plan("confirm", test, "second_look", {"fault": fault}, (said.question,))
        return None

    def _first(self, diagnosis: Diagnosis, asked: Asked) -> Outcome:
        test = self.knowledge.limits["first_question"]
        if diagnosis.epoch or asked.answered.get(test, 0) or test in asked.cannot:
            return Outcome(None)
        return Outcome(Plan("first", test, "first"))

    def minutes(self, test: Test, situation: Situation) -> float:
        """Minutes of the test now, less the set-up that is already done."""
        return to_spend(test, situation)

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
        if diagnosis.repaired:  # the one that tries most of the complaint at once comes first
            shortest = self.knowledge.limits["tried_again_by"]
            waiting = [t for t in again if t == shortest] + [t for t in waiting if t != shortest]
        for test in [*waiting, *again]:
            if test not in asked.cannot and situation.bar(self.knowledge.tests[test]) == "":
                after = diagnosis.repaired or diagnosis.untried
                return Plan("verify", test, "verify_after" if after else "verify_when_done")
        return self._make_safe([*waiting, *again], situation, asked)

    def _make_safe(self, wanted: list[str], situation: Situation, asked: Asked) -> Plan | None:
        """What must come first when vapour keeps a verifying test from being safe."""
        tests = [self.knowledge.tests[t] for t in wanted if t not in asked.cannot]
        if any(situation.bar(test) == "unsafe" and situation.vapour_bars(test) for test in tests):
            for test in self.knowledge.tests.values():
                if test.settles and to_be_had(test.id, situation, asked):
                    return Plan("test", test.id, "clears")
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
                out += [t for a in alike for t in (questions[a].tests or questions[a].may_tell)]
        return list(dict.fromkeys(out))
