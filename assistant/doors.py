"""What the first screen can open: a new case, one to go on with, a demo."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from assistant.begin import begin, go_on
from assistant.demos import Typed, demo_files, read_typed
from assistant.errors import JournalError
from assistant.knowledge import BASE, load
from assistant.session import Session

if TYPE_CHECKING:
    from assistant.audit.walk import Walk
    from assistant.terminal.first_screen import Doors, OpenCase, Opened


def cases_folder() -> Path:
    """Where cases are kept when no file is named: the platform's usual place for data."""
    from platformdirs import user_data_path

    return user_data_path("springline") / "cases"


def doors(role: str, language: str = BASE) -> Doors:
    """What the first screen can open."""
    from assistant.terminal import Doors, Opened, cases_in
    from assistant.terminal.boats import Boats

    def new_case() -> Opened:
        folder = cases_folder()
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / f"{datetime.now(UTC):%Y-%m-%d_%H%M%S}_{os.getpid()}.jsonl"
        session, journal = begin(role, path, language)
        return Opened(session, journal_path=path, close=journal.close if journal else _nothing)

    def resumed(path: Path) -> Opened:
        session, journal, _ = go_on(path)
        return Opened(session, path.stem.replace("_", " "), path, close=journal.close)

    def look_back(path: Path) -> Walk:
        from assistant.audit.walk import open_walk

        return open_walk(path)

    typed = [read_typed(path) for path in demo_files(language) or demo_files()]
    demos: list[tuple[str, Callable[[], Opened]]] = [(one.title, partial(demo, one)) for one in typed]
    boats = Boats()

    def open_cases() -> list[OpenCase]:
        return [replace(case, boat=boats.of_case(case.path.stem)) for case in cases_in(cases_folder())]

    return Doors(new_case, open_cases, resumed, demos, look_back, boats.names, training)


def demo(typed: Typed) -> Opened:
    """A demo case ready to be played in the terminal, line by line."""
    from assistant.terminal.first_screen import Opened

    return Opened(Session(load(typed.language), typed.role), typed.title, None, typed.lines)


def training() -> Opened:
    """A drawn case on the simulated boat; nothing of it is kept."""
    import secrets

    from assistant.terminal.first_screen import Opened
    from assistant.train.data import say
    from assistant.train.draw import SEEDS, draw_case
    from assistant.train.session import TrainingSession

    knowledge = load()
    seed = secrets.randbelow(SEEDS)
    case = draw_case(knowledge, seed)
    session = TrainingSession(case, knowledge)
    session.begin()
    return Opened(session, say("title", boat=case.boat, seed=seed))


def chosen_demo(name: str, language: str = BASE) -> Typed:
    """The demo of this name in a language, or the first whose name holds it.

    Raises:
        JournalError: There is none; those that are there are named.
    """
    there = demo_files(language)
    found = [path for path in there if name in path.name]
    if not found:
        known = ", ".join(path.name.removesuffix(".said.txt") for path in there) or "none came along"
        raise JournalError(f"there is no demo {name!r}; there are: {known}")
    return read_typed(found[0])


def _nothing() -> None:
    """Close nothing."""
