"""Words that are orders to the screen, told apart from observations."""

from __future__ import annotations

import pytest

from assistant.terminal.case import Case
from assistant.terminal.commands import Note, Order, line_for, read
from assistant.terminal.port import Wording

from .fake_session import FakeNames, fact, output
from .stage import AFTER, OPENING


def case(*outputs: dict[str, object]) -> Case:
    made = Case(Wording(FakeNames()))
    for turn, given in enumerate(outputs, 1):
        made.take_in({"say": "x"}, output(turn, **given), "x")
    return made


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        ("undo", "undo"),
        ("Undo.", "undo"),
        ("HELP", "help"),
        ("?", "help"),
        ("what is known?", "known"),
        ("to do", "open"),
        ("quit", "quit"),
        ("why", "why"),
        ("Why?", "why"),
        ("why not", "why_not"),
        ("close", "close"),
        ("report", "report"),
        ("cannot", "cannot"),
        ("cannot: no meter", "cannot"),
        ("theme light", "theme"),
        ("hand over to yard: wire still fitted", "hand_over"),
    ],
)
def test_orders(typed: str, kind: str) -> None:
    assert read(typed).kind == kind


@pytest.mark.parametrize(
    "typed",
    [
        "cannot get it to run",
        "no known fault before",
        "the isolator is close to the battery",
        "it quit after a minute",
        "undo the bridge, done",
        "12.4",
        "help, it is running by itself!",
        "report says 12 V",
        "safety switch is off",
    ],
)
def test_observations_are_never_taken_for_orders(typed: str) -> None:
    assert read(typed, picks=4) == Order("say", typed)


def test_a_number_picks_where_it_cannot_be_a_reading() -> None:
    assert read("2", picks=4) == Order("pick", "2")
    assert read("5", picks=4).kind == "say"
    assert read("0", picks=4) == Order("pick", "0")
    assert read("2", picks=4, readings=True).kind == "say"
    assert read("#2", picks=4, readings=True) == Order("pick", "2")
    assert read("pick 2", picks=4, readings=True) == Order("pick", "2")


def test_why_asks_about_the_question_that_stands() -> None:
    assert line_for(read("why"), case(OPENING)) == {"ask": {"why_ask": "command_bridge"}}


def test_why_asks_about_the_leading_cause_when_nothing_is_asked() -> None:
    assert line_for(read("why"), case(AFTER | {"next": None})) == {"ask": {"why": "panel.dead"}}


@pytest.mark.parametrize(
    "typed", ["why contactor no output", "why 3", "why contactor.no_output", "why Contactor: No Output?"]
)
def test_a_cause_is_found_by_number_name_and_id(typed: str) -> None:
    assert line_for(read(typed), case(OPENING)) == {"ask": {"why": "contactor.no_output"}}


def test_why_not() -> None:
    assert line_for(read("why not main fuse blown"), case(OPENING)) == {"ask": {"why_not": "main_fuse.blown"}}
    assert isinstance(line_for(read("why not"), case(OPENING)), Note)
    assert line_for(read("why not the moon"), case(OPENING)) == {"say": "why not the moon"}
    assert isinstance(line_for(read("why not 99"), case(OPENING)), Note)
    assert isinstance(line_for(read("why 99"), case(OPENING)), Note)


def test_closing_and_handing_over() -> None:
    assert line_for(read("close"), case()) == {"ask": {"close": True}}
    line = line_for(read("hand over to yard: wire still fitted"), case())
    assert line == {"ask": {"close": {"hand_over_to": "yard", "note": "wire still fitted"}}}
    assert line_for(read("hand over to yard"), case()) == {"ask": {"close": {"hand_over_to": "yard"}}}


def test_cannot_names_the_test_and_the_reason() -> None:
    line = line_for(read("cannot: no meter aboard"), case(OPENING))
    assert line == {"answer": {"test": "command_bridge", "cannot": "no meter aboard"}}
    assert isinstance(line_for(read("cannot"), case(OPENING | {"next": None})), Note)


def test_undo_withdraws_what_the_last_telling_line_told() -> None:
    made = case(OPENING, AFTER, {"reply": "a question only"})
    assert line_for(read("undo"), made) == {"take_back": ["f5", "f6"]}


def test_undo_goes_further_back_each_time_and_redo_comes_forward_again() -> None:
    made = case(OPENING, AFTER)
    first = line_for(read("undo"), made)
    made.take_in(first, output(3), "undo", move="undo")
    second = line_for(read("undo"), made)
    assert second == {"take_back": ["f1", "f2", "f3", "f4"]}
    made.take_in(second, output(4), "undo", move="undo")
    assert isinstance(line_for(read("undo"), made), Note)
    assert made.known == {}

    again = line_for(read("redo"), made)
    assert {"about": "supply", "what": "voltage", "value": 12.4, "unit": "V", "while": ["at_rest"]} in again["facts"]
    assert {"about": "contactor", "what": "clicks", "value": False, "certain": False} in again["facts"]
    retold = [
        fact("f7", "panel", "lights", True),
        fact("f8", "supply", "voltage", 12.4, unit="V", scene=["at_rest"]),
    ]
    made.take_in(again, output(5, understood=retold), "redo", move="redo")
    assert line_for(read("undo"), made) == {"take_back": ["f7", "f8"]}


def test_a_new_fact_ends_what_could_be_told_again() -> None:
    made = case(OPENING)
    made.take_in(line_for(read("undo"), made), output(2), "undo", move="undo")
    made.take_in({"say": "y"}, output(3, understood=[fact("f9", "panel", "lights", False)]), "y")
    assert isinstance(line_for(read("redo"), made), Note)
