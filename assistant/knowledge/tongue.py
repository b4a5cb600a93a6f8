"""The language of a case: what is said in it, from its folder `rules/words/LANGUAGE/texts/`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources.abc import Traversable
from typing import Any

from assistant.errors import KnowledgeError
from assistant.knowledge.reader import read_yaml, rules_folder

BASE = "en"
"""The language in which the rule base itself is written; what another one lacks is said in this one."""


@dataclass(frozen=True)
class Tongue:
    """One language, as far as the assistant speaks it."""

    language: str
    replies: Mapping[str, Any]
    """The sentences of the assistant; those that the language lacks are in the base language."""


def languages(folder: Traversable | None = None) -> tuple[str, ...]:
    """The languages that have a folder, in one fixed order."""
    found = ((folder or rules_folder()) / "words").iterdir()
    return tuple(sorted(entry.name for entry in found if entry.is_dir()))


def read_tongue(folder: Traversable, language: str) -> Tongue:
    """Read what is said in a language.

    Args:
        folder: The rule base.
        language: The name of its folder under `words/`.

    Raises:
        KnowledgeError: There is no such language, or one of its files is malformed.
    """
    if language not in languages(folder):
        known = ", ".join(languages(folder))
        raise KnowledgeError(f"there is no language {language!r}; there are: {known}", "words")
    return Tongue(language, {**_replies(folder, BASE), **_replies(folder, language)})


def _replies(folder: Traversable, language: str) -> Mapping[str, Any]:
    name = f"words/{language}/texts/replies.yaml"
    found: Mapping[str, Any] = read_yaml(folder / name, name)
    return found
