"""Training on the screen: the same terminal, driven as a person would, on the simulated boat."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.knowledge import load
from assistant.terminal.app import SpringlineApp
from assistant.terminal.case_screen import CaseScreen
from assistant.terminal.entry import Entry
from assistant.terminal.first_screen import Opened
from assistant.terminal.settings import Settings
from assistant.train.draw import draw_case
from assistant.train.session import TrainingSession


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_from_the_complaint_to_the_score(
    size: tuple[int, int], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME"):
        monkeypatch.setenv(name, str(tmp_path))
    session = TrainingSession(draw_case(load(), 3), load())
    session.begin()
    app = SpringlineApp(Opened(session, "Training"), settings=Settings(theme="night"), clock=lambda: "10:42")
    async with app.run_test(size=size) as pilot:

        async def say(text: str) -> str:
            screen = next(s for s in app.screen_stack if isinstance(s, CaseScreen))
            screen.query_one(Entry).fill(text)
            await pilot.press("enter")
            await app.workers.wait_for_complete()
            await pilot.pause()
            strips = app.screen._compositor.render_strips()
            return "\n".join("".join(segment.text for segment in strip).rstrip() for strip in strips)

        await pilot.pause()
        shown = await say("coil voltage")
        assert ("1 Set up first" in shown and "3 set-up steps first (F4)" in shown) or "[ ] 1." in shown
        shown = await say("1")
        assert "6 minutes so far" in shown and "starboard coil does not click" in shown
        assert "%" not in shown
        shown = await say("undo")
        assert "There is nothing to take back" in shown
        await say("safe")
        shown = await say("it is starboard run signal open in the harness")
        assert "Named before it was proved: starboard" in shown and "closed" in shown
        assert session.over
