"""What is dangerous is always in sight, and a stop takes the screen."""

from __future__ import annotations

import threading

import pytest

from assistant.errors import LineError

from .conftest import Stage
from .stage import (
    AFTER,
    ALL_HAZARDS,
    BRIDGE,
    CLEAR,
    ISOLATOR_OFF,
    LOCKED,
    MAY_START,
    OPENING,
    SAID,
    STOP,
)

SIZES = [(80, 24), (120, 40), (200, 60), (60, 15)]


@pytest.mark.parametrize(
    ("size", "theme"),
    [*((size, "night") for size in SIZES), ((80, 24), "day"), ((120, 40), "grey"), ((80, 24), "contrast")],
)
async def test_the_banner_is_on_every_screen_whatever_is_done(stage: Stage, size: tuple[int, int], theme: str) -> None:
    async with stage(OPENING | {"hazards": [MAY_START]}, size=size, theme=theme) as held:
        await held.say(SAID)
        keys = [
            "escape",
            "f1",
            "escape",
            "f2",
            "escape",
            "f3",
            "f4",
            "f5",
            "f6",
            "f8",
            "end",
            "escape",
            "pageup",
            "pageup",
        ]
        for key in keys:
            await held.press(key)
            first = held.shown().splitlines()[0]
            assert "!!! DANGER" in first and "Power is on" in first, key


@pytest.mark.parametrize("size", [(40, 12), (60, 15), (60, 20), (80, 24)])
async def test_what_has_to_be_done_in_a_stop_is_in_sight_on_the_smallest_screen(
    stage: Stage, size: tuple[int, int]
) -> None:
    async with stage(
        OPENING, STOP | {"stop": STOP["stop"] | {"text": "Do it. " + "Then on and on. " * 90}}, size=size
    ) as held:
        await held.say(SAID)
        await held.say("it is running by itself")
        shown = held.shown()
        assert "!!! DANGER" in shown and "STOP" in shown and "Do it." in shown and "1 isolator position off" in shown
        await held.press(*["pagedown"] * 12)
        assert "Do it." not in held.shown() and "on and on." in held.shown()
        await held.press(*["pageup"] * 12)
        assert "Do it." in held.shown()


@pytest.mark.parametrize("size", SIZES)
async def test_several_hazards_are_all_told_or_counted(stage: Stage, size: tuple[int, int]) -> None:
    async with stage(OPENING | {"hazards": ALL_HAZARDS}, size=size) as held:
        await held.say(SAID)
        shown = held.shown()
        for word in ("!!! DANGER", "WARNING", "CAUTION", "NOTICE"):
            assert word in shown
        assert shown.index("DANGER") < shown.index("WARNING") < shown.index("CAUTION") < shown.index("NOTICE")
        assert held.entry.region.height >= 1 and held.entry.region.bottom <= size[1]


async def test_a_healthy_boat_has_no_banner(stage: Stage) -> None:
    async with stage({}) as held:
        await held.say("all is well")
        assert "Springline" in held.shown().splitlines()[0]


async def test_the_banner_goes_when_the_hazard_goes(stage: Stage) -> None:
    async with stage(OPENING | {"hazards": [BRIDGE]}, OPENING | {"hazards": []}) as held:
        await held.say("x")
        assert "WARNING" in held.shown()
        await held.say("y")
        assert "WARNING" not in held.shown()


async def test_a_hazard_raised_while_another_screen_is_open_is_shown_there(stage: Stage) -> None:
    gate = threading.Event()
    async with stage(OPENING | {"hazards": [MAY_START]}, gate=gate) as held:
        held.entry.fill(SAID)
        await held.pilot.press("enter", "f8")
        gate.set()
        await held.settle()
        assert held.app.screen is not held.screen
        assert "!!! DANGER" in held.shown().splitlines()[0]


@pytest.mark.parametrize("size", SIZES)
async def test_stop_takes_the_screen_until_the_fact_that_ends_it(stage: Stage, size: tuple[int, int]) -> None:
    async with stage(STOP, OPENING, size=size) as held:
        await held.say("it is running by itself")
        shown = held.shown()
        assert "STOP" in shown and "Switch the isolator off now" in shown
        assert "1 isolator position off" in shown
        assert "Suspects" not in shown.replace("F3 Suspects", "") and "panel: output stuck" not in shown
        await held.say("1")
        assert held.last_line == {"facts": [ISOLATOR_OFF]}
        assert "STOP" not in held.shown()
        assert "With every station unplugged" in held.shown()


async def test_stop_can_be_answered_by_typing_and_says_what_it_took(stage: Stage) -> None:
    async with stage(STOP, STOP | {"reply": "It still runs: isolator off first."}, {"reply": "Good."}) as held:
        await held.say("it is running by itself")
        await held.say("what now?")
        assert "It still runs: isolator off first." in held.shown()
        assert "STOP" in held.shown()
        await held.say("isolator is off")
        assert held.last_line == {"say": "isolator is off"}
        assert "STOP" not in held.shown() and "Good." in held.shown()


async def test_stop_tells_a_line_that_cannot_be_taken(stage: Stage) -> None:
    async with stage(STOP, LineError("too_long", "Too long.")) as held:
        await held.say("it is running by itself")
        await held.say("and")
        assert "Not taken, nothing changed. Too long." in held.shown()
        assert "STOP" in held.shown()


async def test_stop_comes_to_the_front_from_any_screen(stage: Stage) -> None:
    gate = threading.Event()
    async with stage(STOP, gate=gate) as held:
        held.entry.fill("it is running by itself")
        await held.pilot.press("enter", "f1")
        assert held.app.screen is not held.screen
        gate.set()
        await held.settle()
        assert held.app.screen is held.screen
        assert "STOP" in held.shown()


async def test_stop_keeps_the_other_views_away_but_help_is_there(stage: Stage) -> None:
    async with stage(STOP) as held:
        await held.say("it is running by itself")
        for key in ("f3", "f4", "f5", "f6", "f8"):
            await held.press(key)
            assert "STOP" in held.shown(), key
        assert "First what the screen asks for" in held.shown()
        await held.press("f1")
        assert "First: Switch the isolator off now." in held.shown()
        await held.press("escape")
        assert "STOP" in held.shown()
        assert len(held.session.lines) == 1


async def test_stop_ended_by_two_facts_together_is_one_choice(stage: Stage) -> None:
    people = {"text": "Get everybody out of the water first.", "facts": [CLEAR, [ISOLATOR_OFF, LOCKED]]}
    async with stage(STOP | {"stop": people}, {}) as held:
        await held.say("somebody is swimming at the tunnel")
        assert "2 isolator position off and isolator locked yes" in held.shown()
        await held.press("tab", "2")
        assert held.last_line == {"facts": [ISOLATOR_OFF, LOCKED]}


async def test_levels_are_told_apart_without_colour(stage: Stage, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with stage(OPENING | {"hazards": ALL_HAZARDS}, size=(200, 60)) as held:
        await held.say(SAID)
        assert held.app.theme == "grey"
        shown = held.shown()
        for signal in ("!!! DANGER", "!!  WARNING", "!   CAUTION", "i   NOTICE"):
            assert signal in shown
        for strip in held.app.screen._compositor.render_strips():
            for segment in strip:
                for colour in (segment.style.color, segment.style.bgcolor) if segment.style else ():
                    if colour is not None and colour.triplet is not None:
                        assert len(set(colour.triplet)) == 1


async def test_colours_do_not_change_the_words(stage: Stage) -> None:
    seen = []
    for theme in ("night", "day", "grey", "contrast"):
        async with stage(AFTER, theme=theme) as held:
            await held.say("x")
            seen.append(held.shown())
    assert len(set(seen)) == 1
