"""Demo cases: what was typed, and the journals made of it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from assistant.errors import JournalError, LineError
from assistant.journal import Journal
from assistant.knowledge import BASE, languages, load
from assistant.session import Session

FOLDER = Path(__file__).resolve().parent.parent / "transcripts_demo"
_TYPED = re.compile(r"(?P<clock>\d\d:\d\d)(?: \[(?P<by>[^\]]+)\])? (?P<say>.+)\Z")
_DAY = "2026-05-04"


@dataclass(frozen=True)
class Typed:
    """One demo as it was typed."""

    name: str
    title: str
    role: str
    language: str
    lines: tuple[dict[str, Any], ...]


def demo_files(language: str = BASE, folder: Path = FOLDER) -> list[Path]:
    """What was typed in each demo of a language, in order; empty where the demos did not come along.

    Those of the base language stand in the folder itself, those of another in a folder of its name.
    """
    place = folder if language == BASE else folder / language
    return sorted(place.glob("*.said.txt")) if place.is_dir() else []


def read_typed(path: Path) -> Typed:
    """Read one demo: `# key: value` lines, then `HH:MM [who] what was typed`.

    Raises:
        JournalError: A line is neither.
    """
    told = {"title": "", "role": "technician", "language": BASE}
    lines: list[dict[str, Any]] = []
    for number, text in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        if text.startswith("#"):
            key, _, value = text.lstrip("# ").partition(":")
            told[key.strip()] = value.strip()
        elif text.strip():
            found = _TYPED.match(text.strip())
            if found is None:
                raise JournalError(f"{path.name}:{number}: a line is `HH:MM [who] what was typed`")
            line = {"say": found["say"], "at": f"{_DAY}T{found['clock']}:00+02:00"}
            lines.append({**line, "by": found["by"]} if found["by"] else line)
    return Typed(path.name.removesuffix(".said.txt"), told["title"], told["role"], told["language"], tuple(lines))


def record(typed: Typed, path: Path) -> Session:
    """Hold the conversation of a demo and keep its journal.

    Raises:
        JournalError: A line of the demo was not taken, or the file is there already.
    """
    session = Session(load(typed.language), typed.role)
    with Journal.create(path, session.header()) as journal:
        session.keep_in(journal)
        for line in typed.lines:
            try:
                session.take(line)
            except LineError as error:
                raise JournalError(f"{typed.name}: {line['say']!r}: {error}") from error
    return session


def record_all(folder: Path = FOLDER) -> list[Path]:
    """Make the journals of all demos anew from what was typed."""
    made = []
    for path in [p for language in languages() for p in demo_files(language, folder)]:
        typed = read_typed(path)
        journal = path.with_name(f"{typed.name}.jsonl")
        journal.unlink(missing_ok=True)
        record(typed, journal)
        made.append(journal)
    return made


if __name__ == "__main__":
    for made in record_all():
        print(made.name)
