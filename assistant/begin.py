"""Ways into a case: a new one, a recorded one; shared by all front ends."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from assistant.audit.carry import go_on_with
from assistant.audit.editions import keep_edition
from assistant.errors import JournalError
from assistant.journal import Journal
from assistant.journal.resume import language_of, resume
from assistant.journal.turn import stretches
from assistant.knowledge import BASE, load
from assistant.knowledge.counts import counted, counts_in, read_counts
from assistant.session import Session


def begin(
    role: str, path: Path | None, language: str = BASE, priors: Path | None = None
) -> tuple[Session, Journal | None]:
    """A new case, recorded in a file when one is named, with the priors of a fleet's counts when such a file is."""
    knowledge = load(language)
    knowledge = counted(knowledge, read_counts(priors, knowledge)) if priors else knowledge
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
    """A recorded case at its last turn, with notes on what had to be put right, and under which rules it goes on."""
    resumed = resume(path)
    try:
        header, language = resumed.header, language_of(resumed.header)
        begun = header.get("at")
        role = str(header.get("role", "technician"))
        knowledge = counted(load(language), counts_in(header))
        session = Session(knowledge, role, at=begun if isinstance(begun, str) else None)
        notes = go_on_with(stretches(header, resumed.entries), session, resumed.journal)
        with suppress(JournalError):
            keep_edition(path.parent, language=language)
    except BaseException:
        resumed.journal.close()
        raise
    return session, resumed.journal, (*resumed.notes, *notes)
