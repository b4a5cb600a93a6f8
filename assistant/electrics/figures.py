"""The tables and limits of the rule base, read once and only when they are needed."""

from __future__ import annotations

from functools import cache
from typing import Any

from assistant.knowledge.reader import read_yaml, rules_folder


@cache
def figures(name: str) -> Any:
    """One file of `rules/figures`, as plain data.

    Args:
        name: File name without its ending.

    Raises:
        KnowledgeError: The file is missing or malformed.
    """
    path = rules_folder().joinpath("figures", f"{name}.yaml")
    return read_yaml(path, f"figures/{name}.yaml")


def number(name: str, *keys: str) -> float:
    """One figure that stands with its unit and source.

    Args:
        name: File name without its ending.
        keys: The way to the figure within the file.
    """
    place = figures(name)
    for key in keys:
        place = place[key]
    return float(place["value"])
