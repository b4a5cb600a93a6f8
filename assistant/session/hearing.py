"""What the reader may lean on besides the line itself: what was asked, offered and told before."""

from __future__ import annotations

from assistant.facts.model import RawFact
from assistant.language import Heard
from assistant.session.case import Case
from assistant.session.line import Line
from assistant.session.taking import Taker


def hearing(case: Case, line: Line, taker: Taker, asked: str | None, suspects: tuple[str, ...]) -> Heard:
    """What stands behind a line.

    Args:
        case: The case before it.
        line: The line.
        taker: What is being taken from it.
        asked: The test that was put, or the hazard whose stop was.
        suspects: Fault ids, most likely first.
    """
    pending = case.pending
    offered = tuple(
        (str(o["text"]), tuple(RawFact.model_validate(dict(f)) for f in o["facts"]))
        for o in case.offered
        if pending and asked == pending.test
    )
    pick = pending.kind if pending and pending.kind in ("setup", "scene") and not line.asked else ""
    return Heard(
        asked=asked, answers=offered, pick=pick, faults=suspects, names=taker.names.heard,
        recent=tuple(case.last_told()),
        standing=tuple(taker.facts),
        figures=tuple(f for f in taker.facts if not isinstance(f.value, bool | str)),
        before=case.said[0], before_asked=case.said[1],
        back=() if line.asked else case.asked_back, answering=bool(line.asked or line.answer_test),
    )  # fmt: skip
