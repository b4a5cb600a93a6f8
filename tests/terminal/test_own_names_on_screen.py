"""The person's own names of parts on the screen: among what is known, on the card, taken back, undone, told again."""

from __future__ import annotations

from assistant.session import Session

from .conftest import Held, on_screen


def own(held: Held) -> list[str]:
    return [row.text for row in held.screen.case.own_names.values()]


async def test_names_stand_among_what_is_known_and_beside_the_parts(session: Session) -> None:
    async with on_screen(session) as held:
        await held.say("no click from the port coil")
        await held.say("the port coil is marked K1")
        await held.say("known")
        assert own(held) == ['port coil (your "K1")']
        shown = held.shown()
        assert "Your own words" in shown and 'port coil (your "K1")' in shown
        parts = [part for part, _ in held.screen.case.known_by_part()]
        assert parts == ['port coil (your "K1")', "Your own words"]


async def test_a_name_is_taken_back_by_key_undone_and_told_again(session: Session) -> None:
    async with on_screen(session) as held:
        await held.say("the port coil is marked K1")
        await held.say("undo")
        assert own(held) == []
        await held.say("redo")
        assert own(held) == ['port coil (your "K1")']
        await held.say("known")
        await held.press("tab", "x") if held.app.focused is held.entry else await held.press("x")
        for _ in range(3):
            if not own(held):
                break
            await held.press("down", "x")
        assert own(held) == []


async def test_markup_in_a_name_is_letters(session: Session) -> None:
    async with on_screen(session) as held:
        await held.say('we call the sense lead "[bold red]x[/]"')
        await held.say("known")
        assert own(held) == ['sense lead (your "[bold red]x[/]")']
        assert "[bold red]x[/]" in held.shown()
