"""The terminal interface: one client of the session object, nothing more."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from assistant.terminal.app import look_back, run, start
    from assistant.terminal.case_files import OpenCase, cases_in
    from assistant.terminal.first_screen import Doors, Opened

__all__ = ["Doors", "OpenCase", "Opened", "cases_in", "look_back", "run", "start"]

os.environ.setdefault("TEXTUAL_FPS", "120")
"""How often the screen may be drawn in a second, read by Textual when it is first loaded: a typed letter waits for the
next drawing, and at the usual 60 that wait is most of the time until it is seen."""

_PLACES = {
    "look_back": "app",
    "run": "app",
    "start": "app",
    "Doors": "first_screen",
    "OpenCase": "case_files",
    "Opened": "first_screen",
    "cases_in": "case_files",
}


def __getattr__(name: str) -> Any:
    """Load the screen only when it is used: the line modes start without it."""
    if name not in _PLACES:
        raise AttributeError(name)
    from importlib import import_module

    return getattr(import_module(f"assistant.terminal.{_PLACES[name]}"), name)
