"""Small phrases that several sections share."""

from __future__ import annotations

import re

from assistant.journal.turn import Data, Turn, mapping
from assistant.report.case import Case, Told

_TIME = re.compile(r"\A([0-9-]+)[Tt]([0-9:.]+)([Zz]|[+-][0-9:]+)\Z")


def phrase(case: Case, fact: Data) -> str:
    """A fact as a phrase, with its doubt and the words it came from."""
    doubt = "" if fact.get("certain", True) else " (not sure)"
    words = f" — “{fact['words']}”" if fact.get("words") else ""
    return f"{case.names.fact(fact)}{doubt}{words}"


def sureness(fact: Data) -> str:
    """Whether the speaker was sure."""
    return "yes" if fact.get("certain", True) else "no"


def fate(told: Told) -> str:
    """What became of a fact."""
    if told.gone is None:
        return ""
    how = "taken back" if told.taken_back else "superseded"
    return f"{how} in turn {told.gone.number}"


def when(turn: Turn) -> str:
    """The time of a turn."""
    return _TIME.sub(r"\1 \2 \3", turn.at) or f"turn {turn.number}"


def point(case: Case, item: object) -> str:
    """An open point as text, whatever form it has."""
    if isinstance(item, str):
        return item
    data = mapping(item) or {}
    told = data.get("text") or data.get("hazard") or data.get("about")
    return str(told) if told else ", ".join(f"{key}: {value}" for key, value in data.items())


def sentences(data: Data, *keys: str) -> list[str]:
    """The values of some keys, ids spelt as words."""
    return [str(data[key]).replace("_", " ") for key in keys if data.get(key)]
