"""What the first screen can open: a new case, one to go on with, a demo."""

from __future__ import annotations

from collections.abc import Callable
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
    from assistant.terminal.case_files import OpenCase
    from assistant.terminal.first_screen import Doors, Opened


def doors(role: str, language: str = BASE, priors: Path | None = None) -> Doors:
    """What the first screen can open; new cases begin with the priors of a fleet's counts when such a file is named."""
    from assistant.terminal import Doors, Opened, cases_in
    from assistant.terminal.boats import Boats
    from assistant.terminal.case_files import new_id
    from assistant.terminal.settings import case_folder

    def new_case() -> Opened:
        folder = case_folder()
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / f"{new_id()}.jsonl"
        session, journal = begin(role, path, language, priors)
        return Opened(session, journal_path=path, close=journal.close if journal else None)

    def resumed(path: Path) -> Opened:
        session, journal, _ = go_on(path)
        return Opened(session, journal_path=path, close=journal.close)

    def look_back(path: Path) -> Walk:
        from assistant.audit.walk import open_walk

        return open_walk(path)

    typed = [read_typed(path) for path in demo_files(language) or demo_files()]
    demos: list[tuple[str, Callable[[], Opened]]] = [(one.title, partial(demo, one)) for one in typed]
    boats = Boats()

    def open_cases() -> list[OpenCase]:
        return cases_in(case_folder(), boats.by_case())

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
