"""A stage for the screen: settings and folders out of the tester's home, a still cursor, a fixed clock."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable, Sequence
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import TextArea

from assistant.begin import begin
from assistant.session import Session
from assistant.terminal.app import SpringlineApp
from assistant.terminal.case_screen import CaseScreen
from assistant.terminal.entry import Entry
from assistant.terminal.first_screen import Opened
from assistant.terminal.settings import Settings

from .fake_session import FakeSession, Scripted


@pytest.fixture(autouse=True)
def _apart(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME"):
        monkeypatch.setenv(name, str(tmp_path / name.lower()))
    monkeypatch.setenv("TZ", "UTC")
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TEXTUAL_ANIMATIONS", "none")
    monkeypatch.setattr(TextArea, "cursor_blink", False)


class Held:
    """A case on the screen, driven as a person would."""

    def __init__(self, pilot: Pilot[None], session: FakeSession) -> None:
        self.pilot, self.session = pilot, session

    @property
    def app(self) -> SpringlineApp:
        assert isinstance(self.pilot.app, SpringlineApp)
        return self.pilot.app

    @property
    def screen(self) -> CaseScreen:
        return next(screen for screen in self.app.screen_stack if isinstance(screen, CaseScreen))

    @property
    def entry(self) -> Entry:
        return self.screen.query_one(Entry)

    async def say(self, text: str) -> None:
        """Type a line and send it; long ones as a paste, for speed."""
        self.entry.fill(text)
        await self.press("enter")

    async def press(self, *keys: str) -> None:
        await self.pilot.press(*keys)
        await self.settle()

    async def settle(self) -> None:
        await self.app.workers.wait_for_complete()
        await self.pilot.pause()

    @property
    def last_line(self) -> dict[str, Any]:
        return self.session.lines[-1]

    def shown(self) -> str:
        """Return the picture on the screen as plain text."""
        lines = self.app.screen._compositor.render_strips()
        return "\n".join("".join(segment.text for segment in strip).rstrip() for strip in lines)


@asynccontextmanager
async def on_screen(session: Any, size: tuple[int, int] = (120, 40)) -> AsyncIterator[Held]:
    """Hold a case of a real session on the screen."""
    app = SpringlineApp(Opened(session, "harbour launch"), settings=Settings(), clock=lambda: "10:42")
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        yield Held(pilot, session)


@pytest.fixture
def session() -> Session:
    """Begin a technician's case with the whole rule base."""
    return begin("technician", None)[0]


Stage = Callable[..., AbstractAsyncContextManager[Held]]


@pytest.fixture
def stage() -> Stage:
    @asynccontextmanager
    async def held(
        *script: Scripted, size: tuple[int, int] = (120, 40), theme: str = "night", **more: Any
    ) -> AsyncIterator[Held]:
        lines: Sequence[Any] = more.pop("lines", ())
        session = FakeSession(script, **more)
        opened = Opened(session, "North float, workboat", script=lines)
        app = SpringlineApp(opened, settings=Settings(theme=theme), clock=lambda: "10:42")
        async with app.run_test(size=size) as pilot:
            await pilot.pause()
            yield Held(pilot, session)

    return held
