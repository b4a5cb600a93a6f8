"""Questions back about repairs of which it is not known whether they were done just now."""

from __future__ import annotations

from collections.abc import Collection

from assistant.diagnosis.diagnose import Diagnosis
from assistant.knowledge import Knowledge
from assistant.session.names import Names


def when_questions(
    diagnosis: Diagnosis, asked: Collection[str], knowledge: Knowledge, names: Names
) -> list[dict[str, str]]:
    """One question for each such repair that was not asked about yet.

    Args:
        diagnosis: The case.
        asked: Ids of the repairs that were asked about.
        knowledge: The rule base.
        names: How things are called.
    """
    text, done = knowledge.replies["when_done"], knowledge.replies["asks_done"]
    return [
        {"words": f.words or names.fact(f), "question": text.format(part=names.part(f.about), work=done[f.what])}
        for f in diagnosis.ask_when
        if f.id not in asked
    ]
