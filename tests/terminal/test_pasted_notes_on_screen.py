"""Notes pasted into the screen: one turn, given back when they cannot be taken; the history of a case."""

from __future__ import annotations

from textual import events

from assistant.session import Session

from .conftest import on_screen

NOTES = (
    "panel lights up", "no click from the contactor", "dead to port, runs to starboard",
    "12.6 V at the battery at rest", "12.5 V at the thruster studs at rest", "nobody in the water", "24 V boat",
    "port signal 12.3 V when port is asked",
    "the main fuse is fine", "motor is cold",
)  # fmt: skip


async def test_ten_notes_are_one_turn_and_all_known(session: Session) -> None:
    async with on_screen(session) as held:
        held.app.post_message(events.Paste("\n".join(NOTES)))
        await held.pilot.pause()
        await held.press("enter")
        assert len(session.history) == 1
        known = {(row.data["about"], row.data["what"]) for row in held.screen.case.known.values()}
        assert known >= {("panel", "lights"), ("contactor", "clicks"), ("thruster", "runs"), ("battery", "voltage"),
                         ("supply", "voltage"), ("boat", "people_clear"), ("boat", "nominal_voltage"),
                         ("port_signal", "voltage"), ("main_fuse", "blown"), ("motor", "hot")}  # fmt: skip


async def test_notes_that_cannot_be_taken_come_back_whole(session: Session) -> None:
    async with on_screen(session) as held:
        notes = "\n".join(["panel lights up", "word " * 4_200, "motor is cold"])
        await held.say(notes)
        assert not session.history and held.screen.case.known == {}
        assert held.entry.text == notes


async def test_a_case_gone_on_with_has_its_history(session: Session) -> None:
    session.take({"say": "panel lights up"})
    session.take({"say": "no click from the contactor\nmotor is cold"})
    async with on_screen(session) as held:
        await held.press("up")
        assert held.entry.text == "no click from the contactor\nmotor is cold"
        await held.press("up", "up")
        assert held.entry.text == "panel lights up"
        await held.press("down", "down", "down")
        assert held.entry.text == ""


async def test_help_begins_with_what_can_be_said_now(session: Session) -> None:
    async with on_screen(session) as held:
        await held.say("panel lights up, 12 V boat, nobody in the water")
        answers = session.history[-1][1]["next"]["answers"]
        await held.press("f1")
        shown = " ".join(held.shown().split())
        assert "What you can say now" in shown and answers[0]["text"] in shown
