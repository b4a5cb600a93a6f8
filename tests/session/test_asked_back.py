"""In a conversation: what is asked back is answered by the next line, and stands until something else is told."""

from __future__ import annotations

from typing import Any

import pytest
from session.talking import AT, say, session

from assistant.session import Session


def told(out: dict[str, Any]) -> list[tuple[str, str, Any]]:
    return [(f["about"], f["what"], f["value"]) for f in out["understood"]]


@pytest.fixture
def s() -> Session:
    return session()


def test_a_side(s: Session) -> None:
    out = say(s, "it only runs one way")
    assert out["unclear"][0]["question"] == "Which side is that: port or starboard?" and not out["understood"]
    assert told(say(s, "the left one")) == [("thruster", "runs", "port_only")]


def test_a_part_of_two_states_is_asked_once(s: Session) -> None:
    out = say(s, "it is loose and wet")
    assert out["reply"].count("Which part is that about?") == 1
    assert '"loose", "wet"' in out["reply"]
    assert told(say(s, "the positive cable")) == [("positive_cable", "loose", True), ("positive_cable", "wet", True)]


@pytest.mark.parametrize("between", ["why?", "help", "hang on", "mum says hello"])
def test_what_was_asked_back_stands_while_nothing_is_told(s: Session, between: str) -> None:
    assert told(say(s, "it only runs one way", between, "port")) == [("thruster", "runs", "port_only")]


def test_it_is_gone_when_something_else_is_told(s: Session) -> None:
    assert told(say(s, "12.4", "the panel is dark", "the battery")) == []


def test_a_yes_to_it_is_no_answer_to_the_test_beside_it(s: Session) -> None:
    say(s, "nothing happens, panel lights, no click")
    out = say(s, "the isolator is on off")
    assert out["next"]["test"] == "motor_temperature"
    for verdict in ("yes", "no"):
        assert say(s, verdict)["understood"] == []
    assert told(say(s, "off")) == [("isolator", "position", "off")]


def test_who_names_the_test_answers_that(s: Session) -> None:
    say(s, "the isolator is on off")
    out = s.take({"say": "yes", "asked": "motor_temperature", "at": AT})
    assert told(out) == [("motor", "hot", True)]


def test_a_completed_reading_answers_the_test_that_was_asked_for(s: Session) -> None:
    out = s.take({"say": "between 9 and 12", "asked": "supply_voltage_at_rest", "at": AT})
    assert out["unclear"]
    (fact,) = say(s, "10")["understood"]
    assert (fact["about"], fact["value"], fact["while"], fact["words"]) == ("supply", 10, ["at_rest"], "10")


WHEN = "Was the main fuse replaced just now, or before the trouble began?"


@pytest.mark.parametrize("answer", ["just now", "five minutes ago", "that was just now", "I just did it", "today"])
def test_a_repair_done_now(s: Session, answer: str) -> None:
    assert WHEN in say(s, "runs to port only", "main fuse replaced")["reply"]
    out = say(s, answer)
    assert [(f["about"], f["what"], f["while"]) for f in out["understood"]] == [("main_fuse", "replaced", [])]
    assert WHEN not in out["reply"] and not out["unclear"]


@pytest.mark.parametrize("answer", ["before", "no, last year", "long before the trouble began", "two years ago"])
def test_a_repair_done_before_the_trouble(s: Session, answer: str) -> None:
    out = say(s, "runs to port only", "main fuse replaced", answer)
    assert [(f["what"], f["while"]) for f in out["understood"]] == [("replaced", ["before_the_trouble"])]
    assert [f["what"] for f in s.standing() if f["about"] == "main_fuse"] == ["replaced"]


@pytest.mark.parametrize("answer", ["yes", "no"])
def test_a_yes_does_not_tell_when(s: Session, answer: str) -> None:
    out = say(s, "nothing happens, panel lights, no click", "main fuse replaced", answer)
    assert out["understood"] == [] and WHEN in out["reply"]


def test_an_order_is_taken_when_it_is_said_to_be_done(s: Session) -> None:
    say(s, "nothing happens, panel lights, no click")
    out = say(s, "turn the isolator off")
    assert out["understood"] == [] and "Has that been done" in out["reply"]
    assert told(say(s, "yes")) == [("isolator", "position", "off")]


@pytest.mark.parametrize("between", ["no", "not yet", "hang on", "why?"])
def test_a_yes_that_comes_later_is_of_no_order(s: Session, between: str) -> None:
    say(s, "nothing happens, panel lights, no click", "turn the isolator off", between)
    assert ("isolator", "position", "off") not in told(say(s, "yes"))
