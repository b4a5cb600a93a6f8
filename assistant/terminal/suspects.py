"""The suspects: how likely each cause is, what moved, what is proved or ruled out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rich.cells import set_cell_size
from textual import events
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message
from textual.widgets.option_list import Option

from assistant.facts.shares import percent
from assistant.terminal.case import Case
from assistant.terminal.case_rows import Suspect
from assistant.terminal.hanging import wrapped
from assistant.terminal.lists import WalkedList, heading

_EIGHTHS = " ▏▎▍▌▋▊▉█"


class WhyAsked(Message):
    """The person wants a reason for a row."""

    def __init__(self, ask: str, subject: str, name: str, otherwise: str = "") -> None:
        """Keep the question.

        Args:
            ask: 'why' or 'why_not'.
            subject: id of what it is about.
            name: of the subject, for the conversation.
            otherwise: the answer when the session knows no more than the screen shows.
        """
        super().__init__()
        self.ask, self.subject, self.name, self.otherwise = ask, subject, name, otherwise


def bar(share: float, width: int) -> str:
    """Return a bar of `width` cells for a share of 0 to 1, to an eighth of a cell."""
    eighths = round(max(0.0, min(1.0, share)) * width * 8)
    if share > 0 and eighths == 0:
        eighths = 1
    whole, rest = divmod(eighths, 8)
    return ("█" * whole + (_EIGHTHS[rest] if rest else "")).ljust(width)


def trend(change: int) -> str:
    """Return the change since the last turn with its direction as a sign."""
    if change == 0:
        return ""
    return f"▲{change}" if change > 0 else f"▼{-change}"


def suspect_row(row: Suspect, place: int, width: int) -> Content:
    """Return one suspect as a line of `width` cells; a long name goes on below."""
    number = f"{place:>2} "
    if row.state == "proved":
        return _settled(Content.assemble(number, (f"{row.name} — PROVED", "bold $success"), _by(row)), width)
    if row.state == "ruled_out":
        return _settled(Content.assemble(number, (f"{row.name} — ruled out", "$quiet"), _by(row)), width)
    bar_width = 6 if width < 54 else 10 if width < 70 else 16
    tail = f" {percent(row.probability):>5} {trend(row.trend):<4}"
    room = max(8, width - len(number) - bar_width - len(tail) - 1)
    name, *rest = [line.plain for line in Content(row.name).wrap(room)]
    first = Content.assemble(
        number, set_cell_size(name, room), " ", (bar(row.probability, bar_width), "$bar"), (tail, "bold")
    )
    return Content("\n").join([first, *(Content(" " * len(number) + line) for line in rest)])


def _by(row: Suspect) -> tuple[str, str]:
    return (f": {row.because.rstrip('.')}" if row.because else "", "$quiet")


def _settled(line: Content, width: int) -> Content:
    """Return a settled suspect in as many lines as it takes, those after the first indented."""
    return Content("\n").join(wrapped((line, 3), width))


class Suspects(WalkedList):
    """All causes of the rule base, most likely first."""

    own_keys = frozenset("wn?")
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("w,question_mark", "why('why')", "Why", show=False),
        Binding("n", "why('why_not')", "Why not", show=False),
    ]

    def __init__(self) -> None:
        """Start empty."""
        super().__init__(id="suspects", title="Suspects", hint="? why · esc back")
        self._rows: Sequence[Suspect] = ()
        self._drawn_for = 0

    def show(self, case: Case) -> None:
        """Show the suspects of the case."""
        self._rows = case.suspects
        self._draw()

    def on_resize(self, event: events.Resize) -> None:
        """Fit the bars to the new width."""
        if self.scrollable_content_region.width != self._drawn_for:
            self._draw()

    def _draw(self) -> None:
        width = self._drawn_for = self.scrollable_content_region.width
        options: list[Option] = []
        titles = {"proved": "Proved", "open": "Open", "ruled_out": "Ruled out"}
        for state, title in titles.items():
            rows = [(place, row) for place, row in enumerate(self._rows, 1) if row.state == state]
            if rows and (state != "open" or options):
                options.append(heading(f"{title} ({len(rows)})"))
            room = max(24, width - 2)
            options += [Option(suspect_row(row, place, room), id=row.fault) for place, row in rows]
        self.fill(options)

    def action_why(self, ask: str) -> None:
        """Ask why, or why not, for the highlighted suspect."""
        row = next((row for row in self._rows if row.fault == self.chosen), None)
        if row:
            self.post_message(WhyAsked(ask, row.fault, row.name))
