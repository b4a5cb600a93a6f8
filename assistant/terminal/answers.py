"""The question that stands, with its answers to pick; they can always be typed instead."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from assistant.terminal.case import Case
from assistant.terminal.case_rows import minutes_of
from assistant.terminal.hanging import Hanging
from assistant.terminal.lists import WalkedList
from assistant.terminal.plain import one_line
from assistant.terminal.port import FactData


@dataclass(frozen=True)
class Choice:
    """One answer that can be picked."""

    text: str
    facts: tuple[FactData, ...]

    @property
    def is_reading(self) -> bool:
        """True when the answer carries a number."""
        values = [fact.get("value") for fact in self.facts]
        return any(isinstance(value, int | float) and not isinstance(value, bool) for value in values)

    @property
    def wants_value(self) -> bool:
        """True when the person has to give the value."""
        return any(fact.get("value") is None for fact in self.facts)


def choices_of(case: Case) -> list[Choice]:
    """Return what can be picked now: what ends the stop, or the answers to the question."""
    if case.stop is not None:
        return [_way_out(item, case) for item in case.stop.get("facts") or ()]
    if case.next is None:
        return []
    return [
        Choice(one_line(str(answer.get("text", ""))), tuple(answer.get("facts") or ()))
        for answer in case.next.get("answers") or ()
    ]


def _way_out(item: Any, case: Case) -> Choice:
    facts: Sequence[Mapping[str, Any]] = (item,) if isinstance(item, Mapping) else tuple(item)
    return Choice(" and ".join(case.wording.fact(fact) for fact in facts), tuple(facts))


class Picked(Message):
    """The person picked an answer by its place, from 1; 0 is 'cannot'."""

    def __init__(self, number: int) -> None:
        """Keep the number."""
        super().__init__()
        self.number = number


class AnswerList(WalkedList):
    """The answers, picked with their number or with Enter."""

    own_keys = frozenset("0123456789?")
    BINDINGS: ClassVar[list[BindingType]] = [Binding("question_mark", "screen.why_question", "Why", show=False)]

    def __init__(self) -> None:
        """Start empty."""
        super().__init__(id="answers")

    def on_key(self, event: events.Key) -> None:
        """Pick by number; other typing goes on to the entry."""
        if event.character and event.character in "0123456789" and not self._typing:
            event.stop()
            event.prevent_default()
            self.pick(int(event.character))

    def pick(self, number: int) -> None:
        """Pick once: what is struck after it belongs to the entry, not to the next question."""
        self._typing = True
        self.post_message(Picked(number))

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Pick with Enter or a click."""
        event.stop()
        self.pick(int(event.option_id or 0))


class AnswerBar(Vertical):
    """Question and answers, just above the entry."""

    def __init__(self) -> None:
        """Start without a question."""
        super().__init__(id="answer-bar")
        self.choices: list[Choice] = []

    def compose(self) -> ComposeResult:
        """Lay out the question above its answers."""
        yield Static("", markup=False, id="question")
        yield AnswerList()

    def show(self, case: Case, plain: bool) -> None:
        """Show what is asked in the case now."""
        self.choices = choices_of(case)
        asked = case.stop is None and case.next is not None
        self.set_class(not self.choices and not asked, "-nothing")
        self.query_one("#question", Static).update(_question(case, plain))
        options = [Option(_answer(n, choice), id=str(n)) for n, choice in enumerate(self.choices, 1)]
        if asked:
            options.append(Option("0 I cannot do this here …", id="0"))
        self.query_one(AnswerList).fill(options)


def _answer(number: int, choice: Choice) -> Hanging:
    return Hanging([(Content(f"{number} {choice.text}"), 2)])


def _question(case: Case, plain: bool) -> Content:
    if case.stop is not None:
        return Content.styled("Tell me when one of these is so:", "bold")
    if case.next is None:
        return Content("")
    aloud = one_line(str(case.next.get("plain_text") or "")) if plain else ""
    text = Content.styled(one_line(str(case.next.get("text", ""))), "bold")
    if aloud:
        text = Content.assemble(("Read aloud: ", "$accent"), (aloud, "bold"))
    steps = len(case.next.get("setup") or ())
    counted = f"{steps} set-up step{'s' if steps != 1 else ''} first (F4)" if steps else ""
    rest = ", ".join(piece for piece in (counted, minutes_of(case.next)) if piece)
    return Content.assemble(text, (f"  {rest}" if rest else "", "$quiet"))
