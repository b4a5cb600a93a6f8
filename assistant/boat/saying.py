"""Facts in the form of the conversation, as the person on the simulated boat tells them."""

from __future__ import annotations

from typing import Any

from assistant.boat.data import boat_data

FactDict = dict[str, Any]

ON_OFF = {True: "on", False: "off"}


def run_facts(seconds: float, to_the_end: bool) -> list[FactDict]:
    """How a run that was kept up is told."""
    out = [told("ran_for", seconds)]
    return out if to_the_end else [*out, told("stops_after", seconds)]


def fact_of(about: str, what: str, value: Any, while_: tuple[str, ...] = ()) -> FactDict:
    """A fact in the form of the conversation."""
    out: FactDict = {"about": about, "what": what, "value": value}
    if while_:
        out["while"] = list(while_)
    return out


def told(name: str, value: Any) -> FactDict:
    """A fact that every test may bring, by its entry in the boat's list of words."""
    entry = boat_data()["words"][name]
    return fact_of(entry["about"], entry["what"], value, tuple(entry.get("while", ())))


def word(name: str) -> str:
    """A choice of the vocabulary, by its entry in the boat's list of words."""
    return str(boat_data()["words"][name]["value"])
