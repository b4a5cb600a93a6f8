"""Where replay and audit get their sessions from: the rules of the day where they are kept, else today's."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from assistant.audit.editions import find_edition
from assistant.audit.judge import Desk
from assistant.audit.knowledge_names import KnowledgeNames
from assistant.audit.lore import RuleBaseLore
from assistant.audit.names import SafeNames
from assistant.diagnosis.diagnose import Diagnoser
from assistant.errors import JournalError
from assistant.journal.resume import language_of
from assistant.knowledge.base import Knowledge, load, load_from
from assistant.knowledge.tongue import BASE
from assistant.language import load_words
from assistant.session import Session


class Bench:
    """One rule base with what sessions under it can share, so that each begins at once."""

    def __init__(self, knowledge: Knowledge) -> None:
        """Build what is shared."""
        self.knowledge = knowledge
        self._diagnoser = Diagnoser(knowledge)
        self._words = load_words(knowledge.tongue.language)

    def begin(self, header: Mapping[str, Any]) -> Session:
        """A fresh session that begins as a header recorded.

        Raises:
            JournalError: The header names no role that a session can have.
        """
        at, role = header.get("at"), str(header.get("role"))
        told = at if isinstance(at, str) else None
        try:
            return Session(self.knowledge, role, at=told, diagnoser=self._diagnoser, words=self._words)
        except ValueError as error:
            raise JournalError(f"this journal cannot be run again: {error}") from error

    def desk(self, edition: str) -> Desk:
        """The desk that an audit judges with."""
        names = SafeNames(KnowledgeNames(self.knowledge))
        return Desk(self.begin, RuleBaseLore(self.knowledge), names, edition)


@cache
def today(language: str = BASE) -> Bench:
    """The bench with the rules of today, in the language of a case."""
    return Bench(load(language))


def desk_for(header: Mapping[str, Any], folder: Path) -> Desk:
    """The desk for a journal: under the rules of its day where they are found by their fingerprint.

    Raises:
        SpringlineError: The rules cannot be read.
    """
    return _desk(str(header.get("rules")), folder, language_of(header))


@lru_cache(maxsize=8)
def _desk(rules: str, folder: Path, language: str) -> Desk:
    knowledge = knowledge_for(rules, folder, language)
    edition = "day" if knowledge.fingerprint == rules else "today"
    return (today(language) if knowledge is load(language) else Bench(knowledge)).desk(edition)


def knowledge_for(rules: str, folder: Path, language: str = BASE) -> Knowledge:
    """The rule base with a fingerprint where it is kept in a folder, else that of today.

    Raises:
        KnowledgeError: A rule base cannot be read.
    """
    kept = find_edition(rules, (folder,)) if rules != load(language).fingerprint else None
    return load(language) if kept is None else load_from(kept, language)


def today_desk(header: Mapping[str, Any], folder: Path) -> Desk:
    """The desk with the rules of today, whatever the journal was recorded with."""
    language = language_of(header)
    return today(language).desk("day" if header.get("rules") == load(language).fingerprint else "today")
