"""The screen of a case: it sends lines to the session and shows what comes back."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import partial
from pathlib import Path

from textual import on

from assistant.folding import place_of
from assistant.terminal import commands
from assistant.terminal.answers import AnswerBar, Choice, Picked
from assistant.terminal.boat_form import BoatForm, Filled
from assistant.terminal.boat_keeping import BoatKeeping
from assistant.terminal.case_layout import VIEWS, CaseLayout
from assistant.terminal.case_rows import Turn, report_in, told
from assistant.terminal.commands import Note, Order
from assistant.terminal.deeds import Deed
from assistant.terminal.entry import Entry
from assistant.terminal.errands import Errand, Errands, Result
from assistant.terminal.guarded import GuardedScreen
from assistant.terminal.help_text import help_pieces
from assistant.terminal.known import Correct, TakeBack
from assistant.terminal.lists import TypedInList
from assistant.terminal.palette import Palette
from assistant.terminal.port import Line, Session, reasons_of, restoring_of
from assistant.terminal.reader import Reader
from assistant.terminal.reasons import reason_pieces
from assistant.terminal.safety import SafetyScreen, Told
from assistant.terminal.spoken import said_of
from assistant.terminal.strips import KeyStrip
from assistant.terminal.suspects import WhyAsked
from assistant.terminal.turns import Piece, TurnLog, TurnWidget, pieces

_CANNOT_SAY = "If it cannot be done here, say so with 0, or cannot: and the reason; another way is looked for."


class CaseScreen(CaseLayout):
    """One open case."""

    def __init__(
        self,
        session: Session,
        *,
        title: str = "",
        clock: Callable[[], str] = lambda: "",
        script: Sequence[Line] = (),
        report_file: Path | None = None,
        boat: BoatKeeping | None = None,
    ) -> None:
        """Open a case.

        Args:
            session: what takes the lines.
            title: of the case, for the top line.
            clock: time of day for display.
            script: lines of a demo, played one by one with Enter.
            report_file: where the report is saved when the person wants it.
            boat: ties the case to a boat whose data is remembered.
        """
        super().__init__(session, title, script)
        self._clock = clock
        self._report_file = report_file
        self._boat = boat or BoatKeeping()
        self.errands = Errands(session, self._finished, self._drawn)
        self._pending: dict[int, TurnWidget] = {}
        self._correcting: str | None = None

    @property
    def waiting(self) -> int:
        """How many lines wait for the session."""
        return len(self.errands)

    async def begin(self) -> None:
        """Show what was said before; tell a new case what is known of its boat."""
        await super().begin()
        if not self.case.turn and (line := self._boat.first_line()) is not None:
            self._send(Errand(said=f"boat data of {self._boat.name}", build=lambda: line))

    async def _drawn(self) -> None:
        """Wait until the screen has been drawn, a tenth of a second at most."""
        drawn = asyncio.Event()
        self.call_after_refresh(drawn.set)
        with suppress(TimeoutError):
            await asyncio.wait_for(drawn.wait(), 0.1)

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

    @on(Entry.Near)
    def _near(self, event: Entry.Near) -> None:
        self.query_one(KeyStrip).offer(event.offers)

    def action_order(self, word: str) -> None:
        """Carry out a word, from a key."""
        self.give(Order(word), typed=word)

    def action_palette(self) -> None:
        """List all that can be done now."""
        self.app.push_screen(Palette(self.case, bool(self._script)), self._from_palette)

    def _from_palette(self, deed: Deed | None) -> None:
        if deed is None:
            return
        if deed.begins:
            self.query_one(Entry).fill(deed.typed)
        else:
            self.post_message(Entry.Sent(deed.typed))

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
        elif order.kind == "say" and (number := place_of(typed, (c.text for c in self.query_one(AnswerBar).choices))):
            self._pick(number)
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

    def _do_boat(self, order: Order) -> None:
        self.app.push_screen(BoatForm(self.case, self._boat.name), self._from_form)

    def _from_form(self, filled: Filled | None) -> None:
        if filled is None:
            return
        line = self._boat.fill(filled)
        if line is None:
            self._boat.remember(self.case)
        else:
            self._send(Errand(said="boat data", build=lambda: line))

    def _do_do(self, order: Order) -> None:
        self.action_palette()

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
        self.set_focus(self.query_one(Entry))
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
        self.run_worker(self._look_up(event), group="reasons", exclusive=True)

    def action_why_question(self) -> None:
        """Show the reasons for the question that stands."""
        if self.case.stop is None and self.case.next is not None:
            test = str(self.case.next["test"])
            why = str(self.case.next.get("why") or "")
            self.post_message(WhyAsked("why_ask", test, self.case.wording.test(test), why))

    async def _look_up(self, event: WhyAsked) -> None:
        """Show all reasons at once; where the session cannot look them up, ask for them in a line."""
        found = await self.errands.look(partial(reasons_of, self._session, event.subject))
        if found is None:
            self._ask_why(event)
        elif self.case.stop is None:
            asked = event.ask == "why_ask"
            said = reason_pieces(
                found, self.case.wording, event.otherwise if asked else "", _CANNOT_SAY if asked else ""
            )
            self.app.push_screen(Reader(self.case, f"Reasons: {event.name}", said))

    def _ask_why(self, event: WhyAsked) -> None:
        line = {"ask": {event.ask: event.subject}}
        words = "why not" if event.ask == "why_not" else "why"
        self.show_view("talk")
        said = f"{words}: {event.name}"
        self._send(Errand(said=said, build=lambda: line, otherwise=event.otherwise))

    def _from_safety(self, chosen: Told | None) -> None:
        if chosen is None:
            return
        if chosen.choice is not None:
            self._tell(chosen.choice, None)
        else:
            self._why(WhyAsked("why", chosen.hazard, chosen.name, f"{chosen.name} It stands {chosen.more}"))

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
        self.set_focus(entry)
        if event.sends:
            entry.send()
        else:
            entry.insert(event.character)

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
        self.show_strips()
        self.run_worker(self.errands.work_off(), group="session", exit_on_error=True)

    def _note(self, said: str, text: str) -> None:
        self._send(Errand(said=said, build=lambda: Note(text)))

    def _finished(self, errand: Errand, result: Result) -> None:
        if result.out is not None:
            self.case.restoring = restoring_of(self._session)
            turn = self.case.take_in(errand.line, result.out, errand.said, errand.at, result.standing, errand.move)
            self._boat.remember(self.case)
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
        elif result.out is not None and report_in(result.out):
            self._show_report()

    def _come_to_front(self) -> None:
        while self.app.screen is not self and len(self.app.screen_stack) > 1:
            self.app.pop_screen()

    def _show_report(self) -> None:
        text = self.case.report
        said = [_heading_or_text(line) for line in text.split("\n")]
        save = None if self._report_file is None else partial(self._save, self._report_file, text)
        self.app.push_screen(Reader(self.case, "Report", said, save=save))

    def _save(self, path: Path, text: str) -> Path:
        """Save a text here, and hand it to the browser where there is one."""
        _write(path, text)
        if self.app.is_web:
            self.app.deliver_text(path, open_method="download", mime_type="text/markdown")
        return path


def _heading_or_text(line: str) -> Piece:
    """Return a line of the report as it is read; the file keeps the marks of its headings."""
    return (line.lstrip("# "), "who") if line.startswith("#") else (line, "said")


def _write(path: Path, text: str) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path
