"""What is known, by part, with who said it and when; each fact can be put right in place."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message
from textual.widgets.option_list import Option

from assistant.terminal.case import Case
from assistant.terminal.case_rows import Known as KnownFact
from assistant.terminal.hanging import Hanging
from assistant.terminal.lists import WalkedList, heading
from assistant.terminal.suspects import WhyAsked


class Correct(Message):
    """The person wants to put a fact right."""

    def __init__(self, fact: KnownFact) -> None:
        """Keep the fact."""
        super().__init__()
        self.fact = fact


class TakeBack(Message):
    """The person takes a fact back."""

    def __init__(self, fact: KnownFact) -> None:
        """Keep the fact."""
        super().__init__()
        self.fact = fact


def fact_row(fact: KnownFact) -> Hanging:
    """Return one fact as a line: what, whether doubted, who and when."""
    told = ", ".join(piece for piece in (fact.who, fact.at, f"turn {fact.turn}") if piece)
    doubt = "" if fact.certain else " (not sure)"
    line = Content.assemble("  ", fact.text, (doubt, "bold"), (f" · {told}", "italic $quiet"))
    return Hanging([(line, 4)])


def origin_of(fact: KnownFact) -> str:
    """Return where a fact comes from, in a sentence."""
    words = f", in the words “{fact.words}”" if fact.words else ""
    doubt = "" if fact.certain else " It was told as not sure: it weighs less and proves nothing."
    return f"It was told in turn {fact.turn} by {fact.who}{words}.{doubt}"


class KnownFacts(WalkedList):
    """The facts that stand."""

    own_keys = frozenset("wex?")
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("w,question_mark", "why", "Why", show=False),
        Binding("e", "correct", "Put right", show=False),
        Binding("x,delete", "take_back", "Take back", show=False),
    ]

    def __init__(self) -> None:
        """Start empty."""
        super().__init__(id="known", title="Known", hint="e put right · x take back · ? why")
        self._facts: dict[str, KnownFact] = {}
        self._newest = self._looked_at = 0

    def show(self, case: Case) -> None:
        """Show the facts of the case."""
        self._facts = {**case.known, **case.own_names}
        options: list[Option] = []
        for part, rows in case.known_by_part():
            options.append(heading(part))
            options += [Option(fact_row(row), id=row.id) for row in rows]
        self.entitle(f"Known ({len(self._facts)})" if self._facts else "Known")
        self.fill(options)
        self._newest = max((fact.turn for fact in self._facts.values()), default=0)

    def on_focus(self) -> None:
        """Stand on the first of the facts that were noted last, once; they are what may have to be put right."""
        if self._newest != self._looked_at:
            self._looked_at = self._newest
            rows = [self._facts.get(option.id or "") for option in self.options]
            self.highlighted = next(n for n, fact in enumerate(rows) if fact and fact.turn == self._newest)

    def _fact(self) -> KnownFact | None:
        return self._facts.get(self.chosen or "")

    def action_why(self) -> None:
        """Ask what the highlighted fact does to the case."""
        if fact := self._fact():
            self.post_message(WhyAsked("why", fact.id, fact.text, origin_of(fact)))

    def action_correct(self) -> None:
        """Put the highlighted fact right."""
        if fact := self._fact():
            self.post_message(Correct(fact))

    def action_take_back(self) -> None:
        """Take the highlighted fact back."""
        if fact := self._fact():
            self.post_message(TakeBack(fact))
