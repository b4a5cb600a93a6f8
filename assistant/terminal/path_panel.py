"""The picture of the path: battery to motor and back, with what was read and what is lost where."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import events
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from assistant.terminal.case import Case
from assistant.terminal.hanging import Hanging
from assistant.terminal.plain import one_line

if TYPE_CHECKING:
    from assistant.electrics.ledger import Ledger


class PathPanel(VerticalScroll, can_focus=True):
    """The path, in brief beside the conversation and in full when it is asked for.

    What draws it is loaded when a case is shown, so that the screen itself starts without it.
    """

    def __init__(self) -> None:
        """Start with nothing read."""
        super().__init__(id="path")
        self.border_title = "Path"
        self._text = Static("", markup=False)
        self._ledger: Ledger | None = None
        self._trouble = ""
        self._whole = False
        self._drawn: tuple[int, bool, Ledger | None, str] | None = None

    def on_mount(self) -> None:
        """Put the text in place."""
        self.mount(self._text)

    def show(self, case: Case) -> None:
        """Work the readings of the case out and draw them."""
        from assistant.picture import path_read

        self._trouble = ""
        try:
            self._ledger = path_read([row.data for row in case.known.values()])
        except ValueError as error:
            self._ledger, self._trouble = None, str(error)
        self.set_class(self._ledger is None or not self._ledger.segments, "-bare")
        self._draw()

    def enlarge(self, whole: bool) -> None:
        """Show all of it, with explanations, or only what was read."""
        self._whole = whole
        self._draw()

    def on_resize(self, event: events.Resize) -> None:
        """Fit the picture to the new width."""
        self._draw()

    def _draw(self) -> None:
        width = self.scrollable_content_region.width
        state = (width, self._whole, self._ledger, self._trouble)
        if width <= 0 or state == self._drawn:
            return
        self._drawn = state
        self._text.update(Hanging((Content(line), 0) for line in self._lines(width)))

    def _lines(self, width: int) -> list[str]:
        from assistant.picture import brief_lines, picture_of, text_lines
        from assistant.picture.picture import picture_data

        words = picture_data()["words"]
        if self._ledger is None:
            return [one_line(words["contradict"].format(why=self._trouble) if self._trouble else words["nothing"])]
        picture = picture_of(self._ledger)
        return text_lines(picture, width) if self._whole else brief_lines(picture, width)
