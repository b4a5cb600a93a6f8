"""What the first screen can open: a new case, one to go on with, a demo."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from assistant.begin import begin, go_on
from assistant.errors import JournalError
from assistant.journal import check, read_bytes
from assistant.journal.resume import header_of
from assistant.journal.turn import turns
from assistant.knowledge import load
from assistant.session import Session

if TYPE_CHECKING:
    from assistant.terminal.first_screen import Doors, Opened

DEMOS = Path(__file__).resolve().parent.parent / "transcripts_demo"


def cases_folder() -> Path:
    """Where cases are kept when no file is named: the platform's usual place for data."""
    from platformdirs import user_data_path

    return user_data_path("springline") / "cases"


def doors(role: str) -> Doors:
    """What the first screen can open."""
    from assistant.terminal import Doors, Opened, cases_in

    def new_case() -> Opened:
        folder = cases_folder()
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / f"{datetime.now(UTC):%Y-%m-%d_%H%M%S}_{os.getpid()}.jsonl"
        session, journal = begin(role, path)
        return Opened(session, journal_path=path, close=journal.close if journal else _nothing)

    def resumed(path: Path) -> Opened:
        session, journal, _ = go_on(path)
        return Opened(session, path.stem.replace("_", " "), path, close=journal.close)

    demos: list[tuple[str, Callable[[], Opened]]] = [(name, partial(demo, path)) for name, path in demo_cases()]
    return Doors(new_case, lambda: cases_in(cases_folder()), resumed, demos)


def demo_cases(folder: Path = DEMOS) -> list[tuple[str, Path]]:
    """The demo cases that came with the program, by name."""
    if not folder.is_dir():
        return []
    return [(path.stem.partition("_")[2].replace("_", " "), path) for path in sorted(folder.glob("*.jsonl"))]


def demo(path: Path) -> Opened:
    """A demo case ready to be played in the terminal, line by line.

    Raises:
        JournalError: The demo's journal is not whole.
    """
    from assistant.terminal import Opened

    checked = check(read_bytes(path))
    if checked.problems:
        raise JournalError(f"the demo {path.name} is not whole: {checked.problems[0]}")
    session = Session(load(), str(header_of(checked).get("role", "technician")))
    return Opened(session, path.stem.partition("_")[2].replace("_", " "), None, [t.line for t in turns(checked)])


def _nothing() -> None:
    """Close nothing."""
