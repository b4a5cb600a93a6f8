"""What keeps a case open, closing it, handing it over."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from assistant.diagnosis.answers import anything_abnormal
from assistant.diagnosis.diagnose import Diagnosis
from assistant.knowledge import Knowledge
from assistant.safety.hazards import Live, all_stand
from assistant.session.case import Case
from assistant.session.names import Names

if TYPE_CHECKING:
    from assistant.session.session import View


def open_points(diagnosis: Diagnosis, standing: Sequence[Live], knowledge: Knowledge, names: Names) -> tuple[str, ...]:
    """Everything that still stands open, in words that begin with an id."""
    texts = knowledge.replies
    out = [texts["open_hazard"].format(id=h.hazard.id, text=h.hazard.text) for h in standing if h.hazard.standing]
    out += [texts["open_repair"].format(fault=names.fault(f)) for f in diagnosis.verdict]
    if not diagnosis.verdict and not diagnosis.verified and _complained(diagnosis, knowledge):
        out.append(texts["open_search"])
    if diagnosis.unexplained and diagnosis.verdict:
        out.append(texts["open_unexplained"])
    out += [texts["open_conflict"].format(text=c.text) for c in diagnosis.conflicts]
    return tuple(out)


def _complained(diagnosis: Diagnosis, knowledge: Knowledge) -> bool:
    return any(anything_abnormal(answers, knowledge) for answers in (*diagnosis.earlier, diagnosis.now))


def close_case(wish: Any, case: Case, view: View, knowledge: Knowledge) -> tuple[dict[str, Any], Case]:
    """Close a case or hand it over, or say why not.

    Args:
        wish: True, or an object with `hand_over_to` and perhaps `note`.
        case: The case.
        view: The case worked out.
        knowledge: The rule base.

    Returns:
        The answer and the case, closed or as it was.
    """
    role = wish.get("hand_over_to") if isinstance(wish, Mapping) else None
    points = list(view.open)
    if role is None and points:
        return {"close": "refused", "open": points}, case
    in_the_way = [] if role is None or _safe(view, knowledge) else _barred(view, knowledge)
    if in_the_way:
        return {"close": "refused", "open": in_the_way}, case
    closed: dict[str, Any] = {"handed_over_to": role, "open": points}
    if role is not None and wish.get("note"):
        closed["note"] = wish["note"]
    return {"close": "done", "open": points}, replace(case, closed=closed)


def _safe(view: View, knowledge: Knowledge) -> bool:
    return all_stand(knowledge.limits["safe_state"], view.states)


def _barred(view: View, knowledge: Knowledge) -> list[str]:
    text = knowledge.replies["open_hazard"]
    return [
        text.format(id=h.hazard.id, text=h.hazard.text)
        for h in view.live
        if h.kind == "standing" and (h.hazard.level == "danger" or h.hazard.id in knowledge.limits["not_handed_over"])
    ]
