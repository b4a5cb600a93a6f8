"""Every error the program raises on purpose, and what each is for.

SpringlineError
├── KnowledgeError   the rule base cannot be used: file, line and what would be right
├── LineError        one line of the conversation cannot be taken; carries a closed code
├── JournalError     a journal cannot be read, trusted or written
│   └── JournalBusyError  another session is writing in it
└── EngineError      a rule is malformed or one of its actions failed
"""

from __future__ import annotations

from typing import Literal

LineCode = Literal[
    "not_json",
    "not_an_object",
    "unknown_key",
    "wrong_type",
    "empty_line",
    "unknown_fact",
    "unknown_test",
    "unknown_fault",
    "unknown_ask",
    "bad_time",
    "closed",
    "too_long",
    "engine",
    "journal",
]
"""The closed list of codes an error object may carry; each is described in DEVELOPERS.md."""


class SpringlineError(Exception):
    """Base of all errors raised on purpose; the text is fit to be shown to the person."""

    exit_code = 1


class KnowledgeError(SpringlineError):
    """The rule base cannot be used."""

    exit_code = 2

    def __init__(self, text: str, place: str = "") -> None:
        """Keep the text and the `file:line` it points to."""
        super().__init__(f"{place}: {text}" if place else text)
        self.text = text
        self.place = place


class LineError(SpringlineError):
    """One line of the conversation cannot be taken; nothing has changed."""

    def __init__(self, code: LineCode, text: str) -> None:
        """Keep the closed code and the sentence for the person."""
        super().__init__(text)
        self.code = code
        self.text = text


class JournalError(SpringlineError):
    """A journal cannot be read, trusted or written."""


class JournalBusyError(JournalError):
    """Another session is writing in the journal."""


class EngineError(SpringlineError):
    """A rule is malformed, or one of its actions failed."""
