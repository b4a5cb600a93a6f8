"""Plain words that are orders to the screen, not observations, and the lines they stand for."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from rapidfuzz import fuzz, process, utils

from assistant.terminal.case import Case
from assistant.terminal.port import Line

WORDS = {
    "undo": "undo",
    "take back": "undo",
    "take that back": "undo",
    "redo": "redo",
    "help": "help",
    "?": "help",
    "known": "known",
    "what is known": "known",
    "suspects": "suspects",
    "test": "test",
    "next": "test",
    "to do": "open",
    "todo": "open",
    "path": "path",
    "picture": "path",
    "safety": "safety",
    "hazards": "safety",
    "talk": "talk",
    "transcript": "transcript",
    "report": "report",
    "close": "close",
    "plain": "plain",
    "plain words": "plain",
    "quit": "quit",
    "exit": "quit",
    "copy": "copy",
    "boat": "boat",
    "boat data": "boat",
    "do": "do",
    "commands": "do",
}
"""Whole lines that are orders. Anything else is something said."""

ORDERS = (*(word for word in WORDS if word != "?"), "why", "why not", "cannot", "hand over to", "theme")
"""How orders begin, for completing what is typed."""

_THEMES = {
    "dark": "night",
    "night": "night",
    "light": "day",
    "day": "day",
    "mono": "grey",
    "monochrome": "grey",
    "grey": "grey",
    "contrast": "contrast",
    "high contrast": "contrast",
    "high-contrast": "contrast",
}
"""What a person may type after 'theme'."""

_WHY = re.compile(r"^why(?P<no>\s+not)?(?:\s+(?P<what>.+))?$", re.I)
_HAND_OVER = re.compile(r"^hand over to\s+(?P<role>[^:]+?)\s*(?::\s*(?P<note>.+))?$", re.I | re.S)
_CANNOT = re.compile(r"^cannot\s*(?::\s*(?P<reason>.*))?$", re.I | re.S)
_THEME = re.compile(r"^(?:theme|colou?rs)\s+(?P<name>[a-z -]+)$", re.I)
_PICK = re.compile(r"^(?:(?:pick|answer)\s+|#)?(?P<number>\d{1,2})$", re.I)
_FIT = 72
"""How alike a typed name and a cause's name must be, of 100."""


@dataclass(frozen=True)
class Order:
    """What a typed line asks for: `kind` 'say' for everything that is no order."""

    kind: str
    text: str = ""
    note: str = ""


@dataclass(frozen=True)
class Note:
    """A sentence from the screen itself: nothing was sent to the session."""

    text: str


def read(text: str, picks: int = 0, readings: bool = False) -> Order:
    """Read a typed line.

    Args:
        text: what was typed.
        picks: how many answers can be picked now.
        readings: True when the answers are readings, so that a bare number is a value told.
    """
    bare = text.strip()
    simple = " ".join(bare.lower().rstrip("?!. ").split()) or bare
    if simple in WORDS:
        return Order(WORDS[simple])
    pick = _PICK.match(bare)
    if pick and int(pick["number"]) <= picks and not (readings and bare.isdigit()):
        return Order("pick", pick["number"])
    return _longer(bare) or Order("say", text)


def _longer(bare: str) -> Order | None:
    if why := _WHY.match(bare.rstrip("?!. ")):
        return Order("why_not" if why["no"] else "why", why["what"] or "")
    if hand_over := _HAND_OVER.match(bare):
        return Order("hand_over", hand_over["role"], hand_over["note"] or "")
    if cannot := _CANNOT.match(bare):
        return Order("cannot", (cannot["reason"] or "").strip())
    if theme := _THEME.match(bare):
        return Order("theme", theme["name"].strip().lower())
    return None


def line_for(order: Order, case: Case) -> Line | Note:
    """Return the line that an order stands for, given the case as it is when its turn comes."""
    makers = {
        "why": _why,
        "why_not": _why_not,
        "undo": _undo,
        "redo": _redo,
        "close": lambda order, case: {"ask": {"close": True}},
        "report": lambda order, case: {"ask": {"report": "markdown"}},
        "hand_over": _hand_over,
        "cannot": _cannot,
    }
    return makers[order.kind](order, case) if order.kind in makers else {"say": order.text}


def _undo(order: Order, case: Case) -> Line | Note:
    return case.undo_line() or Note("There is nothing to take back.")


def _redo(order: Order, case: Case) -> Line | Note:
    return case.redo_line() or Note("Nothing was taken back that could be told again.")


def _why(order: Order, case: Case) -> Line | Note:
    if order.text:
        return _about(order.text, case, "why")
    if case.stop is None and case.next is not None:
        return {"ask": {"why_ask": case.next["test"]}}
    fault = next((row.fault for row in case.suspects), None)
    nothing = Note("There is nothing to explain yet: say what you see first.")
    return {"ask": {"why": fault}} if fault else nothing


def _why_not(order: Order, case: Case) -> Line | Note:
    if order.text:
        return _about(order.text, case, "why_not")
    return Note("Why not what? Type the cause after it, or its number in the list of suspects: why not 3.")


def _about(typed: str, case: Case, ask: str) -> Line | Note:
    found = find_suspect(typed, case)
    if found is not None:
        return {"ask": {ask: found}}
    if typed.isdigit():
        return Note(f"There is no cause {typed}. The list of suspects has their numbers.")
    return {"say": f"{ask.replace('_', ' ')} {typed}"}  # the session knows parts and readings as well


def find_suspect(typed: str, case: Case) -> str | None:
    """Return the fault meant by a number in the list, an id, or words like its name."""
    if typed.isdigit():
        place = int(typed) - 1
        return case.suspects[place].fault if 0 <= place < len(case.suspects) else None
    names = {row.fault: row.name for row in case.suspects}
    if typed in names:
        return typed
    found = process.extractOne(
        typed, names, scorer=fuzz.token_set_ratio, processor=utils.default_process, score_cutoff=_FIT
    )
    return str(found[2]) if found else None


def _hand_over(order: Order, case: Case) -> Line | Note:
    close: dict[str, Any] = {"hand_over_to": order.text}
    if order.note:
        close["note"] = order.note
    return {"ask": {"close": close}}


def _cannot(order: Order, case: Case) -> Line | Note:
    if case.next is None:
        return Note("No test is being asked for.")
    return {"answer": {"test": case.next["test"], "cannot": order.text or "not possible here"}}


def theme_named(words: str) -> str | None:
    """Return the theme that a person's words mean, or None."""
    return _THEMES.get(words)
