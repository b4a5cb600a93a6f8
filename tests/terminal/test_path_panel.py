"""The picture of the path on the screen: in the wide layout by itself, elsewhere by key and by word."""

from __future__ import annotations

from typing import Any

import pytest

from .conftest import Stage
from .fake_session import fact
from .stage import OPENING, SAID, STOP


def reading(fact_id: str, about: str, what: str, value: float, unit: str, *scene: str) -> dict[str, Any]:
    return fact(fact_id, about, what, value, unit=unit, scene=list(scene))


WEAK = OPENING | {
    "understood": [
        reading("f11", "battery", "voltage", 12.74, "V", "at_rest"),
        reading("f12", "battery", "voltage", 11.6, "V", "under_load"),
        reading("f13", "supply", "voltage", 9.2, "V", "under_load"),
        reading("f14", "positive_cable", "drop", 1.85, "V", "under_load"),
        reading("f15", "main_fuse", "drop", 0.92, "V", "under_load"),
        reading("f16", "motor", "current", 310, "A", "under_load"),
        reading("f17", "positive_cable", "length", 6, "m"),
        reading("f18", "positive_cable", "cross_section", 70, "mm²"),
    ]
}


async def test_beside_the_conversation_once_something_is_lost(stage: Stage) -> None:
    async with stage(OPENING, WEAK, size=(120, 40)) as held:
        await held.say(SAID)
        assert "in a run" not in held.shown()
        await held.say("measured it all")
        shown = held.shown()
        assert "main fuse and its holder" in shown and "12.74 V   11.60 V" in shown
        assert "Suspects" in shown and "Known (12)" in shown
        await held.pilot.resize_terminal(200, 60)
        await held.settle()
        assert "whole path" in held.shown() and "control unit: dead" in held.shown()


@pytest.mark.parametrize("size", [(40, 24), (80, 24), (120, 24), (120, 40), (200, 60)])
@pytest.mark.parametrize("how", ["path", "picture", "F10"])
async def test_in_full_by_key_and_by_word(stage: Stage, size: tuple[int, int], how: str) -> None:
    async with stage(WEAK, size=size) as held:
        await held.say(SAID)
        await (held.press("f10") if how == "F10" else held.say(how))
        assert held.screen.view == "path"
        shown = held.shown()
        assert "battery posts" in shown and "11.60 V" in shown and "?" in shown
        assert len(held.session.lines) == 1
        await held.press("end")
        end = held.shown()
        assert "To know more" in end or "during the" in end or "run." in end
        await held.press("escape")
        assert held.screen.view == "talk" and held.screen.focused is held.entry


async def test_before_anything_is_read_it_says_what_to_tell(stage: Stage) -> None:
    async with stage(OPENING | {"understood": []}, size=(80, 24)) as held:
        await held.say("path")
        assert "Nothing along the path has been read yet" in held.shown()


async def test_readings_that_cannot_be_are_said_to_be_so(stage: Stage) -> None:
    odd = OPENING | {
        "understood": [
            reading("f1", "battery", "voltage", 9.0, "V", "under_load"),
            reading("f2", "supply", "voltage", 12.5, "V", "under_load"),
        ]
    }
    async with stage(odd, size=(80, 24)) as held:
        await held.say(SAID)
        await held.say("path")
        assert "cannot belong to one run" in held.shown()


async def test_a_stop_comes_before_the_picture(stage: Stage) -> None:
    async with stage(STOP, size=(80, 24)) as held:
        await held.say(SAID)
        await held.press("f10")
        assert held.screen.view == "talk"
        assert "Switch the isolator off now" in held.shown()
