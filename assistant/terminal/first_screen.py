"""The first screen: a new case, training, a case to go on with or to replay, a demo."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from assistant.errors import SpringlineError
from assistant.terminal.case_files import OpenCase
from assistant.terminal.lists import TypedInList, WalkedList, heading
from assistant.terminal.plain import one_line
from assistant.terminal.port import Line, Session

if TYPE_CHECKING:
    from assistant.audit.walk import Walk


@dataclass(frozen=True)
class Opened:
    """A case ready to be shown."""

    session: Session
    title: str = ""
    journal_path: Path | None = None
    script: Sequence[Line] = ()
    """Lines of a demo, played one by one."""
    close: Callable[[], None] | None = None
    """Called when the case leaves the screen, for example to close its journal."""
    boat: str = ""
    """Name of the boat whose remembered data a new case begins with."""


@dataclass(frozen=True)
class Doors:
    """What the first screen can open; who starts the program says how."""

    new_case: Callable[[], Opened]
    open_cases: Callable[[], Sequence[OpenCase]] = tuple
    go_on: Callable[[Path], Opened] | None = None
    demos: Sequence[tuple[str, Callable[[], Opened]]] = ()
    look_back: Callable[[Path], Walk] | None = None
    """Opens a recorded case to walk through it."""
    boats: Callable[[], Sequence[str]] = tuple
    """Boats whose data is remembered, the last used first."""
    training: Callable[[], Opened] | None = None


_CAUTION = "Local codes, the unit's own manual and licensed practice come before anything said here."

_TYPED = "Enter opens what is marked; type there what you see."


def _case_row(case: OpenCase) -> Content:
    return Content.assemble(
        f"  {one_line(case.title)}",
        (f"  {one_line(case.boat)}" if case.boat else "", "bold"),
        (f"  {case.when}" if case.when else "", "italic $quiet"),
        f"  {case.said}" if case.said else "",
    )


class DoorList(WalkedList):
    """What can be opened; nothing is typed here."""

    own_keys = frozenset("qr")


class StartScreen(Screen[Opened | None]):
    """A short list to begin with."""

    AUTO_FOCUS = "#doors"
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,q", "leave", "Leave"), Binding("r", "replay", "Replay")]

    def __init__(self, doors: Doors) -> None:
        """Keep the doors."""
        super().__init__()
        self._doors = doors
        self._rows: dict[str, Callable[[], Opened]] = {}
        self._recorded: dict[str, Path] = {}

    def compose(self) -> ComposeResult:
        """Lay out the name, the list and the keys."""
        yield Static("Springline", markup=False, id="start-name")
        yield Static("finds what failed in a DC electric tunnel thruster", markup=False, id="start-line")
        yield DoorList(id="doors")
        yield Static(_CAUTION, markup=False, id="start-caution")
        yield Static(self._keys, markup=False, id="start-keys")

    @property
    def _keys(self) -> str:
        replays = " · r replays a recorded case, step by step" if self._doors.look_back else ""
        return f"↑ ↓ and Enter{replays} · q leaves"

    def on_mount(self) -> None:
        """Fill the list."""
        self._rows = {"new": self._doors.new_case}
        options = [Option("New case", id="new"), *self._boat_options()]
        if self._doors.training is not None:
            self._rows["train"] = self._doors.training
            options.append(Option("Train on a simulated boat, for a score", id="train"))
        options += [*self._case_options(), *self._demo_options(), Option("Leave", id="leave")]
        self.query_one(DoorList).fill(options)
        self.query_one(DoorList).highlighted = 0

    def _boat_options(self) -> list[Option]:
        """Return a row for each remembered boat."""
        options = []
        for place, name in enumerate(self._doors.boats()):
            self._rows[f"boat{place}"] = lambda name=name: replace(self._doors.new_case(), boat=name)  # type: ignore[misc]
            options.append(Option(f"New case of {one_line(name)}", id=f"boat{place}"))
        return options

    def _case_options(self) -> list[Option]:
        """Return a row for each case that can be gone on with."""
        if (go_on := self._doors.go_on) is None:
            return []
        cases = self._doors.open_cases()
        options = [heading("Go on with a case")] if cases else []
        for place, case in enumerate(cases):
            self._rows[f"case{place}"] = partial(go_on, case.path)
            self._recorded[f"case{place}"] = case.path
            options.append(Option(_case_row(case), id=f"case{place}"))
        return options

    def _demo_options(self) -> list[Option]:
        """Return a row for each demo case."""
        options = [heading("Watch a demo case")] if self._doors.demos else []
        for place, (name, demo) in enumerate(self._doors.demos):
            self._rows[f"demo{place}"] = demo
            options.append(Option(f"  {one_line(name)}", id=f"demo{place}"))
        return options

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Open what was chosen, or say why it cannot be opened."""
        door = self._rows.get(event.option_id or "")
        if door is None:
            self.dismiss(None)
        else:
            self.query_one("#start-keys", Static).update("Opening …")
            self.run_worker(self._open(door), group="door", exclusive=True)

    def on_typed_in_list(self, event: TypedInList) -> None:
        """Say that typing comes later; the Enter behind it opens what is marked, as it does without."""
        doors = self.query_one(DoorList)
        if event.sends:
            doors.typed_to_nobody()
            doors.action_select()
        else:
            self.query_one("#start-keys", Static).update(_TYPED)

    async def _open(self, door: Callable[[], Opened]) -> None:
        try:
            self.dismiss(await asyncio.to_thread(door))
        except (SpringlineError, OSError) as error:
            told = f"That case cannot be opened: {one_line(str(error))}"
            self.query_one("#start-keys", Static).update(told)

    def action_replay(self) -> None:
        """Walk through the recorded case that is highlighted, and come back here."""
        path = self._recorded.get(self.query_one(DoorList).chosen or "")
        if self._doors.look_back is None or path is None:
            self.query_one("#start-keys", Static).update("Only a case that is kept can be replayed.")
            return
        self.query_one("#start-keys", Static).update("Opening …")
        self.run_worker(self._look_back(self._doors.look_back, path), group="door", exclusive=True)

    async def _look_back(self, look_back: Callable[[Path], Walk], path: Path) -> None:
        from assistant.terminal.replay_screen import ReplayScreen

        keys = self.query_one("#start-keys", Static)
        try:
            walk = await asyncio.to_thread(look_back, path)
        except (SpringlineError, OSError) as error:
            keys.update(f"That case cannot be opened: {one_line(str(error))}")
            return
        keys.update(self._keys)
        self.app.push_screen(ReplayScreen(walk))

    def action_leave(self) -> None:
        """Leave the program."""
        self.dismiss(None)
