"""What a step opened or locked stands among what is left to do until it is told as put back."""

from __future__ import annotations

from assistant.begin import begin
from assistant.terminal.app import SpringlineApp
from assistant.terminal.first_screen import Opened
from assistant.terminal.settings import Settings

from .conftest import Held

BRUSHES = {"answer": {"test": "brushes_inspect", "facts": [{"about": "motor", "what": "damaged", "value": False}]}}


async def test_the_list_holds_it_until_it_is_told_as_done() -> None:
    session = begin("technician", None)[0]
    session.take(BRUSHES)
    app = SpringlineApp(Opened(session, "harbour launch"), settings=Settings(), clock=lambda: "10:42")
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        held = Held(pilot, session)  # type: ignore[arg-type]
        await held.say("to do")
        assert "covers and guards" in held.shown()
        await held.say("covers back on")
        await held.say("to do")
        assert "covers and guards" not in held.shown() and "lock and tag" in held.shown()
