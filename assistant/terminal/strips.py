"""The two single lines of every case screen: what case this is, and which key does what."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content
from textual.widgets import Static

from assistant.terminal.plain import shortened

KEYS = (
    ("F1", "help", "Help"),
    ("F2", "safety", "Safety"),
    ("F3", "suspects", "Suspects"),
    ("F4", "test", "Test"),
    ("F5", "known", "Known"),
    ("F6", "open", "To do"),
    ("F8", "transcript", "All"),
    ("F10", "path", "Path"),
    ("esc", "talk", "Talk"),
)


class TitleStrip(Static):
    """Name of the program and the case, the turn, and whether a line is being worked on."""

    def __init__(self, title: str) -> None:
        """Keep the case's title."""
        super().__init__("", markup=False, id="title")
        self._title = title

    def show(self, turn: int, waiting: int, closed: bool) -> None:
        """Show the state of the conversation."""
        pieces = [f"turn {turn}" if turn else "", "closed" if closed else ""]
        pieces.append(f"working, {waiting} waiting" if waiting > 1 else "working" if waiting else "")
        state = " · ".join(piece for piece in pieces if piece)
        name = shortened(self._title, 48)
        self.update(
            Content.assemble((" Springline ", "bold $primary"), name, (f" · {state}" if state else "", "$quiet"))
        )


class KeyStrip(Static):
    """Keys and what they show; the view in front is marked with brackets and weight."""

    def __init__(self) -> None:
        """Draw with the conversation in front."""
        super().__init__("", markup=False, id="keys")
        self._offers: Sequence[str] = ()
        self._shown: tuple[str, bool] = ("talk", False)

    def offer(self, offers: Sequence[str]) -> None:
        """Show the words near what is being typed in place of the keys; without any, the keys."""
        self._offers = offers
        self.show(*self._shown)

    def show(self, view: str, stopped: bool = False) -> None:
        """Mark the view in front; while the case is stopped only help and safety have keys."""
        self._shown = (view, stopped)
        if self._offers:
            first, *others = self._offers
            self.update(Content.assemble(("→ ", "$quiet"), (first, "bold"), *(f"  {other}" for other in others)))
            return
        parts: list[Content] = []
        narrow = self.app.size.width < 90
        for key, name, label in KEYS[:2] if stopped else KEYS:
            if narrow and name == "path" != view:
                continue  # the word for it stands in the help
            text = f"[{label}]" if name == view else label
            style = "bold" if name == view else ""
            parts.append(Content.assemble((f"{key} ", "$quiet"), (text, style)))
        gap = " " if narrow else "  "
        self.update(Content(gap).join(parts))
