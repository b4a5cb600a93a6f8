"""The main flows with the real session behind the screen: what it says is what is shown."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from assistant.begin import begin, go_on
from assistant.session import Session
from assistant.terminal.reader import Reader

from .conftest import on_screen

FOUND = "12 V boat. panel lights up but nothing happens either way, 12.4 V at the thruster studs at rest, no click"


def last(session: Session) -> tuple[Mapping[str, Any], Mapping[str, Any]]:
    return session.history[-1]


def flat(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60)])
async def test_from_the_first_words_to_the_first_answer(session: Session, size: tuple[int, int]) -> None:
    async with on_screen(session, size) as held:
        await held.say(FOUND)
        out = last(session)[1]
        assert {(f["about"], f["what"]) for f in out["understood"]} >= {("panel", "lights"), ("supply", "voltage")}
        shown = held.shown()
        assert "noted: boat nominal voltage 12 V" in shown
        assert out["next"] is not None
        for number, answer in enumerate(out["next"]["answers"], 1):
            assert f"{number} {answer['text']}"[:30] in shown
        await held.press("tab", "1")
        line = last(session)[0]
        assert line["answer"]["test"] == out["next"]["test"]
        assert last(session)[1]["turn"] == 2
        await held.press("f5")
        assert f"Known ({len(session.standing())})" in held.shown()
        await held.press("f3")
        leading = session.names.fault(last(session)[1]["suspects"][0]["fault"])
        assert leading[:16] in held.shown()


async def test_an_answer_typed_out_is_as_good_as_its_number(session: Session) -> None:
    async with on_screen(session) as held:
        await held.say(FOUND)
        step = last(session)[1]["next"]
        chosen = step["answers"][-1]
        await held.say(f"{chosen['text'].upper()}.")
        line = last(session)[0]
        assert line["answer"]["test"] == step["test"]
        assert {(f["about"], f["what"]) for f in line["answer"]["facts"]} == {
            (f["about"], f["what"]) for f in chosen["facts"]
        }


async def test_running_by_itself_stops_everything_until_the_isolator_is_off(session: Session) -> None:
    async with on_screen(session) as held:
        await held.say("12 V boat, it is running by itself right now")
        out = last(session)[1]
        assert out["stop"] is not None and out["next"] is None
        shown = held.shown()
        assert "STOP" in shown and "!!! DANGER" in shown.splitlines()[0]
        assert flat(out["stop"]["text"])[:40] in flat(shown)
        await held.press("f3", "f4", "f8")
        assert "STOP" in held.shown()
        await held.say("1")
        assert last(session)[0] == {"facts": [{"about": "isolator", "what": "position", "value": "off"}]}
        assert last(session)[1]["stop"] is None
        assert "STOP" not in held.shown()


async def test_undo_and_redo_leave_the_case_as_it_was(session: Session) -> None:
    async with on_screen(session) as held:
        await held.say("12 V boat")
        before = last(session)[1]["suspects"]
        await held.say("panel is dark, 12.5 V at the studs at rest")
        told = [{k: v for k, v in f.items() if k in ("about", "what", "value")} for f in session.standing()]
        await held.say("undo")
        assert last(session)[1]["suspects"] == before
        assert len(session.standing()) == 1
        await held.press("ctrl+y")
        assert [{k: f[k] for k in ("about", "what", "value")} for f in session.standing()] == told
        await held.say("undo")
        await held.say("undo")
        assert session.standing() == []
        await held.say("undo")
        assert "There is nothing to take back." in held.shown()


async def test_a_reading_is_put_right_in_place(session: Session) -> None:
    async with on_screen(session) as held:
        await held.say("12 V boat, 12.4 V at the thruster studs at rest")
        await held.press("f5", "down", "e")
        held.entry.fill("11.4 V at the thruster studs at rest")
        await held.press("enter")
        voltages = [f["value"] for f in session.standing() if f["what"] == "voltage"]
        assert voltages == [11.4]
        assert "12.4 V" not in "".join(row.text for row in held.screen.case.known.values())


async def test_reasons(session: Session) -> None:
    async with on_screen(session, (200, 60)) as held:
        await held.say(FOUND)
        await held.say("why")
        assert "why_ask" in last(session)[1]["answer"]
        turns = last(session)[1]["turn"]
        await held.press("f3", "w")
        await held.settle()
        first = last(session)[1]["suspects"][0]["fault"]
        assert flat(session.reasons(first)["why"])[:30] in flat(held.shown())
        assert last(session)[1]["turn"] == turns  # looking something up is no turn
        await held.press("escape")
        await held.say("why not 5")
        assert last(session)[0]["ask"]["why_not"] == last(session)[1]["suspects"][4]["fault"]


async def test_cannot_leads_to_another_way(session: Session) -> None:
    async with on_screen(session) as held:
        await held.say(FOUND)
        test = last(session)[1]["next"]["test"]
        await held.say("cannot: no meter aboard")
        assert last(session)[0] == {"answer": {"test": test, "cannot": "no meter aboard"}}
        following = last(session)[1]["next"]
        assert following is None or following["test"] != test


async def test_report_close_and_hand_over(session: Session) -> None:
    async with on_screen(session) as held:
        await held.say(FOUND)
        await held.say("report")
        assert isinstance(held.app.screen, Reader)
        assert "Case record" in held.shown()
        await held.press("escape")
        await held.say("close")
        assert last(session)[1]["closed"] is None
        await held.press("f6")
        assert "Before the case can be closed" in held.shown()
        assert not any("_" in point.split()[0] for point in held.screen.case.open_points or ())
        await held.press("escape")
        await held.say("hand over to yard: not found yet")
        assert last(session)[1]["closed"]["handed_over_to"] == "yard"
        await held.say("panel lights")
        assert "Not taken, nothing changed." in held.shown()


async def test_nonsense_is_answered_and_changes_nothing(session: Session) -> None:
    async with on_screen(session) as held:
        for typed in ("asdf qwer", "[/red] \x1b[31m", "\u202e", "'; drop", "{{", "9" * 500):
            await held.say(typed)
            assert session.standing() == []
            assert "\x1b" not in held.shown()
        await held.say("x" * 20_001)
        assert "Not taken, nothing changed." in held.shown()
        assert len(held.entry.text) == 20_001


async def test_a_case_goes_on_after_the_screen_died(tmp_path: Path) -> None:
    path = tmp_path / "case.jsonl"
    session, journal = begin("technician", path)
    async with on_screen(session) as held:
        await held.say(FOUND)
        await held.press("tab", "1")
        suspects = last(session)[1]["suspects"]
    assert journal is not None
    journal.close()
    again, journal, _ = go_on(path)
    async with on_screen(again) as held:
        assert held.screen.case.turn == 2
        assert [row.fault for row in held.screen.case.suspects] == [row["fault"] for row in suspects]
        assert "noted: boat nominal voltage 12 V" in held.shown()
        await held.say("undo")
        assert last(again)[1]["turn"] == 3
    journal.close()


@pytest.mark.parametrize("role", ["owner", "desk"])
async def test_owner_and_desk_get_the_plain_wording(role: str) -> None:
    session, _ = begin(role, None)
    async with on_screen(session, (200, 60)) as held:
        await held.say(FOUND)
        step = last(session)[1]["next"]
        assert step is None or flat(step["plain_text"])[:30] in flat(held.shown())
