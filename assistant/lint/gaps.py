"""What a language lacks: texts of the rule base and of the assistant that it does not say itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from assistant.electrics.path import path_data
from assistant.knowledge import BASE, Knowledge, load
from assistant.knowledge.reader import rules_folder
from assistant.knowledge.tongue import read_replies, texts_in

_SECTIONS = ("hazards", "faults", "tests", "repairs", "questions", "rules", "contradictions")
_NEVER_SHOWN = {"questions": {"because"}}
"""What only `rules show` prints, in the language of the rule base."""


@dataclass(frozen=True)
class Gap:
    """One text that a language lacks."""

    kind: str
    """Where it stands: a section of the rule base, or the list of names or replies."""
    text: str
    """The text of the base language, or the key or id."""


def gaps_of(knowledge: Knowledge) -> list[Gap]:
    """The texts that the language of a loaded rule base lacks; none for the base language.

    Args:
        knowledge: The rule base that came with the program, in any language.
    """
    tongue = knowledge.tongue
    if tongue.language == BASE:
        return []
    said = read_replies(rules_folder(), tongue.language)
    gaps = [Gap("replies", key) for key in tongue.replies if key not in said]
    gaps += [Gap(kind, text) for kind, text in _texts(load()) if text not in tongue.sentences]
    words = load().words
    wanted = {
        "parts": words.parts,
        "attributes": words.attributes,
        "circumstances": words.circumstances,
        "tests": knowledge.tests,
    }
    for kind, ids in wanted.items():
        gaps += [Gap(kind, key) for key in ids if key not in tongue.names.get(kind, {})]
    return gaps


def stale(knowledge: Knowledge) -> list[str]:
    """Sentences of a language that say nothing any more: the rule base has changed its own."""
    there = {text for _, text in _texts(load())}
    return [text for text in knowledge.tongue.sentences if text not in there]


def _texts(knowledge: Knowledge) -> Iterator[tuple[str, str]]:
    """Every text that is shown to people, each once."""
    seen: set[str] = set()
    for kind, text in _all_texts(knowledge):
        if text not in seen:
            seen.add(text)
            yield kind, text


def _all_texts(knowledge: Knowledge) -> Iterator[tuple[str, str]]:
    for section in _SECTIONS:
        for entry in getattr(knowledge, section).values():
            yield from ((section, text) for text in texts_in(entry.model_dump(exclude=_NEVER_SHOWN.get(section))))
    path = path_data()
    yield from (("path", str(text)) for text in path["words"].values())
    for place in (*path["parts"].values(), *path["legs"].values(), path["path"]):
        yield from (("path", str(place[key])) for key in ("name", "where", "rest") if key in place)
