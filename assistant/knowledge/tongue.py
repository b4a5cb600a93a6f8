"""The language of a case: what is said in it, from its folder `rules/words/LANGUAGE/texts/`.

The rule base itself is written in the base language. Another language says its sentences in a list that goes from
the sentence of the base language to its own: a sentence that was changed since is no longer found there, and is
then said in the base language rather than wrongly.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from importlib.resources.abc import Traversable
from typing import Any

from assistant.errors import KnowledgeError
from assistant.knowledge.reader import read_yaml, rules_folder

BASE = "en"
"""The language in which the rule base itself is written; what another one lacks is said in this one."""

TOLD = frozenset(
    {
        *("text", "plain", "name", "means", "because", "asks", "words", "clear_text", "stop_text", "verify_text"),
        *("first_before_run", "workshop", "check_cause", "parts", "besides", "tools", "cautions", "risks"),
    }
)
"""Keys of the rule base under which stands what people read."""

_POINT = re.compile(r"(?<=\d)\.(?=\d)")

_NAMED = ("parts", "attributes", "circumstances", "values", "tests", "units")


@dataclass(frozen=True)
class Tongue:
    """One language, as far as the assistant speaks it."""

    language: str
    replies: Mapping[str, Any]
    """The sentences of the assistant; those that the language lacks are in the base language."""
    sentences: Mapping[str, str] = field(default_factory=dict)
    """Sentence of the rule base → the same in this language."""
    names: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    """Names by id: parts, attributes, circumstances, values (alone or as `attribute.value`), tests, units."""

    def say(self, text: str) -> str:
        """A sentence of the rule base in this language, as far as it has one."""
        return self.sentences.get(text, text)

    def told(self, value: Any, key: str = "") -> Any:
        """An entry of the rule base with all that people read in this language."""
        if not self.sentences:
            return value
        if isinstance(value, str):
            return self.say(value) if key in TOLD else value
        if isinstance(value, list | tuple):
            return [self.told(v, key) for v in value]
        return {k: self.told(v, k) for k, v in value.items()} if isinstance(value, Mapping) else value

    def name(self, kind: str, key: str) -> str:
        """The name of an id; where the language has none, the id spelt as words."""
        return str(self.names.get(kind, {}).get(key) or key.replace("_", " "))

    def value(self, what: str, value: str) -> str:
        """The name of one of the values that an attribute may have."""
        return str(self.names.get("values", {}).get(f"{what}.{value}") or self.name("values", value))

    def number(self, text: str) -> str:
        """A text whose figures are written as the language writes them."""
        return _POINT.sub(str(self.replies["decimal"]), text)

    def renamed(self, kind: str, entries: Mapping[str, Any]) -> dict[str, Any]:
        """Parts, attributes or circumstances with their names in this language."""
        names = self.names.get(kind, {})
        return {key: {**entry, **names.get(key, {})} for key, entry in entries.items()}


def texts_in(value: Any, key: str = "") -> Iterator[str]:
    """Everything in an entry of the rule base that people read."""
    if isinstance(value, str):
        if key in TOLD and value:
            yield value
    elif isinstance(value, Mapping):
        for inner, entry in value.items():
            yield from texts_in(entry, inner)
    elif isinstance(value, list | tuple):
        for entry in value:
            yield from texts_in(entry, key)


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
    known = languages(folder)
    if language not in known:
        raise KnowledgeError(f"there is no language {language!r}; there are: {', '.join(known)}", "words")
    sentences: dict[str, str] = {}
    names: dict[str, Mapping[str, Any]] = {}
    for path in sorted((folder / "words" / language / "texts").iterdir(), key=lambda f: f.name):
        if not path.name.endswith(".yaml") or path.name == "replies.yaml":
            continue
        for section, entries in read_yaml(path, f"words/{language}/texts/{path.name}").items():
            if section == "sentences":
                sentences |= entries
            elif section in _NAMED:
                names[section] = {**names.get(section, {}), **entries}
            else:
                raise KnowledgeError(f"{section} is not known here", f"words/{language}/texts/{path.name}")
    replies = read_replies(folder, BASE)
    if language != BASE:
        replies = {**replies, **read_replies(folder, language)}
    return Tongue(language, replies, sentences, names)


def read_replies(folder: Traversable, language: str) -> Mapping[str, Any]:
    """The sentences of the assistant that a language has itself."""
    name = f"words/{language}/texts/replies.yaml"
    found: Mapping[str, Any] = read_yaml(folder / name, name)
    return found
