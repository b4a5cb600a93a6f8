"""Boat data: typed or filled in, told to the case, and remembered from one case of a boat to the next."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.doors import doors
from assistant.knowledge import load
from assistant.session import Session
from assistant.terminal.app import SpringlineApp
from assistant.terminal.boat_form import BoatForm
from assistant.terminal.boats import Boats, Field, boat_facts, fields
from assistant.terminal.settings import Settings, case_folder

from .conftest import Held, Stage
from .stage import OPENING, SAID

VOLTS = {"about": "boat", "what": "nominal_voltage", "value": 12, "unit": "V"}
FUEL = {"about": "boat", "what": "fuel", "value": "petrol"}


async def opened(app: SpringlineApp, held: Held, *keys: str) -> None:
    await held.pilot.pause()
    await held.press(*keys)
    await held.settle()
    await held.settle()


async def test_the_form_tells_the_case_and_the_next_case_of_the_boat_knows_it() -> None:
    app = SpringlineApp(doors=doors("technician"), settings=Settings())
    async with app.run_test(size=(80, 24)) as pilot:
        held = Held(pilot, None)  # type: ignore[arg-type]
        await opened(app, held, "enter")
        await held.say("boat")
        assert isinstance(app.screen, BoatForm)
        await held.press(*"Nordlys", "enter", *"12", "down", *"pet", "ctrl+d")
        await held.settle()
        assert "boat nominal voltage 12 V; boat fuel: petrol" in held.shown()
        await held.say("24 mm2 plus cable")  # typed boat data is remembered too
        await held.settle()
    journal = next(case_folder().glob("*.jsonl"))
    assert "Nordlys" not in journal.read_text()  # her name is nobody else's business
    again = SpringlineApp(doors=doors("technician"), settings=Settings())
    async with again.run_test(size=(80, 24)) as pilot:
        held = Held(pilot, None)  # type: ignore[arg-type]
        await held.pilot.pause()
        first = held.shown()
        assert "New case of Nordlys" in first
        assert re.search(r"  20\d\d-\d\d-\d\d \d\d:\d\d  Nordlys  24 mm2 plus cable", first)
        await opened(again, held, "down", "enter")
        known = [row.text for row in held.screen.case.known.values()]
        assert "boat nominal voltage 12 V" in known and any("cross-section 24" in text for text in known)


async def test_a_row_that_cannot_be_right_is_named_and_escape_changes_nothing(stage: Stage) -> None:
    async with stage(OPENING, {}) as held:
        await held.say(SAID)
        await held.press("ctrl+p", *"boat data", "enter")
        assert isinstance(held.app.screen, BoatForm)
        assert "DANGER" in held.shown().splitlines()[0]
        await held.press("down", *"13", "ctrl+d")
        assert "Nominal voltage, V: enter 12, 24, 36, 48" in held.shown()
        await held.press("escape")
        assert held.app.screen is held.screen and len(held.session.lines) == 1
        await held.say("boat data")
        await held.press("down", *"24", "ctrl+d")
        assert held.last_line == {"facts": [{**VOLTS, "value": 24}]}


async def test_an_emptied_row_takes_its_fact_back(stage: Stage) -> None:
    told = {**OPENING, "understood": [{"id": "f1", **VOLTS}]}
    async with stage(told, {}) as held:
        await held.say(SAID)
        await held.say("boat")
        await held.press("down", "end", "backspace", "backspace", "ctrl+d")
        assert held.last_line == {"take_back": ["f1"]}


def test_every_row_is_a_fact_that_the_session_takes() -> None:
    session = Session(load())
    facts = [field.read(str(field.one_of[-1]) if field.one_of else "20") for field in fields()]
    out = session.take({"facts": facts})
    assert out["refused"] == [] and len(out["understood"]) == len(facts)


@pytest.mark.parametrize("field", fields(), ids=lambda field: f"{field.about}.{field.what}")
@given(typed=st.text(max_size=12))
def test_whatever_is_typed_is_a_value_or_is_refused(field: Field, typed: str) -> None:
    try:
        fact = field.read(typed)
    except ValueError as error:
        assert str(error) == field.hint
    else:
        assert field.is_in(fact) and (fact["value"] in field.one_of if field.one_of else fact["value"] > 0)


def test_doubted_and_passing_facts_are_not_boat_data() -> None:
    passing = {"about": "boat", "what": "afloat", "value": True}
    assert boat_facts([VOLTS, {**FUEL, "certain": False}, passing]) == [VOLTS]


@pytest.mark.parametrize("junk", ["", "[]", "{", '{"A": 3}', '{"A": {"facts": [1, {"about": "x"}]}}'])
def test_a_file_that_cannot_be_used_counts_as_empty(tmp_path: Path, junk: str) -> None:
    file = tmp_path / "boats.json"
    file.write_text(junk)
    boats = Boats(file)
    assert boats.facts("A") == [] and "c" not in boats.by_case()
    boats.keep("Nordlys", [VOLTS], "c")
    assert boats.names()[0] == "Nordlys" and boats.by_case()["c"] == "Nordlys" and boats.facts("Nordlys") == [VOLTS]


def test_a_case_belongs_to_one_boat(tmp_path: Path) -> None:
    boats = Boats(tmp_path / "boats.json")
    boats.keep("A", [VOLTS], "c")
    boats.keep("B", [], "c")
    assert boats.by_case()["c"] == "B" and boats.names() == ["B", "A"]
    assert json.loads((tmp_path / "boats.json").read_text())["A"]["cases"] == []
