"""Ways into a case: a new one, a recorded one; shared by all front ends."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from assistant.audit.editions import keep_edition
from assistant.audit.replay import refeed
from assistant.errors import JournalError
from assistant.journal import Journal
from assistant.journal.resume import resume
from assistant.journal.turn import turn_of
from assistant.knowledge import load
from assistant.session import Session


def begin(role: str, path: Path | None) -> tuple[Session, Journal | None]:
    """A new case, recorded in a file when one is named."""
    knowledge = load()
    session = Session(knowledge, role)
    if path is None:
        return session, None
    journal = Journal.create(path, session.header())
    session.keep_in(journal)
    with suppress(JournalError):
        keep_edition(path.parent)  # the rules of the day, for later judges; a case goes on without them
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
