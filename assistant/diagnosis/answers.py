"""The case as answers: which question stands answered with which state, how surely, by which fact."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from assistant.diagnosis.compute import nominal_voltage, reckon
from assistant.diagnosis.described import Assumed, Boat
from assistant.diagnosis.seen import HISTORY, Certain, Seen, Told, own_station, principal
from assistant.facts.model import Fact
from assistant.facts.vocabulary import Vocabulary
from assistant.knowledge import Knowledge
from assistant.knowledge.model import Question, StateRule

Blur = Literal["sure", "hedged", "setup_not_said", "conflict", "setup_wrong"]
_BLURS: tuple[Blur, ...] = ("sure", "hedged", "setup_not_said", "conflict", "setup_wrong")

MEASURED = frozenset({"voltage", "current", "drop", "temperature", "insulation", "resistance"})
"""Attributes that a repair makes old; the others describe the boat."""


@dataclass(frozen=True)
class Said:
    """One question answered."""

    question: str
    state: str
    blur: Blur
    fact: Fact
    assumed: tuple[Assumed, ...] = ()
    """What was taken for granted on the way from the reading to the state."""

    @property
    def sure(self) -> bool:
        """Certain, unconflicted, with its set-up reported: fit to prove and to acquit."""
        return self.blur == "sure"


def read_answers(
    facts: Iterable[Fact], told: Told, knowledge: Knowledge, doubtful: frozenset[str] = frozenset()
) -> dict[str, Said]:
    """Answer every question that the facts answer, in the order of the rule base.

    Args:
        facts: The facts that count as evidence.
        told: The whole case: descriptions of boat and people, and set-up, hold whenever they were told.
        knowledge: The rule base.
        doubtful: Ids of facts that conflict with another reading.
    """
    ids = {f.id for f in facts}
    defaults = knowledge.scales["defaults"]
    seen = current_or_described(told.seen, ids, knowledge)
    case = _Case(told.certain, Boat(seen, defaults, *nominal_voltage(told.seen)), knowledge.words, doubtful)
    out: dict[str, Said] = {}
    for question in knowledge.questions.values():
        of_it = told.by_reading.get((question.about, question.what), [])
        if not question.given:
            of_it = [s for s in of_it if s.fact.id in ids]
        said = _answer(question, of_it, case) if of_it else None
        if said is not None:
            out[question.id] = said
    return out


@dataclass(frozen=True)
class _Case:
    """What an answer is read beside."""

    certain: Certain
    boat: Boat
    words: Vocabulary
    doubtful: frozenset[str]


def any_stands(conditions: Mapping[str, Collection[str]], answers: Mapping[str, Said]) -> bool:
    """Whether any of these states is told for certain.

    Args:
        conditions: Question → states.
        answers: What stands answered.
    """
    return any(q in answers and answers[q].sure and answers[q].state in states for q, states in conditions.items())


def anything_abnormal(answers: Mapping[str, Said], knowledge: Knowledge) -> bool:
    """Whether any answer, descriptions left out, is other than a sound boat would give."""
    questions = knowledge.questions
    return any(not questions[q].given and s.state != questions[q].normal for q, s in answers.items())


def current_or_described(seen: Iterable[Seen], ids: set[str], knowledge: Knowledge) -> tuple[Seen, ...]:
    """Readings of this epoch, and descriptions (lengths, ratings, sizes) whenever they were told."""
    return tuple(s for s in seen if s.fact.id in ids or (s.what not in MEASURED and not s.what.startswith("runs")))


def _answer(question: Question, told: list[Seen], case: _Case) -> Said | None:
    if question.take == "first" and told and told[0].fact.as_setup:
        return None  # it was put into a state before anybody looked how it was found
    fitting = [s for s in told if fits(question, s, case.words) and not s.fact.as_setup]
    fitting = [s for s in fitting if _beside(question, s, case)]
    states = [(s, st) for s in fitting if (st := state_of(question, s, case.boat)) is not None]
    if question.take == "later":
        states = states[1:]
    if not states:
        return None
    chosen, state = states[0] if question.take == "first" else _latest(question, states, case.words)
    marks = {
        "sure" if chosen.fact.certain else "hedged",
        *(_setup_mark(n, chosen.fact, case) for n in question.needs),
    }
    if chosen.fact.id in case.doubtful:
        marks.add("conflict")
    blur = max((b for b in _BLURS if b in marks), key=_BLURS.index)
    return Said(question.id, state, blur, chosen.fact, _assumed(question, chosen, case.boat))


def _latest(question: Question, states: list[tuple[Seen, str]], words: Vocabulary) -> tuple[Seen, str]:
    """The newest reading; where several parts of a kind were read (every station), the worst of their newest."""
    newest = {own_station(s.fact.about, words): (s, state) for s, state in states}
    order = list(question.states)
    return max(newest.values(), key=lambda one: (order.index(one[1]), one[0].order))


def fits(question: Question, seen: Seen, words: Vocabulary) -> bool:
    """Whether an observation answers a question: same principal scene, its circumstances, no excluded one."""
    wanted = frozenset(question.scene)
    if (HISTORY in seen.scene) != (HISTORY in wanted) or seen.scene & set(question.not_while):
        return False
    if question.only_asked and seen.fact.asked not in question.only_asked:
        return False
    if seen.fact.asked is not None and seen.fact.asked in question.not_asked:
        return False
    plain = wanted - set(words.principal_scenes)
    return principal(wanted, words) == principal(seen.scene, words) and plain <= seen.scene


def _beside(question: Question, seen: Seen, case: _Case) -> bool:
    if question.with_current and (question.with_current == "yes") != case.boat.loaded(seen.fact.turn):
        return False
    marks = [_setup_mark(n, seen.fact, case) == "sure" for n in question.when_setup]
    return all(marks) and not any(_setup_mark(n, seen.fact, case) == "sure" for n in question.unless_setup)


def state_of(question: Question, seen: Seen, boat: Boat) -> str | None:
    """The named state that a value stands for, or None when it stands for none."""
    value: Any = seen.value
    if question.compute:
        value = reckon(question.compute, seen, boat).value
    elif question.unit == "nominal":
        value = abs(float(value)) / boat.nominal
    state = _named(question.states, value) if value is not None else None
    if seen.fact.bound and state is not None and not isinstance(value, bool):
        return state if state == _at_the_far_end(question, seen, boat, value) else None
    return state


def _at_the_far_end(question: Question, seen: Seen, boat: Boat, value: Any) -> str | None:
    """The state at the other end of what "at least" or "at most" leaves open."""
    if isinstance(value, int | float):
        return _named(question.states, 1e12 if seen.fact.bound == "at_least" else -1e12)
    far = 2 * float(seen.value) if seen.fact.bound == "at_least" else 0.0
    named = reckon(question.compute, replace(seen, value=far), boat).value
    return None if named is None else _named(question.states, named)


def _assumed(question: Question, seen: Seen, boat: Boat) -> tuple[Assumed, ...]:
    if question.compute:
        return reckon(question.compute, seen, boat).assumed
    return boat.nominal_assumed if question.unit == "nominal" else ()


def _named(states: Mapping[str, StateRule], value: Any) -> str | None:
    for name, rule in states.items():
        if rule.values is not None:
            if any(v is value if isinstance(v, bool) else v == value for v in rule.values):
                return name
        elif isinstance(value, str | bool):
            continue
        elif (rule.at_least is None or value >= rule.at_least) and (rule.below is None or value < rule.below):
            return name
    return None


def _setup_mark(need: tuple[str, str, Any], reading: Fact, case: _Case) -> Blur:
    """How the set-up stood when this reading was taken: its own scene, its own line, else the last told before."""
    about, what, value = need
    if any(case.words.reports.get(c) == need for c in reading.while_):
        return "sure"
    told = case.certain.get((about, what), ())
    own = [f for f in told if reading.turn in (f.turn, f.regards)]
    if any(f.value == value for f in own):
        return "sure"
    if any(f.index < reading.index and f.turn == reading.turn for f in own):
        return "setup_wrong"
    before = [f for f in told if f.turn < reading.turn and f.regards is None]
    if not before:
        return "setup_not_said"
    return "sure" if before[-1].value == value else "setup_wrong"
