"""The file that says what the simulated boat is made of."""

from __future__ import annotations

from functools import cache
from random import Random
from typing import Any

from assistant.knowledge.reader import read_yaml, rules_folder


@cache
def boat_data() -> Any:
    """`rules/boat.yaml` as plain data, read once.

    Raises:
        KnowledgeError: It is missing or malformed.
    """
    return read_yaml(rules_folder().joinpath("boat.yaml"), "boat.yaml")


def draw(value: Any, chance: Random) -> Any:
    """A figure from a range of two, or the value itself when it is none."""
    if isinstance(value, list) and len(value) == 2:
        return chance.uniform(float(value[0]), float(value[1]))
    return value
