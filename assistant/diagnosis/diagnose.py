"""The diagnosis of a case: a function of its facts, whatever order independent facts came in."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

from assistant.diagnosis.answers import Said, any_stands, read_answers
from assistant.diagnosis.conflicts import Conflict, contradictions, outvoted, repeated_readings
from assistant.diagnosis.epochs import Epoch, split_epochs
from assistant.diagnosis.reach import in_reach
from assistant.diagnosis.relapse import (
    came_back,
    counts_without_power,
    does_it,
    mended,
    struck_since,
    uncaused,
    without_power,
)
from assistant.diagnosis.seen import Told, own_station
from assistant.diagnosis.support import Evidence, unconfirmed, witnesses
from assistant.diagnosis.table import OTHER, UNIT, Hypothesis, Table, shared
from assistant.engine import Conclusion, Engine
from assistant.facts.model import Fact
from assistant.knowledge import Knowledge
from assistant.knowledge.model import Question

NOTHING_MORE = "nothing_more"
State = Literal["open", "proved", "ruled_out"]


@dataclass(frozen=True)
class Suspect:
    """One possible cause with its standing."""

    fault: str
    probability: float
    state: State
    because: tuple[str, ...]


@dataclass(frozen=True)
class Diagnosis:
    """Everything that follows from the facts of a case."""

    answers: Mapping[str, Said]
    """Of the present epoch, with the earlier ones that count again."""
    now: Mapping[str, Said]
    """Of the present epoch alone."""
    earlier: tuple[Mapping[str, Said], ...]
    conclusions: tuple[Conclusion, ...]
    proved: Mapping[str, str]
    """Every fault proved in this case → rule."""
    verdict: tuple[str, ...]
    """Those whose repair is not verified yet."""
    repaired: tuple[str, ...]
    """Those of the verdict that a repair has been reported for."""
    came_back: tuple[str, ...]
    """Those proved again after their repair."""
    uncaused: tuple[str, ...]
    """Those of them whose cause is not proved yet."""
    powerless: bool
    """Whether one of these took the power away: it is not to come back before the cause is found."""
    verified: bool
    ruled_out: Mapping[str, str]
    """Fault → the answer (question.state) or boat data that acquits it."""
    suspects: tuple[Suspect, ...]
    conflicts: tuple[Conflict, ...]
    doubtful: frozenset[str]
    weights: tuple[tuple[Hypothesis, float], ...]
    """What is still possible beside the proved faults, with its share; sums to 1."""
    unexplained: bool
    """Whether findings remain that the proved faults do not explain."""
    epoch: int
    untried: bool = False
    """Whether a part was worked on of which nothing was proved, and the complaint was not tried since."""
    unconfirmed: Mapping[str, tuple[Said, ...]] = field(default_factory=dict)
    """Faults of the verdict for which a part would be changed on one reading, taken once → these readings."""
    ask_when: tuple[Fact, ...] = field(default=())
    """Repairs told of which it is not known whether they were done just now."""

    @property
    def searching(self) -> bool:
        """Whether the cause, or a cause of what is left, is still looked for."""
        return not self.verdict or self.unexplained


class Diagnoser:
    """Rule base, table and engine together; holds no case."""

    def __init__(self, knowledge: Knowledge, engine: Engine | None = None) -> None:
        """Prepare the table and register the rules."""
        self.knowledge = knowledge
        self.table = Table(knowledge)
        self.engine = engine or Engine(knowledge.rules)

    def diagnose(self, facts: Iterable[Fact]) -> Diagnosis:
        """Work the case out from nothing but its facts."""
        return self._work_out(facts, shares=True)

    def conclude(self, facts: Iterable[Fact]) -> Diagnosis:
        """What the rules conclude; `weights` and `suspects` stay empty, and `unexplained` says nothing."""
        return self._work_out(facts, shares=False)

    def _work_out(self, facts: Iterable[Fact], shares: bool) -> Diagnosis:
        listed = sorted(facts, key=lambda f: f.order)
        told = Told(listed, self.knowledge.words)
        epochs, ask_when = split_epochs(
            listed,
            self.knowledge,
            proofs=lambda part: set(self._evaluate(part, told).proved),
            in_reach=lambda part, fault: in_reach(part, fault, told, self.knowledge),
            found_wrong=lambda part: self._found_wrong(part, told),
        )
        evaluated: list[_Evaluated] = []
        for epoch in epochs:
            before = {f for e in evaluated for f in e.proved}
            evaluated.append(self._evaluate(epoch.facts, told, before))
        carried, lone = self._standing(epochs, evaluated, listed)
        now = evaluated[-1]
        untried = len(epochs) > 1 and not carried and not self._tried(now.answers)
        back = untried or (len(epochs) > 1 and self._complaint_is_back(now.answers))
        answers = self._counting(evaluated, carried, untried) if back else dict(now.answers)
        conclusions = self._chain(answers) if back else now.conclusions
        fresh = {f: r for f, r in _proved(conclusions).items() if f not in carried}
        again = came_back(epochs, [e.proved for e in evaluated], self.knowledge)
        restless = uncaused(again, [*carried, *fresh], self.knowledge)
        verified = len(epochs) > 1 and not (fresh or again) and self._verified(now.answers, evaluated[:-1])
        ruled_out = self._ruled_out(answers, {**carried, **fresh})
        base = (*fresh, *again)
        powerless = without_power(restless, self.knowledge)
        weights = self._weights(answers, base, len(epochs) > 1, ruled_out, restless) if shares else ()
        if restless or (back and not base):
            weights = _something_more(weights)
        verdict = () if verified else (*carried, *fresh)
        return Diagnosis(
            answers=answers,
            now=now.answers,
            earlier=tuple(e.answers for e in evaluated[:-1]),
            conclusions=conclusions,
            proved={**carried, **fresh},
            verdict=verdict,
            repaired=tuple(f for f in carried if f not in again and f not in lone),
            came_back=again,
            uncaused=restless,
            powerless=powerless,
            verified=verified,
            ruled_out=ruled_out,
            suspects=self._suspects(weights, {**carried, **fresh}, ruled_out, answers) if shares else (),
            conflicts=now.conflicts,
            doubtful=now.doubtful,
            weights=weights,
            unexplained=bool(restless) or (back and not again) or self._unexplained(weights, {**carried, **fresh}),
            epoch=len(epochs) - 1,
            untried=untried,
            unconfirmed=lone | unconfirmed(base, Evidence(answers, conclusions, listed, self.table)),
            ask_when=ask_when,
        )

    def _standing(
        self, epochs: list[Epoch], evaluated: list[_Evaluated], facts: list[Fact]
    ) -> tuple[dict[str, str], dict[str, tuple[Said, ...]]]:
        """Faults proved before the last repair with their rules, and those of them that stand on one reading yet.

        Such a fault, not mended, goes again when it is looked at a second time and nothing is found.
        """
        carried = _carried(evaluated)
        if not carried:
            return {}, {}
        proved = [e.proved for e in evaluated]
        now = evaluated[-1].answers
        acquitted = self._acquitted(now)
        lone: dict[str, tuple[Said, ...]] = {}
        for fault in list(carried):
            if mended(fault, epochs, proved, self.knowledge):
                continue
            then = next(e for e, one in zip(evaluated, proved, strict=True) if fault in one)
            wants = unconfirmed([fault], Evidence(then.answers, then.conclusions, facts, self.table))
            reread = [(now[s.question], s) for s in wants.get(fault, ()) if s.question in now]
            differs = any(newer.sure and newer.state != s.state for newer, s in reread)
            if wants and (differs or fault in acquitted):
                del carried[fault]
            else:
                lone |= wants
        return carried, lone

    def _found_wrong(self, facts: list[Fact], told: Told) -> set[str]:
        """The parts of which something that a fault makes was surely told."""
        told_of = [(self.knowledge.questions[s.question], s) for s in self._evaluate(facts, told).answers.values()]
        return {
            own_station(s.fact.about, self.knowledge.words)
            for question, s in told_of
            if s.sure and s.state != question.normal and not (question.given or question.complaint)
        }

    def _evaluate(self, facts: list[Fact], told: Told, before: Iterable[str] = ()) -> _Evaluated:
        """Answers and conclusions of one epoch, with what conflicts made doubtful until nothing more does."""
        gone = outvoted(facts, self.knowledge)
        facts = [f for f in facts if f.id not in gone]
        doubts = repeated_readings(facts, self.knowledge)
        doubtful: frozenset[str] = frozenset().union(*(d for _, d in doubts))
        answers = read_answers(facts, told, self.knowledge, doubtful)
        against = contradictions(answers, facts, self.knowledge)
        if against:
            doubtful = doubtful.union(*(d for _, d in against))
            answers = read_answers(facts, told, self.knowledge, doubtful)
        conclusions = self._chain(answers)
        disputed = self._disputed(answers, conclusions, facts, before)
        if disputed:
            doubtful = doubtful.union(*(set(c.facts) for c in disputed))
            answers = read_answers(facts, told, self.knowledge, doubtful)
            conclusions = self._chain(answers)
        conflicts = (*(c for c, _ in doubts), *(c for c, _ in against), *disputed)
        return _Evaluated(answers, conclusions, conflicts, doubtful)

    def _chain(self, answers: Mapping[str, Said]) -> tuple[Conclusion, ...]:
        """What follows from the certain answers; a proof that something told speaks against is left out."""
        found = self.engine.run({q: s.state for q, s in answers.items() if s.sure})
        return tuple(c for c in found if not any_stands(self.knowledge.rules[c.rule].unless, answers))

    def _disputed(
        self,
        answers: Mapping[str, Said],
        conclusions: tuple[Conclusion, ...],
        facts: list[Fact],
        before: Iterable[str],
    ) -> list[Conflict]:
        """Faults that one certain answer proves and another acquits; one mended before may have come back since."""
        out = []
        acquitted = self._acquitted(answers)
        for conclusion in conclusions:
            fault = conclusion.proves
            if not fault or fault not in acquitted:
                continue
            witness = answers[acquitted[fault]]
            told = [q for q, _ in conclusion.used if q in answers and not self.knowledge.questions[q].given]
            used = [answers[q].fact for q in told]
            if fault in before and struck_since(fault, witness.fact, used, facts, self.knowledge):
                continue
            question = self.knowledge.questions[witness.question]
            states = question.states[witness.state].words
            text = str(self.knowledge.replies["proved_and_acquitted"]).format(
                fault=self.knowledge.faults[fault].name, because=states
            )
            ids = (witness.fact.id, *(f.id for f in used))
            out.append(Conflict(ids, text, question.tests[0] if question.tests else None))
        return out

    def _acquitted(self, answers: Mapping[str, Said]) -> dict[str, str]:
        """Fault → the question whose certain answer it would hardly leave so good."""
        wait = self.knowledge.scales["acquittals_wait"]
        if any(q in answers and answers[q].state in states for q, states in wait.items()):
            return {}  # also where it is told with doubt
        out: dict[str, str] = {}
        for said in witnesses(answers, self.knowledge):
            for fault in self.table.excluded(self.knowledge.questions[said.question], said.state):
                out.setdefault(fault, said.question)
        return out

    def _ruled_out(self, answers: Mapping[str, Said], proved: Mapping[str, str]) -> dict[str, str]:
        out = {}
        acquitted = self._acquitted(answers)
        for fault in self.table.faults:
            if fault in proved:
                continue
            data = self.knowledge.faults[fault].only_if
            against = next(
                (q for q, s in data.items() if q in answers and answers[q].sure and answers[q].state not in s),
                None,
            )
            question = against or acquitted.get(fault)
            if question:
                out[fault] = f"{question}.{answers[question].state}"
        return out

    def _complaint_is_back(self, answers: Mapping[str, Said]) -> bool:
        return any(
            s.state != self.knowledge.questions[q].normal
            for q, s in answers.items()
            if self.knowledge.questions[q].complaint
        )

    def _tried(self, answers: Mapping[str, Said]) -> bool:
        """Whether anything that may be complained of was tried in this epoch."""
        return any(self.knowledge.questions[q].complaint for q in answers)

    def _counting(self, evaluated: list[_Evaluated], carried: Mapping[str, str], untried: bool) -> dict[str, Said]:
        """Answers when the complaint has come back: those of now, and the earlier ones on other parts.

        After work on a part that nothing was proved of, all that was told before counts until it is tried again.
        """
        parts = {self.knowledge.faults[f].part for f in carried}
        mended = [f for f in self.knowledge.faults.values() if f.part in parts]
        out: dict[str, Said] = {}
        for one in evaluated[:-1]:
            for q, said in one.answers.items():
                question = self.knowledge.questions[q]
                if any_stands(question.acquits_unless, one.answers):
                    continue
                chances = [self.table.chance(question, said.state, [f.id]) for f in mended]
                explained = (
                    said.state != question.normal and max(chances, default=0) > self.knowledge.scales["proof_limit"]
                )
                if not explained and (untried or not question.complaint):
                    out[q] = said
        return {**out, **evaluated[-1].answers}

    def _verified(self, now: Mapping[str, Said], before: list[_Evaluated]) -> bool:
        """Whether everything that was complained of has been tried again and is normal, both ways, under load."""
        wanted = {q for e in before for q, s in e.answers.items() if self._complained(q, s)}
        wanted |= set(self.knowledge.scales["verify_always"])
        for q in wanted:
            question = self.knowledge.questions[q]
            alike = [q, *question.same_as]
            if not any(a in now and now[a].sure and now[a].state == self.knowledge.questions[a].normal for a in alike):
                return False
            if any(a in now and now[a].sure and now[a].state != self.knowledge.questions[a].normal for a in alike):
                return False
        if any(
            s.state != self.knowledge.questions[q].normal
            for q, s in now.items()
            if self.knowledge.questions[q].complaint
        ):
            return False
        return any(
            q in now and now[q].sure and now[q].state in states
            for q, states in self.knowledge.scales["verify_load"].items()
        )

    def _complained(self, question: str, said: Said) -> bool:
        q = self.knowledge.questions[question]
        return q.complaint and said.state != q.normal

    def _weights(
        self,
        answers: Mapping[str, Said],
        base: tuple[str, ...],
        after_repair: bool,
        ruled_out: Mapping[str, str],
        restless: tuple[str, ...],
    ) -> tuple[tuple[Hypothesis, float], ...]:
        """What is possible beside the faults already proved, weighed by every answer."""
        told = [
            (self.knowledge.questions[q], s.state, s.blur)
            for q, s in answers.items()
            if not self.knowledge.questions[q].given and not said_already(self.knowledge.questions[q], answers, s.state)
        ]
        if without_power(restless, self.knowledge):
            told = [one for one in told if counts_without_power(one[0], self.knowledge)]
        if base or after_repair:
            extra: list[Hypothesis] = [(), *((f,) for f in self.table.faults if f not in base), (OTHER,)]
            sums = [self._beside(told, base, h, restless) for h in extra]
        else:
            extra = list(self.table.hypotheses)
            sums = self.table.weights(told)
        kept = [(h, s) for h, s in zip(extra, sums, strict=True) if not any(f in ruled_out for f in h)]
        return tuple(zip((h for h, _ in kept), shared([s for _, s in kept]), strict=True))

    def _beside(
        self,
        told: Sequence[tuple[Question, str, str]],
        base: tuple[str, ...],
        more: Hypothesis,
        restless: tuple[str, ...],
    ) -> int:
        weight = 0
        for fault in more:
            factor = self.knowledge.scales["second"]
            if fault != OTHER and base:
                factor = max(self.table.second_factor(fault, b) for b in base)
            if any(does_it(fault, f, self.knowledge) for f in restless):
                factor *= self.knowledge.scales["brings_back"]
            weight += round(math.log(self.table.prior_of(fault) * factor) * UNIT)
        return weight + self.table.likelihood(told, (*base, *more))

    def _unexplained(self, weights: tuple[tuple[Hypothesis, float], ...], proved: Mapping[str, str]) -> bool:
        if not proved:
            return False
        return bool(dict(weights).get((), 0.0) < self.knowledge.scales["explained"])

    def _suspects(
        self,
        weights: tuple[tuple[Hypothesis, float], ...],
        proved: Mapping[str, str],
        ruled_out: Mapping[str, str],
        answers: Mapping[str, Said],
    ) -> tuple[Suspect, ...]:
        shares = shares_of(weights)
        places = _six_places({k: shares.get(k, 0.0) for k in self._open_names(proved, ruled_out, weights)})
        reasons = {f: self._reasons(f, answers) for f in places if f in self.knowledge.faults}
        order = {f: i for i, f in enumerate((*self.table.faults, OTHER, NOTHING_MORE))}
        first = [Suspect(f, 1.0, "proved", (rule,)) for f, rule in proved.items()]
        middle = [
            Suspect(f, p, "open", reasons.get(f, ()))
            for f, p in sorted(places.items(), key=lambda i: (-i[1], order[i[0]]))
        ]
        last = [Suspect(f, 0.0, "ruled_out", (why,)) for f, why in ruled_out.items()]
        return (*sorted(first, key=lambda s: order[s.fault]), *middle, *last)

    def _open_names(
        self,
        proved: Mapping[str, str],
        ruled_out: Mapping[str, str],
        weights: tuple[tuple[Hypothesis, float], ...],
    ) -> list[str]:
        names = [f for f in self.table.faults if f not in proved and f not in ruled_out]
        return [*names, OTHER, *([NOTHING_MORE] if weights and weights[0][0] == () else [])]

    def _reasons(self, fault: str, answers: Mapping[str, Said]) -> tuple[str, ...]:
        """The answers that speak for a fault, strongest first, at most three."""
        gains = []
        for q, said in answers.items():
            question = self.knowledge.questions[q]
            if question.given or said.state == question.normal:
                continue
            without = self.table.chance(question, said.state, (), said.blur)
            gain = self.table.chance(question, said.state, (fault,), said.blur) / without
            if gain > 2:
                gains.append((-round(gain, 6), q))
        return tuple(f"{q}.{answers[q].state}" for _, q in sorted(gains)[:3])


@dataclass(frozen=True)
class _Evaluated:
    answers: Mapping[str, Said]
    conclusions: tuple[Conclusion, ...]
    conflicts: tuple[Conflict, ...]
    doubtful: frozenset[str]

    @cached_property
    def proved(self) -> dict[str, str]:
        """What this epoch proves by itself: fault → rule."""
        return _proved(self.conclusions)


def _proved(conclusions: tuple[Conclusion, ...]) -> dict[str, str]:
    out: dict[str, str] = {}
    for c in conclusions:
        if c.proves:
            out.setdefault(c.proves, c.rule)
    return out


def _carried(evaluated: list[_Evaluated]) -> dict[str, str]:
    """Faults proved before the last repair, frozen with their rules."""
    out: dict[str, str] = {}
    for one in evaluated[:-1]:
        for fault, rule in one.proved.items():
            out.setdefault(fault, rule)
    return out


def _something_more(weights: tuple[tuple[Hypothesis, float], ...]) -> tuple[tuple[Hypothesis, float], ...]:
    """A complaint that came back has a cause: what is left shares the whole."""
    rest = [(h, w) for h, w in weights if h]
    total = math.fsum(w for _, w in rest)
    return (((), 0.0), *((h, w / total) for h, w in rest))


def said_already(question: Question, answers: Mapping[str, Said], state: str) -> bool:
    """Whether an answer only repeats what another normal answer has said; it counts once."""
    if state != question.normal:
        return False
    return any(q in answers and answers[q].sure and answers[q].state == state for q in question.again_of)


def shares_of(weights: Iterable[tuple[Hypothesis, float]]) -> dict[str, float]:
    """Each cause's share; a pair is shared between its two."""
    parts: dict[str, list[float]] = {}
    for hypothesis, weight in weights:
        for fault in hypothesis or (NOTHING_MORE,):
            parts.setdefault(fault, []).append(weight / max(1, len(hypothesis)))
    return {f: math.fsum(w) for f, w in parts.items()}


def _six_places(shares: Mapping[str, float]) -> dict[str, float]:
    """Rounded to six places so that the sum is exactly one: the largest remainders are rounded up."""
    total = math.fsum(shares.values()) or 1.0
    scaled = {k: round(v / total * 10**6, 3) for k, v in shares.items()}
    floors = {k: math.floor(v) for k, v in scaled.items()}
    missing = 10**6 - sum(floors.values())
    order = sorted(scaled, key=lambda k: (-round(scaled[k] - floors[k], 3), list(shares).index(k)))
    for k in order[: max(0, missing)]:
        floors[k] += 1
    return {k: v / 10**6 for k, v in floors.items()}
