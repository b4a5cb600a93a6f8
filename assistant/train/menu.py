"""What the trainee can pick, in the form in which a screen shows the answers to a question."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from assistant.knowledge import Knowledge
from assistant.session.names import Names
from assistant.train.data import say

MENU = "training"
"""Stands in the place of a test, and of what a fact is about, where the trainee picks what to do."""


def choice_of(facts: Any) -> tuple[str, str] | None:
    """What was picked from a menu: kind and value; None when it was something else."""
    first = facts[0] if isinstance(facts, Sequence) and facts and not isinstance(facts, str) else None
    if not isinstance(first, Mapping) or first.get("about") != MENU:
        return None
    return str(first.get("what")), str(first.get("value"))


class Menu:
    """Makes the menus of one rule base."""

    def __init__(self, knowledge: Knowledge, names: Names) -> None:
        """Keep the rule base and its names."""
        self._knowledge, self._names = knowledge, names

    def usual(self, offer: str | None) -> dict[str, Any]:
        """Between two tests."""
        offered = [_pick(say("pick_offer", test=self._names.test(offer)), "test", offer)] if offer else []
        commands = [_pick(say(f"pick_{name}"), "command", name) for name in ("list", "faults", "safe")]
        return _question(say("what_now"), [*offered, *commands])

    def set_up(self, test: str, minutes: float) -> dict[str, Any]:
        """Before a test that needs something seen to."""
        entry = self._knowledge.tests[test]
        commands = [_pick(say(f"pick_{name}"), "command", name) for name in ("done", "straight", "back")]
        return {
            **_question(entry.text, commands),
            "test": test,
            "plain_text": entry.plain,
            "setup": [step.text for step in entry.setup],
            "tools": list(entry.tools),
            "minutes": minutes,
            "restore": [step.text for step in entry.restore],
        }

    def which(self, question: str, kind: str, found: Sequence[str], names: Mapping[str, str]) -> dict[str, Any] | None:
        """Which of several was meant; None when there is nothing to choose from."""
        return _question(question, [_pick(names[key], kind, key) for key in found]) if found else None


def _question(text: str, answers: list[dict[str, Any]]) -> dict[str, Any]:
    return {
        "test": MENU,
        "text": text,
        "plain_text": "",
        "setup": [],
        "tools": [],
        "minutes": None,
        "answers": answers,
        "why": "",
        "restore": [],
    }


def _pick(text: str, kind: str, value: str) -> dict[str, Any]:
    return {"text": text, "facts": [{"about": MENU, "what": kind, "value": value}]}
