"""What a proof rests on: how many readings speak for it."""

from __future__ import annotations

from collections.abc import Iterable

from assistant.diagnosis.conflicts import agree, reading_key
from assistant.diagnosis.diagnose import Diagnosis
from assistant.engine import Conclusion
from assistant.facts.model import Fact
from assistant.knowledge import Knowledge


def rests_on_one_reading(fault: str, diagnosis: Diagnosis, facts: Iterable[Fact], knowledge: Knowledge) -> bool:
    """Whether every answer out of the ordinary that proves this fault came in one turn and was read once.

    Args:
        fault: A fault that is proved.
        diagnosis: The case.
        facts: Its facts.
        knowledge: The rule base.
    """
    deciding = _deciding(fault, diagnosis, knowledge)
    if not deciding or len({f.turn for f in deciding}) > 1:
        return False
    return not any(_repeated(f, facts, knowledge) for f in deciding)


def _deciding(fault: str, diagnosis: Diagnosis, knowledge: Knowledge) -> list[Fact]:
    """The facts behind the answers that are not as on a sound boat."""
    proof = next((c for c in diagnosis.conclusions if c.proves == fault), None)
    if proof is None:
        return []
    out = []
    for question, state in _spelt_out(proof, diagnosis.conclusions):
        said = diagnosis.answers.get(question)
        if said and not knowledge.questions[question].given and state != knowledge.questions[question].normal:
            out.append(said.fact)
    return out


def _spelt_out(conclusion: Conclusion, everything: Iterable[Conclusion]) -> list[tuple[str, str]]:
    listed = list(everything)
    out = [pair for pair in conclusion.used if pair[0] != "finding"]
    for name in (value for key, value in conclusion.used if key == "finding"):
        inner = next((c for c in listed if c.finding == name), None)
        out += _spelt_out(inner, listed) if inner else []
    return out


def _repeated(fact: Fact, facts: Iterable[Fact], knowledge: Knowledge) -> bool:
    key = reading_key(fact, knowledge)
    return any(f.turn != fact.turn and reading_key(f, knowledge) == key and agree(f, fact, knowledge) for f in facts)
