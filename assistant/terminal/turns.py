"""The conversation: one widget for each turn, few of them mounted at a time."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from itertools import groupby
from operator import itemgetter

from textual.containers import VerticalScroll
from textual.content import Content
from textual.selection import Selection
from textual.widgets import Static

from assistant.terminal.case_rows import Turn
from assistant.terminal.hanging import Hanging

MOST_MOUNTED = 60
LEAD = 14
"""Letters that a repeating line may have of its own."""
LOT = 20
"""Turns taken off the top together, so that the cost of it is rare."""

Piece = tuple[str, str]
"""A line of text and the role it plays: its name is a style class in the style sheet's words."""

_MARK = re.compile(r"\s*(?:\d+\.|[-*·]|\[.\])?\s*")

STYLES = {
    "who": "bold $primary",
    "me": "bold $accent",
    "said": "",
    "noted": "italic $quiet",
    "ask": "bold",
    "reply": "",
    "error": "bold $error",
    "waiting": "italic $quiet",
    "blank": "",
}


def pieces(turn: Turn, shown: Sequence[str] = (), bare: bool = False) -> list[Piece]:
    """Return a turn as lines with their roles.

    Args:
        turn: the turn.
        shown: texts that stand elsewhere on the screen: reply lines that only repeat them are left out.
            The transcript gives none, and so has everything.
        bare: whether a reply that only repeats is left out as a whole; else it is shown as a whole.
    """
    found: list[Piece] = []
    if turn.said:
        when = " · ".join(p for p in (turn.who, turn.at, f"turn {turn.number}" if turn.number else "") if p)
        found.append((when, "who"))
        found += [(line, "said") for line in turn.said.split("\n")]
    found += _taken(turn)
    if turn.waiting:
        found.append(("working it out …", "waiting"))
    if turn.error:
        found += [("Springline", "me"), (f"Not taken, nothing changed. {turn.error}", "error")]
    lines = turn.reply.split("\n") if turn.reply else []
    if lines := [line for line in lines if not _repeats(line, shown)] or ([] if bare else lines):
        found.append(("Springline", "me"))
        found += [(line, "reply") for line in lines]
    return found


def _repeats(line: str, shown: Sequence[str]) -> bool:
    """Return whether a line says nothing but what stands elsewhere, a short lead apart."""
    rest = line
    for text in sorted(shown, key=len, reverse=True):
        rest = rest.replace(text, "")
    return rest != line and sum(char.isalnum() for char in rest) <= LEAD


def _taken(turn: Turn) -> Iterable[Piece]:
    if turn.noted:
        yield f"    noted: {'; '.join(turn.noted)}", "noted"
    if turn.doubted:
        yield f"    noted as not sure: {'; '.join(turn.doubted)}", "noted"
    for question, asked in groupby(turn.unclear, key=itemgetter(1)):
        said = [f"“{words}”" for words, _ in asked]
        lead = "not understood" if len(said) == 1 else "please say, of"
        yield f"    {lead}: {', '.join(said)} {question}".rstrip(), "ask"
    for remark in turn.remarks:
        yield f"    {remark}", "noted"


def indent_of(text: str) -> int:
    """Return by how much the continuation of a line is indented: list marks and indents are kept clear."""
    mark = _MARK.match(text)
    return len(mark[0]) if mark else 0


def content(turn: Turn, last: bool = False, bare: bool = False) -> Hanging:
    """Return a turn as styled text; nothing in it is read as markup.

    Args:
        turn: the turn.
        last: True for the turn whose question stands above the entry and need not be read twice.
        bare: see `pieces`.
    """
    shown = (*turn.shown, turn.asks) if last and turn.asks else turn.shown
    return Hanging((Content.styled(text, STYLES[role]), indent_of(text)) for text, role in pieces(turn, shown, bare))


class TurnWidget(Static):
    """One turn."""

    def __init__(self, turn: Turn) -> None:
        """Draw the turn."""
        super().__init__(content(turn, last=True), markup=False, classes="turn")
        self.turn = turn

    def get_selection(self, selection: Selection) -> tuple[str, str] | None:
        """Return the marked text, so that it can be copied."""
        visual = self.visual
        assert isinstance(visual, Hanging)
        return selection.extract(visual.laid_out(self.content_size.width).plain), "\n"

    def show(self, turn: Turn, last: bool = True) -> None:
        """Draw the turn anew, for example when the reply has come."""
        self.turn = turn
        self.update(content(turn, last))


class TurnLog(VerticalScroll, can_focus=False):
    """The last turns; it follows new ones until the person pages up."""

    def __init__(self) -> None:
        """Start empty."""
        super().__init__(id="log")
        self._earlier = Static("", markup=False, id="earlier")
        self._earlier.display = False
        self.pruned = 0

    def on_mount(self) -> None:
        """Put the line about earlier turns on top."""
        self.mount(self._earlier)
        self.anchor()

    async def load(self, turns: Sequence[Turn]) -> None:
        """Show the end of a case that is gone on with, in one go."""
        kept = turns[-(MOST_MOUNTED - LOT) :]
        self._count_pruned(len(turns) - len(kept))
        widgets = [TurnWidget(turn) for turn in kept]
        for widget in widgets[:-1]:
            widget.show(widget.turn, last=False)
        await self.mount_all(widgets)

    def add(self, turn: Turn) -> TurnWidget:
        """Add a turn of the person's, and go to the end, where it is."""
        if (before := self.mounted[-1:]) and before[0].turn.asks:
            before[0].show(before[0].turn, last=False)
        widget = TurnWidget(turn)
        self.mount(widget)
        self.anchor()
        self._prune()
        return widget

    @property
    def mounted(self) -> list[TurnWidget]:
        """The turn widgets in place, oldest first."""
        return [child for child in self.children if isinstance(child, TurnWidget)]

    def _prune(self) -> None:
        widgets = self.mounted
        if len(widgets) > MOST_MOUNTED:
            self.remove_children(widgets[:LOT])
            self._count_pruned(LOT)

    def _count_pruned(self, more: int) -> None:
        self.pruned += more
        self._earlier.display = self.pruned > 0
        self._earlier.update(f"{self.pruned} earlier turns: F8 shows the whole conversation")
