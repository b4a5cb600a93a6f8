"""Suspects that stand low although something was found that none of the likely ones explains."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from assistant.diagnosis.answers import Said
from assistant.diagnosis.diagnose import Diagnosis
from assistant.diagnosis.table import Table
from assistant.knowledge.model import Question


def overlooked(diagnosis: Diagnosis, table: Table, shares: Mapping[str, float], worth: float) -> tuple[str, ...]:
    """For each certain finding that no likely cause would bring, the likeliest of those that would.

    Args:
        diagnosis: The case.
        table: How likely each fault makes each answer.
        shares: Each cause's share.
        worth: The share from which a cause is looked after anyway.

    Returns:
        Faults whose share is below `worth`, each once, in the order of the findings.
    """
    likely = [*diagnosis.proved, *(f for f, share in shares.items() if share >= worth and f in table.faults)]
    open_ones = [s.fault for s in diagnosis.suspects if s.state == "open" and s.fault in table.faults]
    out: list[str] = []
    for said, question in _findings(diagnosis.answers, table):
        if any(table.brings(question, said.state, f) for f in likely):
            continue
        out += [f for f in open_ones if table.brings(question, said.state, f)][:1]
    return tuple(dict.fromkeys(f for f in out if shares.get(f, 0.0) < worth))


def _findings(answers: Mapping[str, Said], table: Table) -> Iterable[tuple[Said, Question]]:
    for said in answers.values():
        question = table.knowledge.questions[said.question]
        if said.sure and not question.given and said.state != question.normal:
            yield said, question
