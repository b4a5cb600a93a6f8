"""Talking: what is typed reaches the session, and what comes back is shown."""

from __future__ import annotations

import threading

import pytest
from textual import events

from assistant.errors import LineError
from assistant.terminal.settings import error_file
from assistant.terminal.turns import TurnLog

from .conftest import Stage
from .fake_session import output
from .stage import AFTER, BRIDGE_TEST, OPENING, REST, SAID


async def test_a_line_is_understood_and_answered(stage: Stage) -> None:
    async with stage(OPENING) as held:
        await held.say(SAID)
        assert held.session.lines == [{"say": SAID}]
        shown = held.shown()
        assert "you · 10:42 · turn 1" in shown
        assert "noted: panel lights yes; thruster runs none" in shown
        assert "noted as not sure: contactor clicks no" in shown
        assert "not understood: “either way” Did you try both" in shown
        assert "The supply stands at rest and the panel lights" in shown
        assert held.entry.text == ""


@pytest.mark.parametrize(
    "typed", ["[/red] [bold]x[/] [link=a", "\x1b[31mred\x07 \x1b]0;title\x07", "a\x00b", "100 % {x} \\[y]"]
)
async def test_nothing_typed_is_markup_or_obeyed(stage: Stage, typed: str) -> None:
    echo = {
        "reply": typed,
        "unclear": [{"words": typed, "question": typed}],
        "next": BRIDGE_TEST | {"text": typed, "why": typed},
    }
    async with stage(echo) as held:
        await held.say(typed)
        assert held.last_line == {"say": typed}
        shown = held.shown()
        assert "\x1b" not in shown and "\x07" not in shown and "\x00" not in shown
        assert typed.replace("\x1b", "\\x1b").replace("\x07", "\\x07").replace("\x00", "\\x00")[:12] in shown
        await held.press("f8")
        assert "\x1b" not in held.shown()


async def test_a_paste_of_many_lines_is_one_thing_said(stage: Stage) -> None:
    async with stage() as held:
        held.app.post_message(events.Paste("panel lights\nno click\r\n12.4 V"))
        await held.pilot.pause()
        assert held.session.lines == []
        await held.press("enter")
        assert [line["say"].splitlines() for line in held.session.lines] == [["panel lights", "no click", "12.4 V"]]


async def test_alt_enter_begins_a_new_line(stage: Stage) -> None:
    async with stage() as held:
        await held.press("a", "alt+enter", "b", "enter")
        assert held.last_line == {"say": "a\nb"}


async def test_an_empty_line_says_nothing(stage: Stage) -> None:
    async with stage() as held:
        await held.press("enter")
        await held.press("space", "enter")
        assert held.session.lines == []


async def test_history_up_and_down_keeps_the_draft(stage: Stage) -> None:
    async with stage() as held:
        await held.say("first")
        await held.say("second")
        await held.press("d", "up")
        assert held.entry.text == "second"
        await held.press("up", "up")
        assert held.entry.text == "first"
        await held.press("down", "down")
        assert held.entry.text == "d"


async def test_up_moves_in_a_text_of_several_lines_first(stage: Stage) -> None:
    async with stage() as held:
        await held.say("before")
        held.entry.fill("one\ntwo")
        await held.press("up")
        assert held.entry.text == "one\ntwo"
        await held.press("up")
        assert held.entry.text == "before"


async def test_a_line_that_cannot_be_taken_is_told_and_not_lost(stage: Stage) -> None:
    async with stage(LineError("too_long", "That is too long for one line: say it in two.")) as held:
        await held.say("very long")
        shown = held.shown()
        assert "Not taken, nothing changed. That is too long for one line" in shown
        assert held.entry.text == "very long"
        await held.say("shorter")
        assert held.last_line == {"say": "shorter"}


async def test_a_failure_of_the_engine_is_a_sentence_and_the_case_goes_on(stage: Stage) -> None:
    async with stage(ZeroDivisionError("division by zero"), OPENING) as held:
        await held.say("odd")
        shown = " ".join(held.shown().split())
        assert "Put it another way" in shown and "ZeroDivisionError" not in shown
        assert "ZeroDivisionError" in error_file().read_text()
        await held.say(SAID)
        assert "turn 1" in held.shown()


async def test_typing_goes_on_while_the_session_works_and_lines_keep_their_order(stage: Stage) -> None:
    gate = threading.Event()
    async with stage(gate=gate) as held:
        held.entry.fill("one")
        await held.pilot.press("enter")
        held.entry.fill("two")
        await held.pilot.press("enter", "x", "y")
        await held.pilot.pause()
        assert held.entry.text == "xy"
        assert "working it out …" in held.shown()
        assert "working, 2 waiting" in held.shown()
        gate.set()
        await held.settle()
        assert [line["say"] for line in held.session.lines] == ["one", "two"]
        assert len(held.session.threads) == 1
        assert "MainThread" not in held.session.threads
        assert "working" not in held.shown()


async def test_an_answer_typed_to_an_earlier_question_says_which(stage: Stage) -> None:
    gate = threading.Event()
    async with stage({"next": BRIDGE_TEST}, {"next": REST}, {}, gate=gate) as held:
        gate.set()
        await held.say("start")
        gate.clear()
        held.entry.fill("it ran both ways")
        await held.pilot.press("enter")
        held.entry.fill("and no click")
        await held.pilot.press("enter")
        gate.set()
        await held.settle()
        assert held.session.lines[1] == {"say": "it ran both ways"}
        assert held.session.lines[2] == {"say": "and no click", "asked": "command_bridge"}


async def test_page_keys_scroll_the_conversation_and_new_turns_return_to_its_end(stage: Stage) -> None:
    async with stage(*[{"reply": f"reply {n}\n" * 4} for n in range(12)], size=(80, 24)) as held:
        for number in range(12):
            await held.say(f"line {number}")
        log = held.screen.query_one(TurnLog)
        end = log.scroll_offset.y
        assert end == log.max_scroll_y > 0
        await held.press("pageup", "pageup")
        assert log.scroll_offset.y < end
        assert held.screen.focused is held.entry
        await held.press("pagedown", "pagedown", "pagedown")
        assert log.scroll_offset.y == log.max_scroll_y
        await held.press("pageup")
        await held.say("again")
        assert log.scroll_offset.y == log.max_scroll_y


async def test_few_turns_are_mounted_and_the_transcript_has_all(stage: Stage) -> None:
    async with stage(size=(80, 24)) as held:
        log = held.screen.query_one(TurnLog)
        for number in range(65):
            held.entry.fill(f"line {number}")
            held.entry.send()
            await held.pilot._wait_for_screen()
        await held.settle()
        assert len(log.mounted) <= 60
        assert log.pruned == 20
        await held.press("ctrl+home")
        log.scroll_home(animate=False)
        await held.pilot.pause()
        assert "20 earlier turns: F8 shows the whole conversation" in held.shown()
        await held.press("f8", "home")
        assert "line 0" in held.shown()
        await held.press("end")
        assert "line 64" in held.shown()


async def test_a_case_gone_on_with_shows_what_was_said(stage: Stage) -> None:
    history = [
        ({"say": SAID, "at": "2026-05-02T09:15:00Z"}, output(1, **OPENING)),
        ({"answer": {"test": "command_bridge", "facts": AFTER["understood"]}}, output(2, **AFTER)),
    ]
    async with stage(history=history, size=(240, 60)) as held:
        shown = held.shown()
        assert "09:15 · turn 1" in shown
        assert "command bridge: panel plugged no; thruster runs both, with the stations unplugged" in shown
        assert "Verdict and what is left to do" in shown
        await held.say("undo")
        assert held.last_line == {"take_back": ["f5", "f6"]}


async def test_a_demo_plays_one_line_with_each_enter(stage: Stage) -> None:
    lines = [{"say": SAID}, {"facts": [{"about": "panel", "what": "lights", "value": True}], "by": "desk"}]
    async with stage(OPENING, {}, lines=lines) as held:
        assert "Enter plays: panel lights up" in held.entry.placeholder
        await held.press("enter")
        assert held.last_line == lines[0]
        await held.press("enter")
        assert held.last_line == lines[1]
        assert "panel lights yes" in held.shown()
        await held.press("enter")
        assert len(held.session.lines) == 2
