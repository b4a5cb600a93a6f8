"""Every key and every typed order."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual import events

from assistant.terminal.answers import AnswerList
from assistant.terminal.card import Checklist
from assistant.terminal.known import KnownFacts
from assistant.terminal.reader import Reader
from assistant.terminal.safety import SafetyScreen
from assistant.terminal.settings import Settings

from .conftest import Stage
from .stage import AFTER, BRIDGE_OUT, BRIDGE_TEST, OPENING, REST, SAID

VIEWS = [
    ("f3", "suspects", "Suspects ·", "control unit: dead"),
    ("f4", "test", "Next test: command bridge", "[ ] 1. Everybody clear"),
    ("f5", "known", "Known (4) ·", "supply voltage 12.4 V, at rest"),
    ("f6", "to do", "To do", "The complaint is not cleared up."),
]


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (120, 24), (200, 60)])
@pytest.mark.parametrize(("key", "word", "title", "content"), VIEWS)
async def test_views_by_key_and_by_word(
    stage: Stage, size: tuple[int, int], key: str, word: str, title: str, content: str
) -> None:
    async with stage(OPENING, size=size) as held:
        await held.say(SAID)
        await held.press(key)
        by_key = held.shown()
        assert title in by_key and content in by_key
        await held.press("escape")
        assert held.screen.focused is held.entry
        await held.say(word)
        assert held.screen.view == ("open" if word == "to do" else word)
        assert content in held.shown()
        assert held.session.lines == [{"say": SAID}]


async def test_help_by_key_and_word_begins_with_what_fits_now(stage: Stage) -> None:
    async with stage(OPENING, size=(80, 24)) as held:
        await held.say(SAID)
        for doing in (held.press("f1"), held.say("help"), held.say("?")):
            await doing
            assert isinstance(held.app.screen, Reader)
            shown = held.shown()
            assert "What you can say now" in shown and "1 Runs both ways" in shown
            assert "DANGER" in shown
            await held.press("escape")
            assert held.app.screen is held.screen


async def test_answers_by_number_typed(stage: Stage) -> None:
    async with stage(OPENING, AFTER) as held:
        await held.say(SAID)
        await held.say("1")
        assert held.last_line == {"answer": {"test": "command_bridge", "facts": BRIDGE_TEST["answers"][0]["facts"]}}
        assert "command bridge: Runs both ways" in held.shown()


@pytest.mark.parametrize("keys", [["tab", "3"], ["tab", "down", "down", "enter"], ["#", "3", "enter"]])
async def test_answers_by_number_key_and_by_enter(stage: Stage, keys: list[str]) -> None:
    async with stage(OPENING, AFTER) as held:
        await held.say(SAID)
        await held.press(*keys)
        facts = BRIDGE_TEST["answers"][2]["facts"]
        assert held.last_line == {"answer": {"test": "command_bridge", "facts": facts}}


async def test_a_bare_number_is_a_reading_where_the_answers_are_readings(stage: Stage) -> None:
    async with stage({"next": REST}) as held:
        await held.say("x")
        await held.say("2")
        assert held.last_line == {"say": "2"}


async def test_an_answer_can_be_typed_in_words(stage: Stage) -> None:
    async with stage(OPENING) as held:
        await held.say(SAID)
        await held.say("it ran both ways")
        assert held.last_line == {"say": "it ran both ways"}


async def test_a_word_struck_quickly_in_the_answers_is_said_and_picks_nothing(stage: Stage) -> None:
    async with stage(OPENING, {"next": BRIDGE_TEST}) as held:
        await held.say(SAID)
        await held.press("tab")
        for key in ("u", "p", "1", "enter"):
            held.app.post_message(events.Key(key, key if len(key) == 1 else "\r"))
        await held.settle()
        await held.settle()
        assert held.session.lines[1:] == [{"say": "up1"}]


async def test_a_second_key_never_answers_the_next_question(stage: Stage) -> None:
    async with stage(OPENING, {"next": BRIDGE_TEST}, {"next": REST}) as held:
        await held.say(SAID)
        await held.press("tab")
        for key in ("1", "2", "enter"):
            held.app.post_message(events.Key(key, key if len(key) == 1 else "\r"))
        await held.settle()
        await held.settle()
        facts = BRIDGE_TEST["answers"][0]["facts"]
        assert held.session.lines[1] == {"answer": {"test": "command_bridge", "facts": facts}}
        assert held.screen.focused is held.entry
        assert len(held.session.lines) == 3  # the 2 and the Enter were typed, as one line


async def test_cannot_asks_for_the_reason(stage: Stage) -> None:
    async with stage(OPENING) as held:
        await held.say(SAID)
        await held.press("tab", "0")
        assert held.entry.text == "cannot: "
        assert held.screen.focused is held.entry
        await held.press(*"no meter", "enter")
        assert held.last_line == {"answer": {"test": "command_bridge", "cannot": "no meter"}}


async def test_a_click_picks_an_answer(stage: Stage) -> None:
    async with stage(OPENING, AFTER) as held:
        await held.say(SAID)
        await held.pilot.click(AnswerList, offset=(4, 1))
        await held.settle()
        facts = BRIDGE_TEST["answers"][1]["facts"]
        assert held.last_line == {"answer": {"test": "command_bridge", "facts": facts}}


async def test_typing_in_a_list_goes_to_the_entry(stage: Stage) -> None:
    async with stage(OPENING) as held:
        await held.say(SAID)
        await held.press("f3", "p", "u", "l", "l")
        assert held.entry.text == "pull"
        assert held.screen.focused is held.entry


@pytest.mark.parametrize(("key", "ask", "words"), [("w", "why", "why: "), ("n", "why_not", "why not: ")])
async def test_reasons_for_a_suspect(stage: Stage, key: str, ask: str, words: str) -> None:
    async with stage(OPENING, {"reply": "Because of this."}, size=(80, 24)) as held:
        await held.say(SAID)
        await held.press("f3", "down", key)
        assert held.last_line == {"ask": {ask: "control_unit.dead"}}
        assert f"{words}control unit: dead" in held.shown()
        assert "Because of this." in held.shown()


async def test_reasons_for_a_fact(stage: Stage) -> None:
    async with stage(OPENING, {"reply": "It acquits the cables."}) as held:
        await held.say(SAID)
        await held.press("f5", "down", "down", "w")
        assert held.last_line == {"ask": {"why": "f3"}}


async def test_a_fact_is_taken_back_in_place(stage: Stage) -> None:
    async with stage(OPENING, {}) as held:
        await held.say(SAID)
        await held.press("f5", "down", "x")
        assert held.last_line == {"take_back": ["f2"]}
        assert "f2" not in held.screen.case.known
        assert held.screen.query_one(KnownFacts).has_focus


async def test_a_fact_is_put_right_in_place(stage: Stage) -> None:
    async with stage(OPENING, {}) as held:
        await held.say(SAID)
        await held.press("f5", "down", "down", "e")
        assert held.entry.text == "12.4 V at the thruster studs at rest"
        held.entry.fill("11.4 V at the thruster studs at rest")
        await held.press("enter")
        assert held.last_line == {"take_back": ["f3"], "say": "11.4 V at the thruster studs at rest"}
        await held.say("next line")
        assert held.last_line == {"say": "next line"}


async def test_undo_and_redo_by_word_and_key(stage: Stage) -> None:
    async with stage(OPENING, {}, OPENING, {}) as held:
        await held.say(SAID)
        await held.say("undo")
        assert held.last_line == {"take_back": ["f1", "f2", "f3", "f4"]}
        await held.press("ctrl+y")
        assert len(held.last_line["facts"]) == 4
        await held.press("ctrl+z")
        assert held.last_line == {"take_back": ["f1", "f2", "f3", "f4"]}
        await held.say("undo")
        assert "There is nothing to take back." in held.shown()
        assert len(held.session.lines) == 4


async def test_undo_of_typing_while_something_is_typed(stage: Stage) -> None:
    async with stage(OPENING) as held:
        await held.say(SAID)
        await held.press("a", "b", "ctrl+z")
        assert held.entry.text != "ab"
        assert len(held.session.lines) == 1


async def test_steps_are_ticked_off_and_the_ticks_end_with_the_test(stage: Stage) -> None:
    async with stage(OPENING, {"next": BRIDGE_TEST}, {"next": REST}, {"next": BRIDGE_TEST}) as held:
        await held.say(SAID)
        await held.press("f4", "space", "enter")
        assert "[x] 1. Everybody clear" in held.shown() and "[x] 2. Isolator off" in held.shown()
        await held.press("up", "up", "space")
        assert "[ ] 1. Everybody clear" in held.shown()
        await held.press("escape")
        await held.say("no news")
        assert "[x] 2. Isolator off" in held.shown()
        await held.say("next")
        await held.say("a")
        await held.say("b")
        assert "[ ] 2. Isolator off" in held.shown()
        assert held.screen.query_one(Checklist).display


@pytest.mark.parametrize("role", ["desk", "owner"])
async def test_the_plain_wording_is_shown_to_desk_and_owner(stage: Stage, role: str) -> None:
    async with stage(OPENING, role=role) as held:
        await held.say(SAID)
        assert "Read aloud: Pull the plug behind the joystick" in held.shown()


async def test_the_plain_wording_is_toggled(stage: Stage) -> None:
    async with stage(OPENING) as held:
        await held.say(SAID)
        assert "Read aloud" not in held.shown()
        await held.press("f7")
        assert "Read aloud: Pull the plug" in held.shown()
        await held.say("plain")
        assert "Read aloud" not in held.shown()


async def test_safety_screen_tells_a_clearing_fact(stage: Stage) -> None:
    async with stage(AFTER, {}) as held:
        await held.say("x")
        await held.press("f2")
        assert isinstance(held.app.screen, SafetyScreen)
        assert "it is so: bridge removed all" in held.shown()
        await held.press("down", "enter")
        assert held.app.screen is held.screen
        assert held.last_line == {"facts": [BRIDGE_OUT]}


async def test_what_is_typed_at_the_safety_screen_tells_nothing_and_its_keys_go_on(stage: Stage) -> None:
    async with stage(AFTER, {}) as held:
        await held.say("x")
        before = list(held.session.lines)
        await held.press("f2", "down", *"portdead", "enter")
        assert held.session.lines == before and isinstance(held.app.screen, SafetyScreen)
        assert "Nothing is typed here" in held.shown()
        await held.press("enter")
        assert held.app.screen is held.screen
        assert held.last_line == {"facts": [BRIDGE_OUT]}


async def test_the_safety_screen_is_left_after_typing(stage: Stage) -> None:
    async with stage(AFTER) as held:
        await held.say("x")
        await held.press("f2", "d", "escape")
        assert held.app.screen is held.screen


async def test_safety_screen_gives_reasons(stage: Stage) -> None:
    async with stage(AFTER, {"reply": "You said that you fitted it."}) as held:
        await held.say("x")
        await held.say("safety")
        await held.press("w")
        assert held.last_line == {"ask": {"why": "bridge_in_place"}}
        assert "You said that you fitted it." in held.shown()


async def test_safety_screen_of_a_healthy_boat_promises_nothing(stage: Stage) -> None:
    async with stage({}) as held:
        await held.say("x")
        await held.press("f2")
        assert "No hazard is known" in held.shown() and "usual caution" in held.shown()
        await held.press("escape")
        assert held.app.screen is held.screen


async def test_the_report_is_read_and_saved(stage: Stage, tmp_path: Path) -> None:
    report = "# Report\nPanel replaced.\n[/red] tried both ways"
    async with stage({"answer": {"report": report}, "reply": "Here is the report."}) as held:
        held.screen._report_file = tmp_path / "case.report.md"
        await held.say("report")
        assert held.last_line == {"ask": {"report": "markdown"}}
        lines = [line.strip() for line in held.shown().splitlines()]
        assert lines[1:4] == ["Report", "Panel replaced.", "[/red] tried both ways"]
        await held.press("s")
        assert "Saved as" in held.shown()
        assert (tmp_path / "case.report.md").read_text() == report


async def test_a_report_that_cannot_be_saved_says_so(stage: Stage, tmp_path: Path) -> None:
    async with stage({"answer": {"report": "x"}}) as held:
        (tmp_path / "file").write_text("")
        held.screen._report_file = tmp_path / "file" / "below.md"
        await held.say("report")
        await held.press("s")
        assert "Could not be saved" in held.shown()


async def test_search_in_the_transcript(stage: Stage) -> None:
    async with stage(*[{"reply": f"answer {n}\n\n\n"} for n in range(20)], size=(80, 24)) as held:
        for number in range(20):
            await held.say(f"line {number} of all")
        await held.say("transcript")
        await held.press("slash", *"LINE 3 ", "enter")
        shown = held.shown()
        assert "line 3 of all" in shown and "line 19 of all" not in shown
        await held.press("slash", *"nowhere", "enter")
        assert "“nowhere” is not there" in held.shown()
        await held.press("escape")
        assert held.app.screen is held.screen


async def test_closing_shows_what_stands_open_and_then_closed(stage: Stage) -> None:
    done = {"closed": {"handed_over_to": "yard", "open": ["test wire"]}, "reply": "Closed."}
    async with stage(AFTER | {"next": None}, AFTER | {"reply": "Not yet: see the list."}, done) as held:
        await held.say("x")
        await held.press("f6")
        assert "Before the case can be closed" in held.shown()
        await held.press("f6")
        await held.say("close")
        assert held.last_line == {"ask": {"close": True}}
        await held.say("hand over to yard: wire still fitted")
        assert held.last_line == {"ask": {"close": {"hand_over_to": "yard", "note": "wire still fitted"}}}
        assert "closed" in held.shown().splitlines()[0] + held.shown().splitlines()[1]
        await held.press("f6")
        assert "Closed, handed over to yard" in held.shown() and "still open: test wire" in held.shown()


@pytest.mark.parametrize(
    ("words", "name"), [("theme light", "day"), ("theme mono", "grey"), ("colours contrast", "contrast")]
)
async def test_colours_by_word_are_remembered(stage: Stage, words: str, name: str) -> None:
    async with stage() as held:
        await held.say(words)
        assert held.app.theme == name
        assert Settings.load().theme == name


async def test_colours_by_key_go_round(stage: Stage) -> None:
    async with stage() as held:
        seen = []
        for _ in range(4):
            await held.press("f9")
            seen.append(held.app.theme)
        assert seen == ["day", "grey", "contrast", "night"]


async def test_unknown_colours_are_answered(stage: Stage) -> None:
    async with stage() as held:
        await held.say("theme pink")
        assert "The colours are: dark, light, mono, contrast." in held.shown()


async def test_copying_the_last_reply(stage: Stage) -> None:
    async with stage(OPENING) as held:
        await held.say(SAID)
        await held.say("copy")
        assert held.app.clipboard == OPENING["reply"]


async def test_why_by_word(stage: Stage) -> None:
    async with stage(OPENING, {}, {}) as held:
        await held.say(SAID)
        await held.say("why")
        assert held.last_line == {"ask": {"why_ask": "command_bridge"}}
        await held.say("why not the moon")
        assert held.last_line == {"say": "why not the moon"}
        await held.say("why not 99")
        assert "There is no cause 99" in held.shown()
        assert len(held.session.lines) == 3


@pytest.mark.parametrize("way", ["word", "key"])
async def test_leaving(stage: Stage, way: str) -> None:
    async with stage() as held:
        if way == "word":
            held.entry.fill("quit")
            await held.pilot.press("enter")
        else:
            await held.pilot.press("ctrl+q")
        await held.pilot.pause()
        assert held.app._exit


async def test_tab_goes_between_entry_and_answers_and_back_through_all(stage: Stage) -> None:
    async with stage(OPENING) as held:
        await held.say(SAID)
        await held.press("tab")
        assert held.screen.focused is held.screen.query_one(AnswerList)
        await held.press("tab")
        assert held.screen.focused is held.entry
        seen = []
        for _ in range(6):
            await held.press("shift+tab")
            seen.append(held.screen.focused.id)
        assert {"answers", "suspects", "known", "steps", "entry"} <= set(seen)
