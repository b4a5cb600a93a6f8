"""What the outputs add up to over the turns."""

from __future__ import annotations

from assistant.terminal.case import Case
from assistant.terminal.port import Wording

from .fake_session import FakeNames, fact, hazard, output, suspect
from .stage import AFTER, OPENING


def fresh() -> Case:
    return Case(Wording(FakeNames()))


def test_facts_stand_by_part_with_who_and_when() -> None:
    case = fresh()
    case.take_in({"say": "x", "by": "skipper"}, output(1, **OPENING), "x", at="10:42")
    parts = dict(case.known_by_part())
    assert list(parts) == ["panel", "thruster", "supply", "contactor"]
    (row,) = parts["supply"]
    assert (row.text, row.who, row.turn, row.at) == ("supply voltage 12.4 V, at rest", "skipper", 1, "10:42")
    assert not parts["contactor"][0].certain


def test_a_correction_replaces_and_taking_it_back_brings_the_first_again() -> None:
    case, first = fresh(), fact("f1", "supply", "voltage", 12.4, unit="V")
    case.take_in({"say": "x"}, output(1, understood=[first]), "x")
    turn = case.take_in(
        {"say": "y"},
        output(2, understood=[fact("f2", "supply", "voltage", 11.4, unit="V")], replaced=[first]),
        "y",
    )
    assert list(case.known) == ["f2"]
    assert "instead of: supply voltage 12.4 V" in turn.remarks
    case.take_in({"take_back": ["f2"]}, output(3), "undo")
    assert list(case.known) == ["f1"]


def test_the_session_has_the_last_word_on_what_stands() -> None:
    case = fresh()
    case.take_in({"say": "x"}, output(1, **OPENING), "x")
    case.take_in({"take_back": ["f1"]}, output(2), "undo", standing=[OPENING["understood"][2]])
    assert list(case.known) == ["f3"]


def test_the_trend_is_since_the_last_turn_that_told_something() -> None:
    case = fresh()
    case.take_in({"say": "x"}, output(1, suspects=[suspect("a.x", 0.3), suspect("b.x", 0.7)]), "x")
    assert [row.trend for row in case.suspects] == [0, 0]
    case.take_in({"say": "x"}, output(2, suspects=[suspect("a.x", 0.8), suspect("b.x", 0.2)]), "x")
    assert [row.trend for row in case.suspects] == [50, -50]
    case.take_in({"ask": {"why": "a.x"}}, output(3, suspects=[suspect("a.x", 0.8), suspect("b.x", 0.2)]), "why")
    assert [row.trend for row in case.suspects] == [50, -50]
    case.take_in({"say": "x"}, output(4, suspects=[suspect("a.x", 0.8), suspect("b.x", 0.2)]), "x")
    assert [row.trend for row in case.suspects] == [0, 0]


def test_open_points_come_as_texts_ids_or_hazards() -> None:
    live = hazard("bridge_in_place", "warning", "A test wire is fitted.", "take it off")
    case = fresh()
    points = [
        {"text": "Try it under load."},
        {"hazard": "sense_lead_off"},
        "bridge_in_place",
        "repair_unverified",
    ]
    case.take_in({"say": "x"}, output(1, hazards=[live], may_close=points), "x")
    assert case.open_points == (
        "Try it under load.",
        "sense lead off",
        "A test wire is fitted.",
        "repair unverified",
    )
    case.take_in({"say": "x"}, output(2), "x")
    assert case.open_points == ()


def test_refusals_and_contradictions_are_sentences() -> None:
    case = fresh()
    refused = [
        {
            "fact": {"about": "supply", "what": "voltage", "value": 1400, "unit": "V"},
            "why": "no boat has that",
        }
    ]
    conflicts = [{"facts": ["f1", "f2"], "text": "Two readings differ.", "settle": "supply_voltage_at_rest"}]
    turn = case.take_in({"say": "x"}, output(1, refused=refused, conflicts=conflicts), "x")
    assert turn.remarks == (
        "not taken: supply voltage 1400 V: no boat has that",
        "cannot both be right: Two readings differ. To settle it: supply voltage at rest.",
    )


def test_a_long_case_keeps_words_not_outputs() -> None:
    case = fresh()
    for turn in range(1, 301):
        case.take_in({"say": "x"}, output(turn, **AFTER), "x")
    assert len(case.turns) == 300
    assert not any(isinstance(value, dict) for value in vars(case.turns[0]).values())


def test_names_the_session_does_not_have_are_shown_in_plain_letters() -> None:
    class Nameless(FakeNames):
        def fault(self, fault_id: str) -> str:
            raise KeyError(fault_id)

    case = Case(Wording(Nameless()))
    case.take_in({"say": "x"}, output(1, suspects=[suspect("port_coil.open", 0.5)]), "x")
    assert case.suspects[0].name == "port coil: open"
