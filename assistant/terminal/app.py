"""The application: it wires screens, colours and keys, and nothing else."""

from __future__ import annotations

import gc
import os
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from textual.app import App
from textual.binding import Binding, BindingType
from textual.worker import WorkerFailed

from assistant.terminal.boat_keeping import BoatKeeping
from assistant.terminal.boats import Boats
from assistant.terminal.case_files import title_of
from assistant.terminal.case_screen import CaseScreen
from assistant.terminal.first_screen import Doors, Opened, StartScreen
from assistant.terminal.port import Line, Session
from assistant.terminal.settings import Settings, case_folder, keep_failure
from assistant.terminal.themes import THEMES, following

if TYPE_CHECKING:
    from assistant.audit.walk import Walk


_RARER = (50_000, 20, 20)
"""Objects between looks for unused ones, by age. A long case keeps many, and at the usual counts each look at all of
them holds up the letters that are typed for a tenth of a second."""


class SpringlineApp(App[None]):
    """The terminal interface of Springline."""

    TITLE = "Springline"
    CSS_PATH = "springline.tcss"
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f9", "next_theme", "Colours"),
        Binding("ctrl+q", "quit", "Leave", priority=True),
    ]

    def __init__(
        self,
        opened: Opened | None = None,
        *,
        doors: Doors | None = None,
        walk: Walk | None = None,
        settings: Settings | None = None,
        settings_file: Path | None = None,
        boats_file: Path | None = None,
        clock: Callable[[], str] = lambda: time.strftime("%H:%M"),
    ) -> None:
        """Prepare the application for one case, or for the first screen.

        Args:
            opened: the case to show at once.
            doors: what the first screen can open, when no case is given.
            walk: a recorded case to walk through, when neither is given.
            settings: the person's settings; read from their file when not given.
            settings_file: where they are kept; the platform's usual place when not given.
            boats_file: where boat data is remembered; the platform's usual place when not given.
            clock: time of day for display only.
        """
        self._without_colour = bool(os.environ.get("NO_COLOR"))
        super().__init__()
        self._opened, self._doors, self._walk, self._clock = opened, doors, walk, clock
        self._settings_file = settings_file
        self._boats = Boats(boats_file)
        self._settings = Settings.load(settings_file) if settings is None else settings
        self._save_theme = False

    def run(self, *args: Any, **kwargs: Any) -> None:
        """Run on a terminal; the process is this program's own."""
        gc.set_threshold(*_RARER)
        super().run(*args, **kwargs)

    def on_mount(self) -> None:
        """Put on the colours and show the first screen."""
        for theme in THEMES:
            self.register_theme(theme)
        names = {theme.name for theme in THEMES}
        chosen = "grey" if self._without_colour else self._settings.theme
        self.theme = chosen if chosen in names else "night"
        self._save_theme = not self._without_colour
        if self._opened is not None:
            self._show_case(self._opened)
        elif self._doors is not None:
            self.push_screen(StartScreen(self._doors), self._from_start)
        elif self._walk is not None:
            self._show_walk(self._walk)

    def _show_walk(self, walk: Walk) -> None:
        from assistant.terminal.replay_screen import ReplayScreen

        self.push_screen(ReplayScreen(walk), lambda _: self.exit())

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Give every theme the names that the style sheet uses."""
        return dict(THEMES[0].variables)

    def watch_theme(self, theme: str) -> None:
        """Remember the colours that the person chose."""
        if getattr(self, "_save_theme", False):
            self._settings = replace(self._settings, theme=theme)
            self._settings.save(self._settings_file)

    def validate_app_focus(self, focus: bool) -> bool:
        """Count the window as looked at, always.

        A key may come before the word that somebody looks again, or in a window that never says so; it is
        meant for the place where the cursor was.
        """
        return True

    def action_next_theme(self) -> None:
        """Go to the next colours."""
        self.theme = following(self.theme)

    def _from_start(self, opened: Opened | None) -> None:
        if opened is None:
            self.exit()
        else:
            self._opened = opened
            self._show_case(opened)

    def _show_case(self, opened: Opened) -> None:
        path = opened.journal_path
        report = (path or case_folder() / "case.jsonl").with_suffix(".report.md")
        self.push_screen(
            CaseScreen(
                opened.session,
                title=opened.title or (title_of(path.stem) if path else ""),
                clock=self._clock,
                script=opened.script,
                report_file=report,
                boat=BoatKeeping(self._boats, path.stem if path else "", opened.boat) if path else None,
            )
        )

    async def on_unmount(self) -> None:
        """Let the line in work end."""
        for screen in self.screen_stack:
            if isinstance(screen, CaseScreen):
                await screen.errands.shut()
        if self._opened is not None and self._opened.close is not None:
            self._opened.close()

    def last_words(self) -> str:
        """Return the sentence for the terminal after the screen has gone."""
        path = self._opened.journal_path if self._opened else None
        return f"The case is kept in {path}\nGo on with it: springline resume {path}" if path else ""

    def _handle_exception(self, error: Exception) -> None:
        """Say in a sentence that the program failed; the details go to a file, not to the person."""
        if self.is_headless:
            super()._handle_exception(error)
            return
        where = keep_failure(error.error if isinstance(error, WorkerFailed) else error)
        self._return_code = 1
        self._failed = f"The screen failed and had to close; nothing that was answered is lost.{where}"
        self._close_messages_no_wait()

    _failed: str = ""

    @property
    def failed(self) -> str:
        """What went wrong, in a sentence; empty after an orderly end."""
        return self._failed


def run(
    session: Session,
    *,
    journal_path: Path | None = None,
    title: str = "",
    script: Sequence[Line] = (),
) -> int:
    """Show one case until the person leaves.

    Args:
        session: takes the lines; when it has a `history`, that is shown first.
        journal_path: where the session keeps the case, for the words on leaving.
        title: of the case, for the top line.
        script: lines of a demo, each played with Enter on an empty entry.

    Returns:
        Exit status: 0, or 1 when the screen itself failed.
    """
    return _run(SpringlineApp(Opened(session, title, journal_path, script)))


def start(doors: Doors) -> int:
    """Show the first screen, then what is chosen there; see `run`."""
    return _run(SpringlineApp(doors=doors))


def look_back(walk: Walk) -> int:
    """Walk through a recorded case; see `run`."""
    return _run(SpringlineApp(walk=walk))


def _run(app: SpringlineApp) -> int:
    app.run()
    for words in (app.failed, app.last_words()):
        if words:
            print(words)
    return 1 if app.failed else 0
