"""The card of the next test: how to set up, with what, how long, why, and how to say it to a caller."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from assistant.terminal.case import Case
from assistant.terminal.case_rows import minutes_of
from assistant.terminal.hanging import Hanging
from assistant.terminal.lists import WalkedList
from assistant.terminal.plain import one_line, visible


def card_needs(test: Mapping[str, Any]) -> Content:
    """Return what the test takes: minutes and tools."""
    takes = ", ".join(one_line(str(tool)) for tool in test.get("tools") or ())
    minutes = minutes_of(test)
    needs = [f"about {minutes}" if minutes else "", f"you need: {takes}" if takes else ""]
    return Content.styled(" · ".join(piece for piece in needs if piece), "$secondary")


def card_foot(test: Mapping[str, Any], plain: bool) -> Content:
    """Return the reason for the test, and the wording to read aloud when it is wanted."""
    lines = []
    if yours := [one_line(str(name)) for name in test.get("own_names") or ()]:
        lines.append(Content.assemble(("On your boat: ", "bold"), " ".join(yours)))
    if why := visible(str(test.get("why") or "")):
        lines.append(Content.assemble(("Why this: ", "bold"), why))
    if restore := [one_line(str(step)) for step in test.get("restore") or ()]:
        lines.append(Content.assemble(("Afterwards: ", "bold"), " ".join(restore)))
    aloud = visible(str(test.get("plain_text") or ""))
    if aloud and plain:
        lines.append(Content.assemble(("Read aloud: ", "bold $accent"), aloud))
    return Content("\n").join(lines)


class Checklist(WalkedList):
    """Set-up steps to tick off; the ticks are the person's own and prove nothing."""

    own_keys = frozenset(" ")
    BINDINGS: ClassVar[list[BindingType]] = [Binding("space", "select", "Tick", show=False)]

    def __init__(self) -> None:
        """Start empty."""
        super().__init__(id="steps", title="Set up first", hint="space ticks a step")
        self._test = ""
        self._steps: list[str] = []
        self._ticked: set[int] = set()

    def show(self, test: str, steps: list[str]) -> None:
        """Show the steps of a test, with the ticks kept while the test stays the same."""
        if (test, steps) != (self._test, self._steps):
            self._test, self._steps, self._ticked = test, steps, set()
        self.display = bool(steps)
        self._draw()

    def _draw(self) -> None:
        self.fill(
            [Option(_step(place, step, place in self._ticked), id=str(place)) for place, step in enumerate(self._steps)]
        )

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Tick a step, or take the tick off; the next step comes under the cursor."""
        event.stop()
        self._ticked ^= {event.option_index}
        self._draw()
        if event.option_index in self._ticked and event.option_index + 1 < len(self._steps):
            self.highlighted = event.option_index + 1


def _step(place: int, step: str, ticked: bool) -> Hanging:
    return Hanging([(Content(f"{'[x]' if ticked else '[ ]'} {place + 1}. {step}"), 7)])


class TestCard(VerticalScroll, can_focus=False):
    """The next test in full."""

    __test__ = False

    def __init__(self) -> None:
        """Start without a test."""
        super().__init__(id="test")
        self.border_title = "Next test"

    def compose(self) -> ComposeResult:
        """Lay out what to do, what it takes, the steps and the reason."""
        yield Static("", markup=False, id="test-text")
        yield Static("", markup=False, id="test-needs")
        yield Checklist()
        yield Static("", markup=False, id="test-foot")

    def show(self, case: Case, plain: bool) -> None:
        """Show the case's next test."""
        test = case.next
        text, needs, foot = (self.query_one(f"#test-{part}", Static) for part in ("text", "needs", "foot"))
        self.set_class(test is None, "-empty")
        self.border_title = "Next test" if test is None else f"Next test: {case.wording.test(str(test['test']))}"
        if test is None:
            text.update("No test is asked for now.")
            needs.update("")
            foot.update("")
            self.query_one(Checklist).show("", [])
            return
        text.update(visible(str(test.get("text", ""))))
        needs.update(card_needs(test))
        steps = [one_line(str(step)) for step in test.get("setup") or ()]
        self.query_one(Checklist).show(str(test["test"]), steps)
        foot.update(card_foot(test, plain))
        self.scroll_home(animate=False)
