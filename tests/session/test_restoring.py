"""What a step made somebody open or lock: listed until told as put back, asked for once, no bar to closing."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from session.talking import AT, answer, described, f, session, tell

from assistant.session import Session
from assistant.session.case import Case
from assistant.session.restoring import due

BACK = "To be put back"
COVERS, LOCK = "covers and guards", "lock and tag removed from the isolator"


@pytest.fixture
def s() -> Session:
    return session()


def listed(s: Session) -> str:
    return "; ".join(s.restoring())


def brushes(s: Session) -> dict[str, Any]:
    return answer(s, "brushes_inspect", f("motor.damaged", False))


def test_a_step_that_opens_and_locks_is_held_until_it_is_told_as_done(s: Session) -> None:
    assert s.restoring() == []
    out = brushes(s)
    assert COVERS in listed(s) and LOCK in listed(s)
    assert BACK not in out["reply"], "it is asked for at the end, not in the middle of the work"
    s.take({"say": "covers back on", "at": AT})
    assert COVERS not in listed(s) and LOCK in listed(s)
    s.take({"say": "lock is off again", "at": AT})
    assert s.restoring() == []


def test_a_step_that_was_not_done_opens_nothing(s: Session) -> None:
    s.take({"answer": {"test": "brushes_inspect", "cannot": "no tools"}, "at": AT})
    assert s.restoring() == []


def test_power_for_a_later_step_takes_the_lock_off(s: Session) -> None:
    brushes(s)
    answer(s, "supply_voltage_under_load", f("supply.voltage", 11.9, "under_load"))
    assert LOCK not in listed(s) and COVERS in listed(s)


def test_it_keeps_nothing_open_and_is_asked_for_once_when_the_case_ends(s: Session) -> None:
    before = session()
    for one in (s, before):
        tell(one, *described(), f("panel.lights", True))
    plain = before.take({"ask": {"close": {"hand_over_to": "yard"}}, "at": AT})
    opened = brushes(s)
    assert opened["may_close"] is True
    out = s.take({"ask": {"close": {"hand_over_to": "yard"}}, "at": AT})
    assert out["answer"]["close"] == plain["answer"]["close"] == "done"
    assert out["reply"].count(BACK) == 1 and COVERS in out["reply"] and BACK not in plain["reply"]
    again = s.take({"ask": {"report": "markdown"}, "at": AT})
    assert BACK not in again["reply"]


def test_a_refused_close_does_not_nag(s: Session) -> None:
    tell(s, f("panel.lights", False))
    brushes(s)
    for _ in range(2):
        assert BACK not in s.take({"ask": {"close": True}, "at": AT})["reply"]


def test_it_is_due_when_the_repair_is_proved_and_not_a_second_time() -> None:
    case = Case(opened=frozenset({"covers"}))
    assert due(case, verified=False) == frozenset()
    assert due(case, verified=True) == {"covers"}
    assert due(replace(case, reminded=frozenset({"covers"})), verified=True) == frozenset()


def test_the_turn_keeps_its_shape(s: Session) -> None:
    keys = set(tell(s, f("panel.lights", True)))
    assert set(brushes(s)) == keys
