"""The panel that takes the screen while the person must act before anything else."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from assistant.terminal.case import Case
from assistant.terminal.case_rows import Turn
from assistant.terminal.plain import visible
from assistant.terminal.turns import content


class StopPanel(VerticalScroll, can_focus=False):
    """One instruction, large, and the last thing said below it."""

    def __init__(self) -> None:
        """Start hidden."""
        super().__init__(id="stop")
        self.display = False

    def compose(self) -> ComposeResult:
        """Lay out the word, the instruction and the last turn."""
        yield Static("STOP", markup=False, id="stop-word")
        yield Static("", markup=False, id="stop-text")
        yield Static("", markup=False, id="stop-last")

    def show(self, case: Case, last: Turn | None) -> None:
        """Show the instruction of the case, if it has one."""
        self.display = case.stop is not None
        if case.stop is None:
            return
        text = visible(str(case.stop.get("text", "")))
        self.query_one("#stop-text", Static).update(Content.styled(text, "bold"))
        self.query_one("#stop-last", Static).update(content(last or Turn(said=""), bare=True))
