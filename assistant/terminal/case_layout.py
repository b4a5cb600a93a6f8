"""The layout of a case's screen: what stands where, and how it is drawn from the case."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.widget import Widget

from assistant.terminal.answers import AnswerBar, AnswerList
from assistant.terminal.card import TestCard
from assistant.terminal.case import Case
from assistant.terminal.case_rows import Turn
from assistant.terminal.entry import Entry
from assistant.terminal.guarded import GuardedScreen
from assistant.terminal.known import KnownFacts
from assistant.terminal.open_points import OpenPoints
from assistant.terminal.path_panel import PathPanel
from assistant.terminal.port import Line, Session, Wording, history_of, language_of, restoring_of, role_of
from assistant.terminal.spoken import said_of, time_of_day
from assistant.terminal.stop_panel import StopPanel
from assistant.terminal.strips import KeyStrip, TitleStrip
from assistant.terminal.suspects import Suspects
from assistant.terminal.turns import TurnLog

GREETING = (
    "Say what you see, in any order and as much at once as you like. Type help for what you can say.\n"
    "Local codes, the unit's own manual and licensed practice come before anything said here."
)
VIEWS = {
    "talk": "#entry",
    "suspects": "#suspects",
    "test": "#steps",
    "known": "#known",
    "open": "#open",
    "path": "#path",
}
"""The views that F-keys and words bring to the front, each with what then has the focus."""


class CaseLayout(GuardedScreen[None]):
    """Conversation, panels, answers and entry of one case."""

    AUTO_FOCUS = "#entry"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f1", "order('help')", "Help"),
        Binding("f2", "order('safety')", "Safety"),
        Binding("f3", "order('suspects')", "Suspects"),
        Binding("f4", "order('test')", "Test"),
        Binding("f5", "order('known')", "Known"),
        Binding("f6", "order('open')", "To do"),
        Binding("f7", "order('plain')", "Plain wording"),
        Binding("f8", "order('transcript')", "All said"),
        Binding("f10", "order('path')", "Path"),
        Binding("ctrl+p", "palette", "All that can be done"),
        Binding("escape", "order('talk')", "Talk"),
        Binding("pageup", "scroll_log(-1)", "Earlier", show=False),
        Binding("pagedown", "scroll_log(1)", "Later", show=False),
    ]

    def __init__(self, session: Session, title: str, script: Sequence[Line]) -> None:
        """Lay out a case.

        Args:
            session: for its names, its role and what was said before.
            title: of the case, for the top line.
            script: lines of a demo still to be played.
        """
        super().__init__(Case(Wording(session.names)))
        self._session, self._title = session, title
        self._script = deque(script)
        self.plain = role_of(session) in ("desk", "owner")
        self.view = "talk"

    @property
    def waiting(self) -> int:
        """How many lines wait for the session."""
        return 0

    def compose_body(self) -> Iterable[Widget]:
        """Yield conversation, panels, answers and entry."""
        yield TitleStrip(self._title)
        with Horizontal(id="body"):
            yield TurnLog()
            with Horizontal(id="side"):
                with Vertical(id="side-do"):
                    yield TestCard()
                    yield OpenPoints()
                with Vertical(id="side-know"):
                    yield Suspects()
                    yield KnownFacts()
                    yield PathPanel()
        yield StopPanel()
        yield AnswerBar()
        yield Entry(language_of(self._session))
        yield KeyStrip()

    async def begin(self) -> None:
        """Show what was said before, or the greeting."""
        for line, out in history_of(self._session):
            at = time_of_day(str(line.get("at", "")))
            self.case.take_in(line, out, said_of(line, self.case), at)
            if say := str(line.get("say") or "").strip():
                self.query_one(Entry).remember(say)
        self.case.restoring = restoring_of(self._session)
        if not self.case.turns:
            self.case.turns.append(Turn(said="", reply=GREETING))
        await self.query_one(TurnLog).load(self.case.turns)
        self.show_view("talk")

    def show_case(self) -> None:
        """Draw every panel from the case."""
        super().show_case()
        case = self.case
        stopped = case.stop is not None
        self.set_class(stopped, "-stopped")
        self.query_one("#body").display = not stopped
        self.query_one(StopPanel).show(case, case.turns[-1] if case.turns else None)
        self.query_one(AnswerBar).show(case, self.plain)
        self.query_one(TestCard).show(case, self.plain)
        self.query_one(Suspects).show(case)
        self.query_one(KnownFacts).show(case)
        self.query_one(OpenPoints).show(case)
        self.query_one(PathPanel).show(case)
        self.show_strips()
        if stopped and not isinstance(self.focused, Entry | AnswerList):
            self.query_one(Entry).focus()

    def show_strips(self) -> None:
        """Draw the top line, the key line and the hint in the entry."""
        self.query_one(TitleStrip).show(self.case.turn, self.waiting, self.case.closed is not None)
        self.query_one(KeyStrip).show(self.view, self.case.stop is not None)
        hint = "Say what you see, or type help"
        if self._script:
            hint = f"Enter plays: {said_of(self._script[0], self.case)}".split("\n")[0]
        elif self.case.stop is not None:
            hint = "Say what you did, or the number of what is so"
        elif self.query_one(AnswerBar).choices:
            hint = "Your own words, or a number; Tab: answers"
        self.query_one(Entry).placeholder = hint

    def show_view(self, view: str) -> None:
        """Bring a view to the front and put the cursor into it."""
        self.view = view
        for name in VIEWS:
            self.set_class(name == view, f"view-{name}")
        self.query_one(PathPanel).enlarge(view == "path")
        wanted = self.query_one(VIEWS[view])
        (wanted if wanted.display and wanted.focusable else self.query_one(Entry)).focus()
        self.show_strips()

    def action_into_answers(self) -> None:
        """Go from the entry into the answers; without answers to the next place."""
        answers = self.query_one(AnswerList)
        if self.query_one(AnswerBar).has_class("-nothing"):
            self.focus_next()
        else:
            answers.focus()

    def action_scroll_log(self, pages: int) -> None:
        """Scroll the conversation by a page; in a stop what has to be done."""
        text = self.query_one(TurnLog) if self.case.stop is None else self.query_one(StopPanel)
        (text.scroll_page_down if pages > 0 else text.scroll_page_up)(animate=False)
