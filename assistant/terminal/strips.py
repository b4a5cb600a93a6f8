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

_LEFT_OUT = ("path", "transcript", "open", "known", "suspects", "test", "safety")
"""Views whose keys are left out where there is no room for all, the first one first."""


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
        keys, gap = _fitting(KEYS[:2] if stopped else KEYS, view, self.app.size.width - 2)
        self.update(Content(gap).join(_key(*key, view) for key in keys))

    def on_resize(self) -> None:
        """Fit the keys to the new width."""
        self.show(*self._shown)


def _key(key: str, name: str, label: str, view: str) -> Content:
    text = (f"[{label}]", "bold") if name == view else label
    return Content.assemble((f"{key} ", "$quiet"), text)


def _fitting(keys: Sequence[tuple[str, str, str]], view: str, width: int) -> tuple[list[tuple[str, str, str]], str]:
    """Return the keys that have room and what stands between them; the words for the others stand in the help."""
    kept = list(keys)
    for name in ("", *_LEFT_OUT):
        kept = [key for key in kept if key[1] != name or name == view]
        cells = sum(_key(*key, view).cell_length for key in kept)
        for gap in ("  ", " "):
            if cells + len(gap) * (len(kept) - 1) <= width:
                return kept, gap
    return kept, " "
