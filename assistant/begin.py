"""Ways into a case: a new one, a recorded one; shared by all front ends."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from assistant.audit.editions import keep_edition
from assistant.audit.replay import refeed
from assistant.errors import JournalError
from assistant.journal import Journal
from assistant.journal.resume import language_of, resume
from assistant.journal.turn import turn_of
from assistant.knowledge import BASE, load
from assistant.session import Session


def begin(role: str, path: Path | None, language: str = BASE) -> tuple[Session, Journal | None]:
    """A new case, recorded in a file when one is named."""
    knowledge = load(language)
    session = Session(knowledge, role)
    if path is None:
        return session, None
    journal = Journal.create(path, session.header())
    session.keep_in(journal)
    with suppress(JournalError):
        # the rules of the day, for later judges; a case goes on without them
        keep_edition(path.parent, language=language)
    return session, journal


def go_on(path: Path) -> tuple[Session, Journal, Sequence[str]]:
    """A recorded case at its last turn, with notes on what had to be put right in the file."""
    resumed = resume(path)
    try:
        session = Session(load(language_of(resumed.header)), str(resumed.header.get("role", "technician")))
        refeed(resumed.header, [turn_of(e) for e in resumed.turns], session)
    except BaseException:
        resumed.journal.close()
        raise
    session.keep_in(resumed.journal)
    return session, resumed.journal, resumed.notes
