"""What a proof rests on: how many readings speak for it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from assistant.diagnosis.answers import MEASURED, Said, any_stands
from assistant.diagnosis.conflicts import confirmed, reading_key
from assistant.diagnosis.relapse import struck_since
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

    @cached_property
    def against(self) -> Mapping[str, list[Said]]:
        """Fault → the certain answers that each alone rule it out; worked out once for all that ask."""
        out: dict[str, list[Said]] = {}
        for said in witnesses(self.answers, self.knowledge):
            for fault in self.table.excluded(self.knowledge.questions[said.question], said.state):
                out.setdefault(fault, []).append(said)
        return out


def unconfirmed(faults: Iterable[str], evidence: Evidence) -> dict[str, tuple[Said, ...]]:
    """Proved faults for which a part would be changed on the word of one reading, taken once, with these readings.

    A part is called for on two answers of different turns, or on a reading that was repeated. A reading, good or bad,
    on which it hangs alone that another part is not the cause counts as such a word as well, and so do readings under
    command that come and go. A mere setting needs no more than it took to find it.

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
    proofs = [c for c in evidence.conclusions if c.proves == fault]
    told = list({s.question: s for c in proofs for s in _leaning(c, evidence, normal=False)}.values())
    if len({s.fact.turn for s in told}) == 1 and not any(repeated(s.fact, evidence) for s in told):
        return tuple(told)
    wavering = _wavering(evidence) if any(_under_command(s, evidence) for s in told) else ()
    return min((_hanging(c, fault, told, evidence) for c in proofs), key=len, default=()) or wavering


def _under_command(said: Said, evidence: Evidence) -> bool:
    """Whether a reading was taken while a run was asked for."""
    words = evidence.knowledge.words
    return said.fact.what in MEASURED and not words.asked_for.isdisjoint(said.fact.while_)


def _wavering(evidence: Evidence) -> tuple[Said, ...]:
    """Readings under command that were there once and gone another time, and not read the same twice since.

    Gone is less than a quarter of the greatest that was read there.

    Nothing lasts that comes and goes: until it is steady, a proof may be made of moments that do not belong together.
    """
    out = []
    for said in evidence.answers.values():
        if not _under_command(said, evidence):
            continue
        key = reading_key(said.fact, evidence.knowledge)
        told = [f for f in _since_repair(evidence.facts) if f.certain and reading_key(f, evidence.knowledge) == key]
        least = evidence.knowledge.scales["meter"]["least"].get(said.fact.unit or "", 0.0)
        enough = max([least, *(0.25 * abs(float(f.value)) for f in told)])
        here = [abs(float(f.value)) > enough for f in told]
        changes = [i for i in range(1, len(told)) if here[i] != here[i - 1]]
        if changes and len({f.turn for f in told[changes[-1] :]}) < 2:
            out.append(said)
    return tuple(out)


def _since_repair(facts: Sequence[Fact]) -> Sequence[Fact]:
    last = max((i for i, f in enumerate(facts) if f.what in ("replaced", "repaired") and f.value is True), default=-1)
    return facts[last + 1 :]


def _hanging(proof: Conclusion, fault: str, found: Sequence[Said], evidence: Evidence) -> tuple[Said, ...]:
    """The answers of one proof on which it hangs alone that it is not another part."""
    good = [s for s in _leaning(proof, evidence, normal=True) if _hangs_on(s, fault, found, evidence)]
    bad = [s for s in _leaning(proof, evidence, normal=False) if _hangs_on_finding(s, fault, found, evidence)]
    return (*good, *bad)


def witnesses(answers: Mapping[str, Said], knowledge: Knowledge) -> list[Said]:
    """The answers that may rule a fault out: certain, and of a question that is fit for it."""
    told = [(s, knowledge.questions[s.question]) for s in answers.values() if s.sure]
    return [s for s, q in told if q.acquits and not q.given and not any_stands(q.acquits_unless, answers)]


def acquitters(fault: str, evidence: Evidence) -> list[Said]:
    """The certain answers that each alone rule a fault out."""
    return evidence.against.get(fault, [])


def repeated(fact: Fact, evidence: Evidence) -> bool:
    """Whether a reading was taken again in another turn, with the same result."""
    return confirmed(fact, evidence.facts, evidence.knowledge)


def _hangs_on(said: Said, fault: str, found: Sequence[Said], evidence: Evidence) -> bool:
    """Whether, were this one good reading wrong or out of date, another part would explain the findings as well."""
    for other in _other_parts(fault, evidence):
        against = acquitters(other, evidence)
        alone = [s.fact.id for s in against] == [said.fact.id] and not repeated(said.fact, evidence)
        if not alone and not (said in against and _out_of_date(other, against, found, evidence)):
            continue
        if found and _brings_all(other, found, evidence):
            return True
    return False


def _hangs_on_finding(said: Said, fault: str, found: Sequence[Said], evidence: Evidence) -> bool:
    """Whether, were this one finding wrong, another part that nothing else rules out would explain the rest."""
    rest = [s for s in found if s.fact.turn != said.fact.turn]
    if not rest or repeated(said.fact, evidence):
        return False
    return any(
        _brings_all(other, rest, evidence) and not [s for s in acquitters(other, evidence) if s is not said]
        for other in _other_parts(fault, evidence)
    )


def _other_parts(fault: str, evidence: Evidence) -> list[str]:
    """The faults of other parts, mere settings left out."""
    faults = evidence.knowledge.faults
    return [f for f in evidence.table.faults if faults[f].part != faults[fault].part and not faults[f].put_right_by]


def _brings_all(fault: str, found: Sequence[Said], evidence: Evidence) -> bool:
    """Whether a fault alone would bring each of these findings."""
    return all(evidence.table.brings(evidence.knowledge.questions[s.question], s.state, fault) for s in found)


def _out_of_date(fault: str, against: Sequence[Said], found: Sequence[Said], evidence: Evidence) -> bool:
    """Whether a fault may have come in a run after everything that rules it out and before what was found."""
    told = [s.fact for s in found]
    return all(struck_since(fault, s.fact, told, evidence.facts, evidence.knowledge) for s in against)


def _leaning(proof: Conclusion, evidence: Evidence, normal: bool) -> list[Said]:
    """The answers that a proof rests on: those as on a sound boat, or the others."""
    out: dict[str, Said] = {}
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
