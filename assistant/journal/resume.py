"""Go on with a case: its journal open for writing, and the lines that bring a session to its last turn."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from assistant.errors import JournalError
from assistant.journal.files import Journal
from assistant.journal.verify import Checked, Entry


@dataclass(frozen=True)
class Resumed:
    """A journal that is open for writing, and what a fresh session is to be fed first."""

    journal: Journal
    header: Mapping[str, Any]
    entries: tuple[Entry, ...]

    @property
    def turns(self) -> tuple[Entry, ...]:
        """The turns, in their order."""
        return tuple(entry for entry in self.entries if entry.body.get("kind") == "turn")

    @property
    def lines(self) -> tuple[dict[str, Any], ...]:
        """The lines in, in their order, each with its recorded time and speaker."""
        return tuple(line_of(turn) for turn in self.turns)

    @property
    def notes(self) -> tuple[str, ...]:
        """What had to be put right in the file, in sentences for the person."""
        return self.journal.notes


def resume(path: str | Path) -> Resumed:
    """Open a journal to go on with its case.

    Raises:
        JournalError: The file is missing, in use, altered, or of another format.
    """
    journal, checked = Journal.open(path)
    try:
        return Resumed(journal, header_of(checked), checked.entries)
    except BaseException:
        journal.close()
        raise


def header_of(checked: Checked) -> Mapping[str, Any]:
    """The header entry of a checked journal.

    Raises:
        JournalError: There is none, or it is of a format that this program does not know.
    """
    header = next((e.body for e in checked.entries if e.body.get("kind") == "case"), None)
    if header is None:
        raise JournalError("this is not the journal of a case")
    if header.get("format") != 1:
        raise JournalError(f"this journal has format {header.get('format')!r}; this program reads format 1")
    return header


def language_of(header: Mapping[str, Any]) -> str:
    """The language in which a case was held; the oldest journals, which name none, are all in English."""
    return str(header.get("language", "en"))


def line_of(turn: Entry) -> dict[str, Any]:
    """The line in that a turn recorded, with its time and speaker, as a session takes it again."""
    line = turn.body.get("line")
    out = dict(line) if isinstance(line, Mapping) else {}
    for key in ("at", "by"):
        if key in turn.body:
            out.setdefault(key, turn.body[key])
    return out
