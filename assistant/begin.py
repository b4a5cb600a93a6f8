"""Ways into a case: a new one, a recorded one, a demo; shared by all front ends."""

from __future__ import annotations

import os
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from assistant.audit.replay import refeed
from assistant.errors import JournalError
from assistant.journal import Journal, check, read_bytes
from assistant.journal.resume import header_of, resume
from assistant.journal.turn import turn_of, turns
from assistant.knowledge import load
from assistant.session import Session

if TYPE_CHECKING:
    from assistant.terminal.start import Doors, Opened

DEMOS = Path(__file__).resolve().parent.parent / "transcripts_demo"


def begin(role: str, path: Path | None) -> tuple[Session, Journal | None]:
    """A new case, recorded in a file when one is named."""
    knowledge = load()
    session = Session(knowledge, role)
    if path is None:
        return session, None
    journal = Journal.create(path, session.header())
    session.keep_in(journal)
    return session, journal


def go_on(path: Path) -> tuple[Session, Journal, Sequence[str]]:
    """A recorded case at its last turn, with notes on what had to be put right in the file."""
    resumed = resume(path)
    try:
        session = Session(load(), str(resumed.header.get("role", "technician")))
        refeed(resumed.header, [turn_of(e) for e in resumed.turns], session)
    except BaseException:
        resumed.journal.close()
        raise
    session.keep_in(resumed.journal)
    return session, resumed.journal, resumed.notes


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
        session, _ = begin(role, path)
        return Opened(session, journal_path=path)

    def resumed(path: Path) -> Opened:
        session, _, _ = go_on(path)
        return Opened(session, path.stem.replace("_", " "), path)

    demos = [(name, lambda p=path: demo(p)) for name, path in demo_cases()]
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
