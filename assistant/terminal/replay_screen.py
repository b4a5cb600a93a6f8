"""A recorded case on the screen: step by step, forwards and back, with what was known at each step and why."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.widget import Widget
from textual.widgets import Input, Static

from assistant.audit.walk import Mark, Walk, known_lines, sections
from assistant.terminal.case import Case
from assistant.terminal.guarded import GuardedScreen
from assistant.terminal.plain import one_line, visible
from assistant.terminal.port import Wording
from assistant.terminal.reader import Lines
from assistant.terminal.turns import Piece

_KEYS = "→ ← step · h hazard · c correction · v conclusion · d difference (capital: back) · g turn · q leaves"
_MARKED = {"hazard": "hazards changed", "correction": "a correction", "conclusion": "a conclusion"}


class ReplayScreen(GuardedScreen[None]):
    """A walk through one recorded case; nothing in it is changed or recorded.

    The banner holds what was live at the step that is shown, not what is live now.
    """

    AUTO_FOCUS = "#lines"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("right,n,space", "step(1)", "Next turn"),
        Binding("left,p,backspace", "step(-1)", "Turn before"),
        Binding("less_than_sign", "end(-1)", "First turn"),
        Binding("greater_than_sign", "end(1)", "Last turn"),
        *(
            Binding(key if way > 0 else key.upper(), f"jump('{mark}', {way})", f"{mark}", show=way > 0)
            for key, mark in (("h", "hazard"), ("c", "correction"), ("v", "conclusion"))
            for way in (1, -1)
        ),
        Binding("d", "difference", "First difference"),
        Binding("g", "ask_turn", "Go to a turn"),
        Binding("escape,q", "leave", "Leave"),
    ]

    def __init__(self, walk: Walk) -> None:
        """Begin at the first turn."""
        super().__init__(Case(Wording(walk.names)))
        self._walk = walk
        self.place = 0
        self._again = "running it again …"
        self._parted: tuple[int, str] | None = None
        self._turn, self._known = Lines((), at_end=False), Lines((), at_end=False, id="known-lines")

    def compose_body(self) -> Iterable[Widget]:
        """Yield the title, the turn, what was known, and the keys."""
        yield Static("", markup=False, id="reader-title")
        yield Horizontal(self._turn, self._known, id="replay-body")
        yield Input(id="turn-asked", placeholder="number of the turn, then Enter", compact=True)
        yield Static(_KEYS, markup=False, id="reader-keys")

    async def begin(self) -> None:
        """Run the case again beside the reading."""
        self.query_one("#turn-asked").display = False
        self.run_worker(self._run_again(), group="again", exclusive=True)

    async def _run_again(self) -> None:
        self._parted = await asyncio.to_thread(lambda: self._walk.parted)
        if self._parted is None:
            self._again = "it runs again as it was recorded"
        else:
            self._again = f"RUN AGAIN IT DIFFERS, first in turn {self._parted[0] + 1}"
        self.show_case()

    def show_case(self) -> None:
        """Draw the turn that is shown."""
        turns = self._walk.turns
        self.case.hazards = turns[self.place].hazards if turns else ()
        super().show_case()
        self._turn.show(self._pieces() if turns else [("The record holds no turn.", "noted")])
        known = known_lines(self._walk, self.place) if turns else ()
        self._known.show([("Known at this step", "who"), *((text, "said") for text in known)])
        self._show_title()

    def _show_title(self) -> None:
        walk = self._walk
        broken = "NOT INTACT" if walk.problems else ""
        told = (f"Replay, turn {self.place + 1} of {len(walk.turns)}", broken, self._again, walk.note, walk.title)
        self.query_one("#reader-title", Static).update(" · ".join(one_line(piece) for piece in told if piece))

    def _pieces(self) -> list[Piece]:
        walk, found = self._walk, list[Piece]()
        if self.place == 0:
            found += [(one_line(walk.heading), "noted"), *((one_line(text), "error") for text in walk.problems)]
        marks = ", ".join(_MARKED[mark] for mark in walk.marks(self.place))
        if self._parted is not None and self._parted[0] == self.place:
            found.append((f"Run again it differs: {one_line(self._parted[1])}", "error"))
        for title, lines in sections(walk, self.place):
            first = not lines
            found.append((f"{title}{f' · {marks}' if first and marks else ''}", "me" if first else "who"))
            found += [(visible(line), "said") for line in lines]
            found += [] if first else [("", "blank")]
        return found

    def _go(self, place: int | None, otherwise: str) -> None:
        if place is None or not 0 <= place < len(self._walk.turns):
            self.query_one("#reader-keys", Static).update(f"{otherwise} · {_KEYS}")
            return
        self.place = place
        self.query_one("#reader-keys", Static).update(_KEYS)
        self.show_case()

    def action_step(self, way: int) -> None:
        """Go one turn on or back."""
        self._go(self.place + way, "That was the last turn" if way > 0 else "This is the first turn")

    def action_end(self, way: int) -> None:
        """Go to the first or the last turn."""
        self._go(len(self._walk.turns) - 1 if way > 0 else 0, "The record holds no turn")

    def action_jump(self, mark: Mark, way: int) -> None:
        """Go to the next or previous turn with a mark."""
        where = "further on" if way > 0 else "further back"
        self._go(self._walk.following(self.place, mark, way), f"No {mark} {where}")

    def action_difference(self) -> None:
        """Go to the first turn that does not run again as it was recorded."""
        place = None if self._parted is None else min(self._parted[0], len(self._walk.turns) - 1)
        self._go(place, self._again[:1].upper() + self._again[1:])

    def action_ask_turn(self) -> None:
        """Open the line for the number of a turn."""
        asked = self.query_one("#turn-asked", Input)
        asked.value, asked.display = "", True
        asked.focus()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Go to the turn asked for."""
        self._close_line()
        told = event.value.strip()
        self._go(int(told) - 1 if told.isdecimal() else None, f"There is no turn {one_line(told)[:12]}")

    def _close_line(self) -> None:
        self.query_one("#turn-asked").display = False
        self._turn.focus()

    def action_leave(self) -> None:
        """Leave the line for a number, or the replay."""
        if self.query_one("#turn-asked").display:
            self._close_line()
        else:
            self.dismiss(None)
