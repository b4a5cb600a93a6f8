"""What a step opened or locked stands among what is left to do until it is told as put back."""

from __future__ import annotations

from assistant.session import Session

from .conftest import on_screen

BRUSHES = {"answer": {"test": "brushes_inspect", "facts": [{"about": "motor", "what": "damaged", "value": False}]}}


async def test_the_list_holds_it_until_it_is_told_as_done(session: Session) -> None:
    session.take(BRUSHES)
    async with on_screen(session) as held:
        await held.say("to do")
        assert "covers and guards" in held.shown()
        await held.say("covers back on")
        await held.say("to do")
        assert "covers and guards" not in held.shown() and "lock and tag" in held.shown()
