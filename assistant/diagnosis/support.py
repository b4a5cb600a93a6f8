"""What a proof rests on: how many readings speak for it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from assistant.diagnosis.answers import Said, any_stands
from assistant.diagnosis.conflicts import confirmed
from assistant.diagnosis.table import Table
from assistant.engine import Conclusion
from assistant.facts.model import Fact
from assistant.knowledge import Knowledge


@dataclass(frozen=True)
class Evidence:
    """What stands answered, what follows, and what it is held against."""

    answers: Mapping[str, Said]
    conclusions: Sequence[Conclusion]
    facts: Sequence[Fact]
    """All facts of the case, those that were read again too."""
    table: Table

    @property
    def knowledge(self) -> Knowledge:
        """The rule base."""
        return self.table.knowledge


def unconfirmed(faults: Iterable[str], evidence: Evidence) -> dict[str, tuple[Said, ...]]:
    """Proved faults for which a part would be changed on the word of one reading, taken once, with these readings.

    A part is called for on two answers of different turns, or on a reading that was repeated. A good reading on
    which it hangs alone that another part is not the cause counts as such a word as well. A mere setting needs no
    more than it took to find it.

    Args:
        faults: Faults that are proved.
        evidence: The case.
    """
    knowledge = evidence.knowledge
    parts = [f for f in faults if knowledge.repairs[knowledge.faults[f].repair].parts]
    wants = {f: _wanting(f, evidence) for f in parts if not knowledge.faults[f].put_right_by}
    return {f: told for f, told in wants.items() if told}


def _wanting(fault: str, evidence: Evidence) -> tuple[Said, ...]:
    """The answers of which one is to be confirmed before the part is changed; none when it needs no more."""
    told = _deciding(fault, evidence)
    turns = {s.fact.turn for s in told}
    if len(turns) == 1 and not any(repeated(s.fact, evidence) for s in told):
        return tuple(told)
    return tuple(s for s in _leaning(fault, evidence, normal=True) if _hangs_on(s, fault, evidence))


def witnesses(answers: Mapping[str, Said], knowledge: Knowledge) -> list[Said]:
    """The answers that may rule a fault out: certain, and of a question that is fit for it."""
    told = [(s, knowledge.questions[s.question]) for s in answers.values() if s.sure]
    return [s for s, q in told if q.acquits and not q.given and not any_stands(q.acquits_unless, answers)]


def acquitters(fault: str, evidence: Evidence) -> list[Said]:
    """The certain answers that each alone rule a fault out."""
    knowledge, table = evidence.knowledge, evidence.table
    told = witnesses(evidence.answers, knowledge)
    return [s for s in told if fault in table.excluded(knowledge.questions[s.question], s.state)]


def repeated(fact: Fact, evidence: Evidence) -> bool:
    """Whether a reading was taken again in another turn, with the same result."""
    return confirmed(fact, evidence.facts, evidence.knowledge)


def _hangs_on(said: Said, fault: str, evidence: Evidence) -> bool:
    """Whether, were this one good reading wrong, another part would explain the findings of the proof as well."""
    if repeated(said.fact, evidence):
        return False
    knowledge, table = evidence.knowledge, evidence.table
    found = _deciding(fault, evidence)
    for other in table.faults:
        if knowledge.faults[other].part == knowledge.faults[fault].part or knowledge.faults[other].put_right_by:
            continue
        against = acquitters(other, evidence)
        if [s.fact.id for s in against] != [said.fact.id]:
            continue
        if found and all(table.brings(knowledge.questions[s.question], s.state, other) for s in found):
            return True
    return False


def _deciding(fault: str, evidence: Evidence) -> list[Said]:
    """The answers, not as on a sound boat, that the proofs of a fault rest on."""
    return _leaning(fault, evidence, normal=False)


def _leaning(fault: str, evidence: Evidence, normal: bool) -> list[Said]:
    """The good answers, or the others, that the proofs of a fault rest on."""
    out: dict[str, Said] = {}
    for proof in (c for c in evidence.conclusions if c.proves == fault):
        for question, state in _spelt_out(proof, evidence.conclusions):
            said, asked = evidence.answers.get(question), evidence.knowledge.questions[question]
            if said and not asked.given and (state == asked.normal) == normal:
                out[question] = said
    return list(out.values())


def _spelt_out(conclusion: Conclusion, everything: Sequence[Conclusion]) -> list[tuple[str, str]]:
    out = [pair for pair in conclusion.used if pair[0] != "finding"]
    for name in (value for key, value in conclusion.used if key == "finding"):
        inner = next((c for c in everything if c.finding == name), None)
        out += _spelt_out(inner, everything) if inner else []
    return out
