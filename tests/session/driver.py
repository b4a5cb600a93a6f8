"""A truthful helper: answers every step that a session asks for, from the oracle's table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from truth import oracle

from assistant.session import Session


@dataclass
class Course:
    """How one session went."""

    proved: list[str] = field(default_factory=list)
    ruled_out_truth: list[str] = field(default_factory=list)
    narrowed: list[str] = field(default_factory=list)
    steps: list[tuple[str, str]] = field(default_factory=list)
    minutes: float = 0.0
    last: dict[str, Any] = field(default_factory=dict)
    verified: bool = False
    stops: int = 0


def truthful(
    session: Session,
    faults: Sequence[str],
    *,
    limit: int = 40,
    own_tests: bool = True,
    repair: bool = True,
    **wishes: Any,
) -> Course:
    """Run one session from the report to its end.

    Args:
        session: A fresh session.
        faults: What is really wrong.
        limit: Most steps before it counts as stuck.
        own_tests: Whether the helper can do the rule base's own tests.
        repair: Whether proved faults are repaired and the repair tried.
        wishes: Wishes for the boat.
    """
    boat = oracle.boat_for(faults, **wishes)
    course = Course()
    left = list(faults)
    _take(session, {"facts": oracle.described(faults, boat) + oracle.reported(faults, boat)}, faults, course)
    for _ in range(limit):
        out = course.last
        if out["stop"]:
            course.stops += 1
            safe = oracle.make_safe(left, boat)
            _take(session, {"facts": safe}, left, course)
            if course.last["stop"] == out["stop"]:
                break
            continue
        if out["verdict"] and not repair:
            break
        if out["verdict"] and repair:
            mended = [f for f in out["verdict"]["faults"] if f in left]
            if mended:
                for fault in mended:
                    left.remove(fault)
                    _take(session, {"facts": oracle.repair(fault)}, left, course)
                _take(session, {"facts": oracle.after_repair(mended, boat, tuple(left))}, left, course)
                continue
        if not out["next"]:
            break
        _step(session, out["next"], left, boat, course, own_tests)
        if course.proved and out["verdict"] is None and course.last["verdict"] is None:
            break
    course.narrowed = course.last["narrowed_to"]["faults"] if course.last["narrowed_to"] else []
    course.verified = bool(course.proved) and course.last["verdict"] is None
    return course


def _step(session: Session, step: dict[str, Any], faults: Sequence[str], boat: Any, course: Course, own: bool) -> None:
    test = step["test"]
    course.minutes += step["minutes"]
    answer: Any
    if test in oracle.TESTS:
        answer = oracle.answer(faults, boat, test)
        if answer is not None and own:
            answer = [*answer, *_beside(session, test, faults, boat, answer)]
    else:
        answer = _own(session, test, faults, boat) if own else None
    course.steps.append((test, "cannot" if answer is None else "done"))
    if answer is None:
        _take(session, {"answer": {"test": test, "cannot": "cannot be done here"}}, faults, course)
    else:
        _take(session, {"answer": {"test": test, "facts": answer}}, faults, course)


def _own(session: Session, test: str, faults: Sequence[str], boat: Any) -> Any:
    """The rule base's own tests, answered fact by fact."""
    facts = []
    for question in session.knowledge.questions_of(test):
        if question.about.startswith(("any_", "other_")) or question.what.startswith("runs_"):
            continue
        value = oracle.value(faults, boat, question.about, question.what, tuple(question.scene))
        if value is not None:
            facts.append(
                {
                    "about": question.about,
                    "what": question.what,
                    "value": value,
                    "while": list(question.scene),
                }
            )
    return facts or None


def _beside(
    session: Session, test: str, faults: Sequence[str], boat: Any, answer: Sequence[dict[str, Any]]
) -> list[dict[str, Any]]:
    """Readings at rest that the test asks for besides what the vocabulary's own answer holds."""
    told = {(f["about"], f["what"], tuple(f.get("while", ()))) for f in answer}
    asked = [q for q in session.knowledge.questions_of(test) if q.scene == ("at_rest",)]
    out = []
    for q in asked:
        value = oracle.value(faults, boat, q.about, q.what, q.scene)
        if value is not None and (q.about, q.what, q.scene) not in told:
            out.append({"about": q.about, "what": q.what, "value": value, "while": list(q.scene)})
    return out


def _take(session: Session, line: dict[str, Any], faults: Sequence[str], course: Course) -> None:
    out = session.take({**line, "at": "2026-05-01T10:00:00Z"})
    course.last = out
    if out["verdict"]:
        course.proved += [f for f in out["verdict"]["faults"] if f not in course.proved]
    for suspect in out["suspects"]:
        if suspect["state"] == "ruled_out" and suspect["fault"] in faults:
            course.ruled_out_truth.append(suspect["fault"])
