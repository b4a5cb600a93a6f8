"""Narrow, wide and very wide: nothing essential is lost, and room is used."""

from __future__ import annotations

import re

import pytest

from assistant.facts.shares import percent
from assistant.terminal.suspects import bar, trend

from .conftest import Stage
from .stage import AFTER, OPENING, SAID


async def test_at_80_by_24_conversation_question_and_answers_are_there(stage: Stage) -> None:
    async with stage(OPENING, size=(80, 24)) as held:
        await held.say(SAID)
        shown = held.shown()
        assert "The supply stands at rest" in shown
        assert "With every station unplugged" in shown and "4 set-up steps first (F4), 8 min" in shown
        for answer in (
            "1 Runs both ways",
            "2 Runs to port only",
            "4 Does not run",
            "0 I cannot do this here",
        ):
            assert answer in shown
        assert all(len(line) <= 80 for line in shown.splitlines())
        assert len(shown.splitlines()) == 24


async def test_at_120_by_40_panels_stand_beside_the_conversation(stage: Stage) -> None:
    async with stage(OPENING, AFTER, size=(120, 40)) as held:
        await held.say(SAID)
        shown = held.shown()
        for title in ("Next test: command bridge", "Suspects", "Known (4)", "The supply stands at rest"):
            assert title in shown
        await held.say("1")
        for piece in ("Verdict and what is left to do", "panel: dead — PROVED", "Known (6)"):
            assert piece in held.shown()


async def test_at_200_by_60_everything_is_in_sight_at_once(stage: Stage) -> None:
    async with stage(OPENING, AFTER, size=(200, 60)) as held:
        await held.say(SAID)
        shown = held.shown()
        for piece in (
            "Why this:",
            "[ ] 4. Isolator on",
            "12 battery: flat — ruled out",
            "contactor clicks no (not sure)",
        ):
            assert piece in shown
        await held.say("1")
        for piece in (
            "1. Replace the station's control",
            "Then prove the repair with",
            "· The repair has not been tried under load",
            "Parts",
            "a cause not in the list",
        ):
            assert piece in held.shown()


async def test_on_a_tall_narrow_screen_the_suspects_stand_below_the_conversation(stage: Stage) -> None:
    async with stage(OPENING, size=(88, 50)) as held:
        await held.say(SAID)
        lines = held.shown().splitlines()
        said = next(n for n, line in enumerate(lines) if "The supply stands at rest" in line)
        suspects = next(n for n, line in enumerate(lines) if "Suspects" in line)
        assert said < suspects < len(lines) - 12
        assert "control unit: dead" in held.shown()
        await held.press("f5")
        assert "Known (4)" in held.shown() and "The supply stands at rest" not in held.shown()


@pytest.mark.parametrize("view", ["f2", "f3", "f5", "f6", "f10", "escape"])
async def test_no_key_is_cut_off_whatever_the_width(stage: Stage, view: str) -> None:
    async with stage(OPENING) as held:
        await held.say(SAID)
        for width in (40, 60, 76, 80, 90, 120):
            await held.pilot.resize_terminal(width, 24)
            await held.press("escape", view)
            last = held.shown().splitlines()[-1]
            assert view == "f2" or re.search(r"esc \[?Talk\]?$", last), (width, last)
            if view not in ("f2", "escape"):
                assert re.search(rf"{view.upper()} \[\w", last), (width, last)
            await held.press("escape")


async def test_resizing_changes_the_layout_and_loses_nothing(stage: Stage) -> None:
    async with stage(OPENING, size=(200, 60)) as held:
        await held.say(SAID)
        held.entry.fill("half a line")
        for size in ((80, 24), (40, 15), (120, 40), (200, 60), (80, 24)):
            await held.pilot.resize_terminal(*size)
            await held.pilot.pause()
            assert "half a line" in held.shown()
            assert "DANGER" in held.shown()
        await held.press("f3")
        assert "panel: dead" in held.shown()


async def test_trend_and_percent_stand_beside_the_bar(stage: Stage) -> None:
    moved = OPENING | {"suspects": [dict(row) for row in OPENING["suspects"]]}
    moved["suspects"][0]["probability"], moved["suspects"][1]["probability"] = 0.30, 0.25
    async with stage(OPENING, moved) as held:
        await held.say(SAID)
        await held.say("more")
        await held.press("f3")
        lines = held.shown().splitlines()
        assert any("panel: dead" in line and "30 % ▼4" in line for line in lines)
        assert any("control unit: dead" in line and "25 % ▲4" in line for line in lines)


async def test_narrowed_down_names_the_workshop_test(stage: Stage) -> None:
    narrowed = {
        "faults": ["motor.short_circuit", "motor.earthed"],
        "because": "Nothing aboard tells them apart.",
        "settle": "insulation and current on the bench",
    }
    async with stage({"narrowed_to": narrowed, "reply": "As far as it goes aboard."}, size=(200, 60)) as held:
        await held.say("x")
        shown = held.shown()
        for piece in ("Narrowed down to", "motor: earthed", "Nothing aboard tells", "insulation and current"):
            assert piece in shown


@pytest.mark.parametrize(
    ("share", "told"),
    [(0, "0 %"), (0.001, "<1 %"), (0.5, "50 %"), (0.994, "99 %"), (0.9999, ">99 %"), (1, "100 %")],
)
def test_percent_is_honest_at_the_ends(share: float, told: str) -> None:
    assert percent(share) == told


def test_bars_are_as_long_as_their_share() -> None:
    assert bar(0.5, 10) == "█████     "
    assert bar(0, 4) == "    "
    assert bar(0.0001, 4).strip()
    assert bar(2, 4) == "████"
    assert [trend(0), trend(3), trend(-12)] == ["", "▲3", "▼12"]
