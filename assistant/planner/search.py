"""The search for the cause: every test that may be asked for, by what it should tell and prove a minute."""

from __future__ import annotations

from assistant.diagnosis.diagnose import Diagnosis, said_already, shares_of
from assistant.diagnosis.table import Hypothesis, Table
from assistant.knowledge import Knowledge
from assistant.knowledge.model import Question, Test
from assistant.planner.allowed import LATER, Situation
from assistant.planner.gain import Gains
from assistant.planner.overlooked import overlooked
from assistant.planner.proofs import Proofs, Way
from assistant.planner.small import SmallModel, SmallTest, ahead, is_small, likeliest
from assistant.planner.steps import Asked, Outcome, Plan

_Ranked = tuple[float, int, Plan]
"""(less is better, place in the rule base, step)."""


def to_spend(test: Test, situation: Situation) -> float:
    """Minutes of a test now, less the set-up that is already done."""
    saved = 0.0
    for scene in test.scenes:
        about, what, value = situation.knowledge.words.reports.get(scene, ("", "", None))
        if about and situation.states.value(about, what) == value:
            saved += situation.knowledge.scales["setup_minutes"].get(scene, 0)
    return float(max(1.0, test.minutes - saved))


def to_be_had(test: str, situation: Situation, asked: Asked, limit: str = "asked_at_most") -> bool:
    """Whether a test can be asked for: not refused, not asked too often, nothing bars it.

    Args:
        test: The test.
        situation: What decides about tests besides the suspects.
        asked: What was asked and answered in this epoch.
        limit: Name of the figure that says how often is too often.
    """
    most = situation.knowledge.scales["plan"][limit]
    if test in asked.cannot or asked.answered.get(test, 0) >= most:
        return False
    return situation.bar(situation.knowledge.tests[test]) == ""


class Search:
    """One search in one state of one case."""

    def __init__(
        self,
        knowledge: Knowledge,
        table: Table,
        proofs: Proofs,
        diagnosis: Diagnosis,
        situation: Situation,
        asked: Asked,
    ) -> None:
        """Work out once what every candidate is weighed by."""
        self.knowledge = knowledge
        self.diagnosis = diagnosis
        self.situation = situation
        self.asked = asked
        self._figures = knowledge.scales["plan"]
        self._shares = self._raised(table)
        self._tests_of = {q.id: self._answering(q) for q in knowledge.questions.values()}
        self._open: dict[str, list[Question]] = {}
        self._costs = {t.id: self._cost(t) for t in knowledge.tests.values()}
        base = tuple(f for f in diagnosis.verdict if f not in diagnosis.repaired)
        self._gains = Gains(table, diagnosis.weights, base)
        self._ways = self._best_ways(proofs)
        self._foreseen = self._look_ahead(table)

    def _raised(self, table: Table) -> dict[str, float]:
        """Each cause's share; one that alone explains a finding is looked after as if it were likely."""
        shares, worth = shares_of(self.diagnosis.weights), self._figures["worth_proving"]
        return shares | dict.fromkeys(overlooked(self.diagnosis, table, shares, worth), worth)

    def best(self) -> Outcome:
        """The step that brings most a minute, or what nothing left tells apart."""
        ranked: list[_Ranked] = []
        beyond = 0.0
        for place, test in enumerate(self.knowledge.tests.values()):
            score, plan = self._weigh(test)
            if plan is None:
                continue
            if self._costs[test.id] is None:
                beyond = max(beyond, score)
            else:
                ranked.append((-round(score, 9), place, plan))
        ranked += self._clearing()
        if not ranked:
            return Outcome(None, self._group(), beyond > 0)
        best = min(ranked, key=lambda r: r[:2])
        return Outcome(best[2], beyond=beyond > -best[0])

    def _weigh(self, test: Test) -> tuple[float, Plan | None]:
        """What a test is worth a minute, and the step it would be; None when it is not worth asking for."""
        times = self.asked.answered.get(test.id, 0)
        questions = self._open_questions(test)
        if not questions or times >= self._figures["asked_at_most"] or test.id in self.asked.cannot:
            return 0.0, None
        if self._left_out(test):
            return 0.0, None
        if self.situation.bar(test) in ("impossible", *LATER):
            return 0.0, None
        bits = self._gains.of([q for q in questions if not q.given])
        way = next((w for w in self._ways if test.id in w.tests), None)
        least = self._figures["least_bits"] if self._ways else self._figures["least_bits_alone"]
        if bits < least and way is None and not self._gates(test):
            return 0.0, None
        cost = self._costs[test.id] or self._weight(test)
        opens = self._opened_by(test, cost)
        rate = self._foreseen.get(test.id, bits / cost)
        score = max(rate, opens) + self._proof_score(way)
        return score / (1 + times), self._step(test, way, bits, questions)

    def _look_ahead(self, table: Table) -> dict[str, float]:
        """Where few causes are left: the test that two tests ahead leaves the fewest minutes, worth as much as any.

        Every answer is taken as the likeliest one; the chance that it is another is in the gain of each test.
        """
        most, least = self._figures["small"], self._figures["small_share"]
        causes = [(h, w) for h, w in self._gains.kept if w >= least]
        offers = self._telling(table, [h for h, _ in causes])[:most] if len(causes) <= most else []
        if not is_small(len(causes), len(offers), most):
            return {}
        minutes = self.knowledge.scales["setup_minutes"]
        names = tuple("+".join(h) for h, _ in causes)
        model = SmallModel(names, tuple(w for _, w in causes), tuple(t for _, t in offers), minutes)
        chosen = ahead(2)(model, model.everything(), frozenset())
        return {chosen.name: -offers[0][0]} if chosen else {}

    def _telling(self, table: Table, causes: list[Hypothesis]) -> list[tuple[float, SmallTest]]:
        """The tests that can be had and tell these causes apart, with minus their bits a minute, the best first."""
        base = self._gains.base
        out = []
        for test in self.knowledge.tests.values():
            cost, asked = self._costs[test.id], [q for q in self._open_questions(test) if not q.given]
            if cost is None or not asked:
                continue
            outcomes = tuple(likeliest(table, asked, (*base, *h)) for h in causes)
            rate = round(self._gains.of(asked) / cost, 9)
            if len(set(outcomes)) > 1:
                out.append((-rate, SmallTest(test.id, cost, outcomes, frozenset(test.scenes))))
        return sorted(out, key=lambda o: (o[0], o[1].name))

    def _gates(self, test: Test) -> list[Test]:
        """Tests that are not to be asked for before this one is answered."""
        mine = {q for q, tests in self._tests_of.items() if test.id in tests and q not in self.diagnosis.answers}
        return [
            t
            for t in self.knowledge.tests.values()
            if t.id not in self.asked.cannot
            and (set(t.only_after) & mine or {pair.partition(".")[0] for pair in t.only_after_any} & mine)
        ]

    def _opened_by(self, test: Test, cost: float) -> float:
        """The best that a test makes possible, in bits a minute of both."""
        values = [
            self._gains.of(questions) / (cost + self._weight(t))
            for t in self._gates(test)
            if (questions := [q for q in self._open_questions(t) if not q.given])
        ]
        return max(values, default=0.0)

    def _step(self, test: Test, way: Way | None, bits: float, questions: list[Question]) -> Plan:
        """The step with the reason for it: what it proves, what it tells apart, or that it tells most."""
        ids = self._most_telling(questions)
        if way and bits < 0.2:
            return Plan("test", test.id, "proof", {"fault": way.fault}, ids)
        worth = self._figures["worth_proving"]
        told = [
            s.fault
            for s in self.diagnosis.suspects
            if s.state == "open" and s.fault in self.knowledge.faults and s.probability >= worth
        ]
        spoken_of = {f for q in questions for table in q.says.values() for named in table.values() for f in named}
        touched = [f for f in told if f in spoken_of]
        rest = [f for f in told if f not in spoken_of]
        if touched and rest:
            return Plan("test", test.id, "split", {"fault": touched[0], "other": rest[0]}, ids)
        return Plan("test", test.id, "tells", {"fault": told[0] if told else ""}, ids)

    def _most_telling(self, questions: list[Question]) -> tuple[str, ...]:
        """The questions by what each tells, the most telling first, without those that tell next to nothing."""
        bits = {q.id: 0.0 if q.given else round(self._gains.of([q]), 9) for q in questions}
        ranked = sorted(bits, key=lambda q: -bits[q])
        return tuple(q for q in ranked if bits[q] >= self._figures["least_bits"]) or tuple(ranked[:1])

    def _open_questions(self, test: Test) -> list[Question]:
        """The questions that this test would answer and that do not stand answered; looked for once."""
        if test.id not in self._open:
            self._open[test.id] = self._find_open(test)
        return self._open[test.id]

    def _find_open(self, test: Test) -> list[Question]:
        answers = self.diagnosis.answers
        read = self._read_already(test)
        return [
            q
            for q in self.knowledge.questions.values()
            if test.id in self._tests_of[q.id]
            and not (q.id in answers and answers[q.id].blur in ("sure", "setup_not_said"))
            and not said_already(q, answers, q.normal)
            and (q.about, q.what, q.scene) not in read
            and not self._made_so(q)
        ]

    def _made_so(self, question: Question) -> bool:
        """Whether it is asked how something was found that this person has set so since (`main switch is off now`)."""
        fact = self.situation.states.newest(question.about, question.what)
        return bool(question.only_asked) and question.take == "first" and fact is not None and fact.as_setup

    def _read_already(self, test: Test) -> set[tuple[str, str, tuple[str, ...]]]:
        """What this test was surely told: a hum that is heard answers whether it grinds, as far as anybody will say."""
        asked = self.knowledge.questions
        sure = [asked[name] for name, said in self.diagnosis.answers.items() if said.sure]
        return {(q.about, q.what, q.scene) for q in sure if test.id in q.tests and not q.only_asked}

    def _answering(self, question: Question) -> tuple[str, ...]:
        """The tests that answer a question; when none of them can be done, those that may tell it by the way."""
        left = tuple(t for t in question.tests if t not in self.asked.cannot)
        return left or question.may_tell

    def _best_ways(self, proofs: Proofs) -> list[Way]:
        """The best way to each suspect worth proving, the most promising first."""
        out: list[Way] = []
        for fault in self.knowledge.faults:
            if self._shares.get(fault, 0.0) < self._figures["worth_proving"] or fault in self.diagnosis.proved:
                continue
            out += proofs.ways(fault, self.diagnosis.answers, self._costs.__getitem__, self._tests_of)[:1]
        return sorted(out, key=lambda w: (-round(self._proof_score(w), 9), w.fault))

    def _proof_score(self, way: Way | None) -> float:
        if way is None:
            return 0.0
        share = self._shares.get(way.fault, 0.0)
        return float(self._figures["proof_weight"] * share * way.chance / (way.minutes + 1))

    def _left_out(self, test: Test) -> bool:
        """Whether what is left of it was asked for often enough, or it is a run where nothing can run."""
        if self.asked.passed.get(test.id, 0) >= self._figures["rest_asked_at_most"]:
            return True
        answers, wanted = self.diagnosis.answers, self.knowledge.limits["no_run_tells_after"]
        return test.runs_motor and any(q in answers and answers[q].state in s for q, s in wanted.items())

    def _cost(self, test: Test) -> float | None:
        """What a test weighs now, or None when it cannot be asked for."""
        if self._left_out(test) or not to_be_had(test.id, self.situation, self.asked):
            return None
        return self._weight(test)

    def _weight(self, test: Test) -> float:
        """Minutes, and more for runs and live work."""
        extra = self._figures["run_minutes"] * test.runs_motor + self._figures["live_minutes"] * test.live
        return float(to_spend(test, self.situation) + extra)

    def _clearing(self) -> list[_Ranked]:
        """Tests that lift the block on others (air the space), worth the best of what they block."""
        lifting = [
            (place, t)
            for place, t in enumerate(self.knowledge.tests.values())
            if t.settles and self._costs[t.id] is not None
        ]
        if not lifting:
            return []
        blocked = [
            t for t in self.knowledge.tests.values() if t.id not in self.asked.cannot and self.situation.vapour_bars(t)
        ]
        out: list[_Ranked] = []
        for place, test in lifting:
            values = [
                self._gains.of(questions) / (self._weight(b) + test.minutes)
                for b in blocked
                if (questions := [q for q in self._open_questions(b) if not q.given])
            ]
            best = max(values, default=0.0)
            if best > 0:
                out.append((-round(best, 9), place, Plan("test", test.id, "clears")))
        return out

    def _group(self) -> tuple[str, ...]:
        """The suspects that are left when nothing more can be asked: all within reach of the likeliest."""
        open_ones = [s for s in self.diagnosis.suspects if s.state == "open" and s.fault in self.knowledge.faults]
        if not open_ones:
            return ()
        least = self._figures["group_share"] * open_ones[0].probability
        return tuple(s.fault for s in open_ones if self._shares.get(s.fault, 0.0) >= least and s.probability > 0)
