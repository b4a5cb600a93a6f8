"""The screen of a case: conversation, panels, entry; it sends lines and draws what comes back."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from pathlib import Path
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.widget import Widget

from assistant.terminal import commands
from assistant.terminal.answers import AnswerBar, AnswerList, Choice, Picked
from assistant.terminal.card import TestCard
from assistant.terminal.case import Case, Turn, told
from assistant.terminal.commands import Note, Order
from assistant.terminal.entry import Entry
from assistant.terminal.errands import Errand, Errands, Result
from assistant.terminal.guarded import GuardedScreen
from assistant.terminal.help_text import help_pieces
from assistant.terminal.known import Correct, KnownFacts, TakeBack
from assistant.terminal.lists import TypedInList
from assistant.terminal.open_points import OpenPoints
from assistant.terminal.port import Line, Session, Wording, history_of, role_of
from assistant.terminal.reader import Reader
from assistant.terminal.safety import SafetyScreen, Told
from assistant.terminal.spoken import said_of
from assistant.terminal.stop_panel import StopPanel
from assistant.terminal.strips import KeyStrip, TitleStrip
from assistant.terminal.suspects import Suspects, WhyAsked
from assistant.terminal.turns import Piece, TurnLog, TurnWidget, pieces

GREETING = (
    "Say what you see, in any order and as much at once as you like. Type help for what you can say.\n"
    "Local codes, the unit's own manual and licensed practice come before anything said here."
)
VIEWS = {"talk": "#entry", "suspects": "#suspects", "test": "#steps", "known": "#known", "open": "#open"}
"""The views that F-keys and words bring to the front, each with what then has the focus."""


class CaseScreen(GuardedScreen[None]):
    """One open case."""

    AUTO_FOCUS = "#entry"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f1", "order('help')", "Help"),
        Binding("f2", "order('safety')", "Safety"),
        Binding("f3", "order('suspects')", "Suspects"),
        Binding("f4", "order('test')", "Test"),
        Binding("f5", "order('known')", "Known"),
        Binding("f6", "order('open')", "To do"),
        Binding("f7", "order('plain')", "Plain wording"),
        Binding("f8", "order('transcript')", "All said"),
        Binding("escape", "order('talk')", "Talk"),
        Binding("pageup", "scroll_log(-1)", "Earlier", show=False),
        Binding("pagedown", "scroll_log(1)", "Later", show=False),
    ]

    def __init__(
        self,
        session: Session,
        *,
        title: str = "",
        clock: Callable[[], str] = lambda: "",
        script: Sequence[Line] = (),
        report_file: Path | None = None,
    ) -> None:
        """Open a case.

        Args:
            session: what takes the lines.
            title: of the case, for the top line.
            clock: time of day for display.
            script: lines of a demo, played one by one with Enter.
            report_file: where the report is saved when the person wants it.
        """
        super().__init__(Case(Wording(session.names)))
        self._session, self._title, self._clock = session, title, clock
        self._script = deque(script)
        self._report_file = report_file
        self.errands = Errands(session, self._finished)
        self.plain = role_of(session) in ("desk", "owner")
        self.view = "talk"
        self._pending: dict[int, TurnWidget] = {}
        self._correcting: str | None = None

    # -- laying out

    def compose_body(self) -> Iterable[Widget]:
        """Yield conversation, panels, answers and entry."""
        yield TitleStrip(self._title)
        with Horizontal(id="body"):
            yield TurnLog()
            with Horizontal(id="side"):
                with Vertical(id="side-do"):
                    yield TestCard()
                    yield OpenPoints()
                with Vertical(id="side-know"):
                    yield Suspects()
                    yield KnownFacts()
        yield StopPanel()
        yield AnswerBar()
        yield Entry()
        yield KeyStrip()

    async def begin(self) -> None:
        """Show what was said before, or the greeting."""
        for line, out in history_of(self._session):
            self.case.take_in(line, out, said_of(line, self.case), str(line.get("at", ""))[11:16])
        self.case.turns.append(Turn(said="", reply=GREETING))
        await self.query_one(TurnLog).load(self.case.turns)
        self.show_view("talk")

    def show_case(self) -> None:
        """Draw every panel from the case."""
        super().show_case()
        case = self.case
        stopped = case.stop is not None
        self.query_one("#body").display = not stopped
        self.query_one(StopPanel).show(case, case.turns[-1] if case.turns else None)
        self.query_one(AnswerBar).show(case, self.plain)
        self.query_one(TestCard).show(case, self.plain)
        self.query_one(Suspects).show(case)
        self.query_one(KnownFacts).show(case)
        self.query_one(OpenPoints).show(case)
        self._show_strips()
        if stopped and not isinstance(self.focused, Entry | AnswerList):
            self.query_one(Entry).focus()

    def _show_strips(self) -> None:
        self.query_one(TitleStrip).show(self.case.turn, len(self.errands), self.case.closed is not None)
        self.query_one(KeyStrip).show(self.view, self.case.stop is not None)
        hint = "Say what you see, or type help"
        if self._script:
            hint = f"Enter plays: {said_of(self._script[0], self.case)}".split("\n")[0]
        elif self.case.stop is not None:
            hint = "Say what you did, or type the number of the line that is so"
        elif self.query_one(AnswerBar).choices:
            hint = "Answer in your own words, or with a number; Tab goes into the answers"
        self.query_one(Entry).placeholder = hint

    def show_view(self, view: str) -> None:
        """Bring a view to the front and put the cursor into it."""
        self.view = view
        for name in VIEWS:
            self.set_class(name == view, f"view-{name}")
        wanted = self.query_one(VIEWS[view])
        (wanted if wanted.display and wanted.focusable else self.query_one(Entry)).focus()
        self._show_strips()

    # -- what the person does

    @on(Entry.Sent)
    def _typed(self, event: Entry.Sent) -> None:
        if not event.text.strip():
            self._play()
            return
        choices = self.query_one(AnswerBar).choices
        order = commands.read(event.text, len(choices), any(choice.is_reading for choice in choices))
        if self._correcting is not None and order.kind == "say":
            self._put_right(event.text, self._correcting)
        else:
            self.give(order, typed=event.text)
        self._correcting = None

    @on(Entry.Order)
    def _key_order(self, event: Entry.Order) -> None:
        self.action_order(event.word)

    def action_order(self, word: str) -> None:
        """Carry out a word, from a key."""
        self.give(Order(word), typed=word)

    def give(self, order: Order, typed: str) -> None:
        """Carry out an order, or send what was said."""
        if order.kind in VIEWS or order.kind in ("safety", "transcript"):
            if self.case.stop is None or order.kind in ("talk", "safety"):
                self._go(order.kind)
            else:
                self._note(typed, "First what the screen asks for; the rest is there again afterwards.")
        elif order.kind == "pick":
            self._pick(int(order.text))
        elif (doer := getattr(self, f"_do_{order.kind}", None)) is not None:
            doer(order)
        elif order.kind == "say":
            self._send(Errand(said=typed, typed=typed, build=partial(self._say, typed, self._asked())))
        else:
            self._send_order(order, typed)

    def _go(self, view: str) -> None:
        if view == "safety":
            self.app.push_screen(SafetyScreen(self.case), self._from_safety)
        elif view == "transcript":
            said: list[Piece] = []
            for turn in self.case.turns:
                said += [*pieces(turn), ("", "blank")]
            self.app.push_screen(Reader(self.case, "All that was said", said, at_end=True))
        else:
            self.show_view(view)

    def _do_help(self, order: Order) -> None:
        self.app.push_screen(Reader(self.case, "Help", help_pieces(self.case)))

    def _do_plain(self, order: Order) -> None:
        self.plain = not self.plain
        self.show_case()

    def _do_quit(self, order: Order) -> None:
        self.app.exit()

    def _do_theme(self, order: Order) -> None:
        name = commands.theme_named(order.text)
        if name is None:
            self._note(f"theme {order.text}", "The colours are: dark, light, mono, contrast.")
        else:
            self.app.theme = name

    def _do_copy(self, order: Order) -> None:
        last = next((turn.reply for turn in reversed(self.case.turns) if turn.number and turn.reply), "")
        self.app.copy_to_clipboard(last)
        self._note("copy", "The last reply is in the clipboard." if last else "There is no reply yet.")

    def _send_order(self, order: Order, typed: str) -> None:
        move = order.kind if order.kind in ("undo", "redo") else "tell"
        build = partial(commands.line_for, order, self.case)
        self._send(Errand(said=typed, typed=typed, build=build, move=move))

    def _asked(self) -> str | None:
        return None if self.case.next is None else str(self.case.next["test"])

    def _say(self, text: str, asked: str | None) -> Line:
        line = {"say": text}
        if asked is not None and asked != self._asked():
            line["asked"] = asked
        return line

    @on(Picked)
    def _picked(self, event: Picked) -> None:
        self._pick(event.number)

    def _pick(self, number: int) -> None:
        choices = self.query_one(AnswerBar).choices
        if number == 0 and self.case.next is not None:
            self.query_one(Entry).fill("cannot: ")
        elif 1 <= number <= len(choices):
            choice = choices[number - 1]
            if choice.wants_value:
                self.query_one(Entry).fill(f"{choice.text} ")
            else:
                self._tell(choice, None if self.case.stop is not None else self._asked())

    def _tell(self, choice: Choice, test: str | None) -> None:
        facts = [told(fact) for fact in choice.facts]
        line: Line = {"facts": facts} if test is None else {"answer": {"test": test, "facts": facts}}
        said = choice.text if test is None else f"{self.case.wording.test(test)}: {choice.text}"
        self._send(Errand(said=said, build=lambda: line))

    @on(WhyAsked)
    def _why(self, event: WhyAsked) -> None:
        line = {"ask": {event.ask: event.subject}}
        words = "why not" if event.ask == "why_not" else "why"
        self.show_view("talk")
        self._send(Errand(said=f"{words}: {event.name}", build=lambda: line))

    def _from_safety(self, chosen: Told | None) -> None:
        if chosen is None:
            return
        if chosen.choice is not None:
            self._tell(chosen.choice, None)
        else:
            self._why(WhyAsked("why", chosen.hazard, chosen.name))

    @on(Correct)
    def _correct(self, event: Correct) -> None:
        self.show_view("talk")
        self._correcting = event.fact.id
        self.query_one(Entry).fill(event.fact.words or event.fact.text)

    def _put_right(self, text: str, fact_id: str) -> None:
        line = {"take_back": [fact_id], "say": text}
        self._send(Errand(said=text, typed=text, build=lambda: line))

    @on(TakeBack)
    def _take_back(self, event: TakeBack) -> None:
        line = {"take_back": [event.fact.id]}
        self._send(Errand(said=f"take back: {event.fact.text}", build=lambda: line))

    @on(TypedInList)
    def _typed_in_list(self, event: TypedInList) -> None:
        entry = self.query_one(Entry)
        entry.focus()
        entry.insert(event.character)

    def action_scroll_log(self, pages: int) -> None:
        """Scroll the conversation by a page."""
        log = self.query_one(TurnLog)
        (log.scroll_page_down if pages > 0 else log.scroll_page_up)(animate=False)

    # -- lines out and in

    def _play(self) -> None:
        if self._script:
            line = self._script.popleft()
            self._send(Errand(said=said_of(line, self.case), build=lambda: line))

    def _send(self, errand: Errand) -> None:
        errand.at = self._clock()
        widget = self.query_one(TurnLog).add(Turn(said=errand.said, at=errand.at, waiting=True))
        self._pending[id(errand)] = widget
        self.errands.put(errand)
        self._show_strips()
        self.run_worker(self.errands.work_off(), group="session", exit_on_error=True)

    def _note(self, said: str, text: str) -> None:
        self._send(Errand(said=said, build=lambda: Note(text)))

    def _finished(self, errand: Errand, result: Result) -> None:
        if result.out is not None:
            turn = self.case.take_in(
                errand.line, result.out, errand.said, errand.at, result.standing, errand.move
            )
        else:
            turn = Turn(said=errand.said, at=errand.at, reply=result.note, error=result.error)
            self.case.turns.append(turn)
            if result.error and errand.typed and not self.query_one(Entry).text:
                self.query_one(Entry).fill(errand.typed)
        self._pending.pop(id(errand)).show(turn)
        for screen in self.app.screen_stack:
            if isinstance(screen, GuardedScreen):
                screen.show_case()
        if self.case.stop is not None:
            self._come_to_front()
        elif result.out is not None and "report" in errand.line.get("ask", {}):
            self._show_report()

    def _come_to_front(self) -> None:
        while self.app.screen is not self and len(self.app.screen_stack) > 1:
            self.app.pop_screen()

    def _show_report(self) -> None:
        text = self.case.report or self.case.turns[-1].reply
        said: list[Piece] = [(line, "said") for line in text.split("\n")]
        save = None if self._report_file is None else partial(_write, self._report_file, text)
        self.app.push_screen(Reader(self.case, "Report", said, save=save))


def _write(path: Path, text: str) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path
