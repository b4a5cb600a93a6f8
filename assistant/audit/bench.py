"""Where replay and audit get their sessions from: the rules of the day where they are kept, else today's."""

from __future__ import annotations

import zipfile
from collections.abc import Mapping
from functools import cache
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any

from assistant.audit.conclude import Conclusions
from assistant.audit.editions import find_edition
from assistant.audit.judge import Desk
from assistant.audit.knowledge_names import KnowledgeNames
from assistant.audit.lore import RuleBaseLore
from assistant.audit.names import SafeNames
from assistant.diagnosis.diagnose import Diagnoser
from assistant.errors import JournalError
from assistant.journal.resume import language_of
from assistant.knowledge.base import Knowledge, load, load_from
from assistant.knowledge.counts import counted, counts_in
from assistant.knowledge.tongue import BASE
from assistant.language import load_words
from assistant.session import Session

_FOLDERS_UP = 2
"""How many folders above that of a journal are looked into for the rules of its day."""
_KEPT = 4
_kept: dict[str, Bench] = {}
"""The last rule bases of other days by fingerprint; each costs memory that the engine does not give back."""


class Bench:
    """One rule base with what sessions under it can share, so that each begins at once."""

    def __init__(self, knowledge: Knowledge, folder: Traversable | None = None) -> None:
        """Build what is shared.

        Args:
            knowledge: The rule base.
            folder: Where it was read from; that of the program by default.
        """
        self.knowledge = knowledge
        self._diagnoser = Diagnoser(knowledge)
        self._folder = folder
        self._words = load_words(knowledge.tongue.language, folder)
        self._counted: dict[str, Bench] = {}
        """The last one with a fleet's counts: the conclusions are the same, the shares are not."""

    def begin(self, header: Mapping[str, Any]) -> Session:
        """A fresh session that begins as a header recorded.

        Raises:
            JournalError: The header names no role that a session can have.
        """
        if header.get("fleet") and self.knowledge.counts is None:
            return self._counting(header).begin(header)
        at, role = header.get("at"), str(header.get("role"))
        told = at if isinstance(at, str) else None
        try:
            return Session(self.knowledge, role, at=told, diagnoser=self._diagnoser, words=self._words)
        except ValueError as error:
            raise JournalError(f"this journal cannot be run again: {error}") from error

    def _counting(self, header: Mapping[str, Any]) -> Bench:
        """The bench with the priors that a fleet's counts gave this case."""
        counts = counts_in(header)
        key = str(counts)
        if key not in self._counted:
            self._counted = {key: Bench(counted(self.knowledge, counts), self._folder)}
        return self._counted[key]

    def conclusions(self) -> Conclusions:
        """A fresh case of which only the conclusions are drawn."""
        return Conclusions(self.knowledge, self._diagnoser)

    def desk(self, edition: str) -> Desk:
        """The desk that an audit judges with."""
        names = SafeNames(KnowledgeNames(self.knowledge))
        return Desk(self.begin, RuleBaseLore(self.knowledge), names, edition, self.conclusions)


@cache
def today(language: str = BASE) -> Bench:
    """The bench with the rules of today, in the language of a case."""
    return Bench(load(language))


def bench_for(header: Mapping[str, Any], folder: Path) -> Bench:
    """The bench with the rules that a header names where they are kept, else that of today.

    Args:
        header: The recorded header.
        folder: That of the journal; the rules may be kept in it or a little above it.

    Raises:
        KnowledgeError: A rule base cannot be read.
    """
    rules, language = str(header.get("rules")), language_of(header)
    if rules == load(language).fingerprint:
        return today(language)
    if rules not in _kept:
        held = _held(rules, folder)
        if held is None:
            return today(language)
        while len(_kept) >= _KEPT:
            del _kept[next(iter(_kept))]
        _kept[rules] = Bench(load_from(held, language), held)
    return _kept[rules]


def knowledge_for(rules: str, folder: Path, language: str = BASE) -> Knowledge:
    """The rule base alone, where no session is wanted; see `bench_for`.

    Raises:
        KnowledgeError: A rule base cannot be read.
    """
    held = _held(rules, folder) if rules != load(language).fingerprint else None
    return load(language) if held is None else load_from(held, language)


def _held(rules: str, folder: Path) -> zipfile.Path | None:
    return find_edition(rules, (folder, *folder.absolute().parents[:_FOLDERS_UP]))


def desk_for(header: Mapping[str, Any], folder: Path) -> Desk:
    """The desk for a journal: under the rules of its day where they are found by their fingerprint.

    Raises:
        SpringlineError: The rules cannot be read.
    """
    bench = bench_for(header, folder)
    return bench.desk("day" if bench.knowledge.fingerprint == header.get("rules") else "today")


def today_desk(header: Mapping[str, Any], folder: Path) -> Desk:
    """The desk with the rules of today, whatever the journal was recorded with."""
    language = language_of(header)
    return today(language).desk("day" if header.get("rules") == load(language).fingerprint else "today")
