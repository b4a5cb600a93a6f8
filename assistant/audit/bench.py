"""Where an audit gets its sessions from: the rules of the day where they are kept, else those of today."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from assistant.audit.editions import find_edition
from assistant.audit.judge import Desk
from assistant.audit.knowledge_names import KnowledgeNames
from assistant.audit.lore import RuleBaseLore
from assistant.audit.names import SafeNames
from assistant.audit.replay import Session
from assistant.errors import JournalError
from assistant.knowledge.base import Knowledge, load, load_from


def fresh_session(header: Mapping[str, Any], knowledge: Knowledge | None = None) -> Session:
    """A session in the role that a header recorded, with the rules of today unless others are given.

    Raises:
        JournalError: The header names no role that a session can have.
    """
    from assistant.session import Session as Today

    try:
        return Today(knowledge or load(), role=str(header.get("role")))
    except ValueError as error:
        raise JournalError(f"this journal cannot be run again: {error}") from error


def desk_for(header: Mapping[str, Any], folder: Path) -> Desk:
    """The desk for a journal: under the rules of its day where they are found by their fingerprint.

    Raises:
        SpringlineError: The rules cannot be read.
    """
    knowledge, edition = _rules(str(header.get("rules")), folder)
    names = SafeNames(KnowledgeNames(knowledge))
    return Desk(lambda recorded: fresh_session(recorded, knowledge), RuleBaseLore(knowledge), names, edition)


@lru_cache(maxsize=4)
def _rules(rules: str, folder: Path) -> tuple[Knowledge, str]:
    today = load()
    if rules == today.fingerprint:
        return today, "day"
    kept = find_edition(rules, (folder,))
    return (load_from(kept), "day") if kept is not None else (today, "today")


def today_desk(header: Mapping[str, Any], folder: Path) -> Desk:
    """The desk with the rules of today, whatever the journal was recorded with."""
    knowledge = load()
    edition = "day" if header.get("rules") == knowledge.fingerprint else "today"
    names = SafeNames(KnowledgeNames(knowledge))
    return Desk(lambda recorded: fresh_session(recorded, knowledge), RuleBaseLore(knowledge), names, edition)
