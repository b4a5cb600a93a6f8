"""The palette of what can be done now, and the words offered while typing."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.terminal.commands import WORDS, read
from assistant.terminal.deeds import deeds, matching
from assistant.terminal.known_words import known_words, rest_of
from assistant.terminal.palette import Palette
from assistant.terminal.reader import Reader

from .conftest import Stage
from .stage import BRIDGE_TEST, CLEAR, ISOLATOR_OFF, MAY_START, OPENING, SAID, STOP


async def test_the_palette_answers_a_question(stage: Stage) -> None:
    async with stage(OPENING, {}) as held:
        await held.say(SAID)
        await held.press("ctrl+p")
        assert isinstance(held.app.screen, Palette)
        shown = held.shown()
        assert "DANGER" in shown.splitlines()[0] and "Answer: Runs both ways" in shown
        await held.press("down", "enter")
        assert held.app.screen is held.screen
        assert held.last_line["answer"]["facts"] == BRIDGE_TEST["answers"][1]["facts"]


@pytest.mark.parametrize("size", [(80, 24), (200, 60)])
async def test_typing_narrows_it_and_escape_does_nothing(stage: Stage, size: tuple[int, int]) -> None:
    async with stage(OPENING, size=size) as held:
        await held.say(SAID)
        await held.say("do")
        await held.press(*"all said")
        shown = held.shown()
        assert "Read all that was said" in shown and "Runs both ways" not in shown
        await held.press("enter")
        assert isinstance(held.app.screen, Reader)
        await held.press("escape", "ctrl+p", *"zzqqxx")
        assert "Nothing here is like that" in held.shown()
        await held.press("enter", "escape")
        assert held.app.screen is held.screen
        assert len(held.session.lines) == 1


async def test_what_has_to_be_finished_begins_a_line(stage: Stage) -> None:
    async with stage(OPENING) as held:
        await held.say(SAID)
        await held.press("ctrl+p", *"hand over", "enter")
        assert held.entry.text == "hand over to "
        assert held.screen.focused is held.entry
        assert len(held.session.lines) == 1


async def test_it_lists_only_what_makes_sense(stage: Stage) -> None:
    async with stage(OPENING, {}, STOP) as held:
        names = [deed.typed for deed in deeds(held.screen.case)]
        assert not {"undo", "redo", "close", "report", "copy", "test"} & set(names)
        await held.say(SAID)
        names = [deed.typed for deed in deeds(held.screen.case)]
        assert {"undo", "close", "report", "test", "why 1", "#1"} <= set(names) and "redo" not in names
        await held.say("undo")
        assert "redo" in [deed.typed for deed in deeds(held.screen.case)]
        await held.say("it runs by itself")
        names = [deed.typed for deed in deeds(held.screen.case)]
        assert names[0] == "#1" and not {"close", "suspects", "undo"} & set(names)
        await held.press("ctrl+p", "enter")
        assert held.last_line == {"facts": [ISOLATOR_OFF]}


async def test_every_deed_is_an_order_or_the_beginning_of_one(stage: Stage) -> None:
    async with stage(OPENING | {"hazards": [MAY_START]}) as held:
        await held.say(SAID)
        for deed in deeds(held.screen.case):
            typed = f"{deed.typed}yard" if deed.begins else deed.typed
            assert read(typed, picks=9).kind != "say", deed


async def test_a_stop_takes_the_palette_away(stage: Stage) -> None:
    async with stage(OPENING, STOP) as held:
        await held.say(SAID)
        await held.press("ctrl+p")
        held.screen.post_message(held.entry.Sent("it is running by itself"))
        await held.settle()
        await held.settle()
        assert held.app.screen is held.screen and "STOP" in held.shown()


async def test_the_palette_plays_a_demo(stage: Stage) -> None:
    async with stage(OPENING, lines=[{"facts": [CLEAR]}]) as held:
        await held.press("ctrl+p", "enter")
        assert held.last_line == {"facts": [CLEAR]}


async def test_the_rest_of_a_word_is_offered_and_taken_with_right(stage: Stage) -> None:
    async with stage({}) as held:
        await held.press(*"starb")
        assert held.entry.suggestion == "oard"
        assert "→ starboard" in held.shown().splitlines()[-1]
        await held.press("right")
        assert held.entry.text == "starboard "
        assert "F1" in held.shown().splitlines()[-1]
        await held.press(*"thrsuter", "right")
        assert held.entry.text == "starboard thruster "


async def test_what_is_only_offered_is_never_sent(stage: Stage) -> None:
    async with stage({}) as held:
        await held.press(*"no cli", "enter")
        assert held.last_line == {"say": "no cli"}
        assert "F1" in held.shown().splitlines()[-1]


async def test_nothing_is_offered_inside_a_line(stage: Stage) -> None:
    async with stage({}) as held:
        await held.press(*"conta", "left")
        assert held.entry.suggestion == ""
        await held.press("right")
        assert held.entry.text == "conta"


def test_parts_sayings_and_orders_are_known() -> None:
    words = known_words("en")
    assert {"contactor", "starboard", "unplugged", "control unit", *(w for w in WORDS if w != "?")} <= set(words.offers)
    assert not [offer for offer in words.offers if "_" in offer or "<" in offer]


@given(st.text(max_size=80))
def test_offers_fit_whatever_is_typed(before: str) -> None:
    words = known_words("en")
    for offer in words.near(before):
        assert offer in words.offers
        rest = rest_of(offer, before)
        assert not rest or (before.lower() + rest).endswith(offer)


def test_looking_for_words_finds_what_is_like_them() -> None:
    from assistant.terminal.deeds import Deed

    among = [Deed("Close the case", "close"), Deed("Show the suspects", "suspects")]
    assert matching("", among) == among
    assert matching("suspcts", among) == [among[1]]
    assert matching("SHOW sus", among) == [among[1]]


def test_words_are_offered_in_the_language_of_the_case() -> None:
    assert "bedienteil" in known_words("de").near("die bedient")
    assert "bedienteil" not in known_words("en").offers
