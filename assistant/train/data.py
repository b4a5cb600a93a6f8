"""The file with what the trainer says and counts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

from assistant.knowledge.reader import read_yaml, rules_folder


@cache
def training_data() -> Any:
    """`rules/training.yaml` as plain data, read once.

    Raises:
        KnowledgeError: It is missing or malformed.
    """
    return read_yaml(rules_folder().joinpath("training.yaml"), "training.yaml")


def say(key: str, **words: Any) -> str:
    """One of the trainer's sentences."""
    return str(training_data()["texts"][key]).format(**words)


def listed(items: Iterable[str], between: str = "; ") -> str:
    """Items in one line; the word for none where there are none."""
    return between.join(items) or say("none")


def triple(fact: Mapping[str, Any]) -> tuple[str, str, Any]:
    """What a fact states, without its circumstances."""
    return str(fact["about"]), str(fact["what"]), fact["value"]
