"""The verdict as an object: what is proved, what puts it right, which parts, and what proves the repair."""

from __future__ import annotations

from typing import Any

from assistant.diagnosis.diagnose import Diagnosis
from assistant.knowledge import Knowledge
from assistant.planner import Outcome
from assistant.session.names import Names


def verdict_of(diagnosis: Diagnosis, outcome: Outcome, knowledge: Knowledge, names: Names) -> dict[str, Any] | None:
    """The `verdict` of a turn, or None while nothing is proved or when the repair is proved.

    A part is called for only once more than one reading says so: until then its repair begins with taking the
    reading again, and its parts are left out.
    """
    if not diagnosis.verdict:
        return None
    repairs: dict[str, list[str]] = {}
    for fault in diagnosis.verdict:
        repairs.setdefault(knowledge.faults[fault].repair, []).append(fault)
    texts: list[str] = []
    parts: list[str] = []
    verify: list[str] = []
    for name, faults in repairs.items():
        repair, waiting = knowledge.repairs[name], [f for f in faults if f in outcome.waiting]
        if waiting:
            text = str(knowledge.replies["confirm_first"])
            texts.append(text.format(fault=names.fault(waiting[0])) + " " + repair.text)
            if outcome.plan and outcome.plan.kind == "confirm":
                verify.append(outcome.plan.test)
        else:
            texts.append(repair.text)
            parts += repair.renewed
        verify += repair.verify
    verify.append(str(knowledge.limits["tried_again_by"]))
    return {
        "faults": list(diagnosis.verdict),
        "repair": texts,
        "parts": list(dict.fromkeys(parts)),
        "verify": list(dict.fromkeys(verify)),
    }
