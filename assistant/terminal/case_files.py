"""The kept cases of a folder: their ids, and by what a person knows one from another."""

from __future__ import annotations

import json
import re
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import islice
from pathlib import Path

from assistant.terminal.plain import shortened

MOST_READ = 50
"""Cases, the last used, whose beginning is read for the list."""
_TURNS_READ = 3
"""Turns in which the first words are looked for: boat data may come before them."""
_LONGEST = 44
_STAMP = "%Y-%m-%d_%H%M%S"
_OWN = re.compile(r"(?P<when>\d{4}-\d\d-\d\d_\d{6})_[0-9a-f]+\Z")


@dataclass(frozen=True)
class OpenCase:
    """A saved case that can be gone on with."""

    title: str
    """The name that people gave it, else when it was last worked on."""
    path: Path
    when: str = ""
    """When it was last worked on, where the title does not say so."""
    boat: str = ""
    said: str = ""
    """How it began, in the person's words."""


def new_id() -> str:
    """Return an id for a new case: when it is begun, and something that no other case has."""
    return f"{datetime.now(UTC):{_STAMP}}_{secrets.token_hex(4)}"


def title_of(case: str) -> str:
    """Return the name of a case for people: the one they gave it, or when it was begun, where the screen is."""
    own = _OWN.match(case)
    try:
        begun = datetime.strptime(own["when"], _STAMP).replace(tzinfo=UTC) if own else None
    except ValueError:
        begun = None
    return case.replace("_", " ") if begun is None else f"begun {begun.astimezone():%Y-%m-%d %H:%M}"


def cases_in(folder: Path, boats: Mapping[str, str] | None = None) -> list[OpenCase]:
    """Return the cases of a folder, the last used first; those in which nothing was said are left out.

    Args:
        folder: where the journals are.
        boats: case → name of her boat.
    """
    try:
        files = [(path.stat().st_mtime, path) for path in folder.glob("*.jsonl")]
    except OSError:
        return []
    found = []
    for place, (changed, path) in enumerate(sorted(files, reverse=True)):
        said = first_words(path) if place < MOST_READ else ""
        if said is not None:
            when = f"{datetime.fromtimestamp(changed):%Y-%m-%d %H:%M}"
            title, when = (when, "") if _OWN.match(path.stem) else (title_of(path.stem), when)
            found.append(OpenCase(title, path, when, (boats or {}).get(path.stem, ""), said))
    return found


def first_words(path: Path) -> str | None:
    """Return how a case began; nothing when that cannot be read, None when nothing was told in it yet."""
    try:
        with path.open("rb") as lines:
            begun = [json.loads(line)["entry"] for line in islice(lines, 1 + _TURNS_READ)]
            told = [entry["line"] for entry in begun if entry["kind"] == "turn"]
            said = next((str(line["say"]) for line in told if line.get("say")), "")
    except (OSError, ValueError, LookupError, TypeError, AttributeError):
        return ""
    return None if begun and not told else shortened(said, _LONGEST)
