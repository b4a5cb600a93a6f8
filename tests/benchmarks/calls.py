"""What callers who had not seen the word lists typed, and what is taken now of the lines that they marked as misread.

`calls.jsonl` holds the calls, `call_finds.jsonl` the lines that were marked: `dangerous` (the opposite, or a fact
nobody said) or `wrong`, with what was taken then and what should be. Whether a line is read as it should be a person
has to judge; this prints both.

Run from the repository: `python tests/benchmarks/calls.py [dangerous|wrong] [CALL …]`.
"""

from __future__ import annotations

import sys
from collections import Counter
from functools import cache
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from assistant.diagnosis.diagnose import Diagnoser  # noqa: E402
from assistant.errors import LineError  # noqa: E402
from assistant.knowledge import Knowledge, load  # noqa: E402
from assistant.language import Words, load_words  # noqa: E402
from assistant.session import Session  # noqa: E402
from tests.language.corpus import HERE, lines_of  # noqa: E402

AT = "2026-05-01T10:00:00Z"


@cache
def of_language(language: str) -> tuple[Knowledge, Words, Diagnoser]:
    knowledge = load(language=language)
    return knowledge, load_words(language), Diagnoser(knowledge)


def shown(fact: dict[str, Any]) -> str:
    """A fact with its circumstances, and a question mark where it is doubtful."""
    told = f"{fact['about']}.{fact['what']} {fact['value']}{'' if fact['certain'] else ' ?'}"
    return " ".join([told, *(fact.get("while") or ())])


def taken(call: dict[str, Any]) -> list[str]:
    """What each line of a call brings, in words."""
    knowledge, words, diagnoser = of_language(call["language"])
    session = Session(knowledge, call["role"], None, at=AT, diagnoser=diagnoser, words=words)
    said = []
    for line in call["lines"]:
        try:
            out = session.take({"say": line, "at": AT})
        except LineError as error:
            said.append(f"error: {error}")
            continue
        facts = [shown(fact) for fact in out["understood"]]
        asked = [f"asked back: {u['words']}" for u in out["unclear"]]
        said.append("; ".join([*facts, *asked, *(["stop"] if out["stop"] else [])]) or "nothing")
    return said


def main() -> int:
    wanted = set(sys.argv[1:])
    classes, names = wanted & {"dangerous", "wrong"} or {"dangerous", "wrong"}, wanted - {"dangerous", "wrong"}
    calls = [c for c in lines_of(HERE / "calls.jsonl") if not names or c["call"] in names]
    finds = [f for f in lines_of(HERE / "call_finds.jsonl") if f["class"] in classes]
    for call in calls:
        marked = [f for f in finds if f["call"] == call["call"]]
        now = taken(call) if marked else []
        for find in marked:
            at = find["line"] - 1
            print(f"{find['call']} {find['line']} ({find['class']}): {call['lines'][at]}")
            print(f"    now:    {now[at]}\n    should: {find['should']}")
    lines = sum(len(c["lines"]) for c in calls)
    counted = Counter(f["class"] for f in finds if f["call"] in {c["call"] for c in calls})
    print(f"{len(calls)} calls of {lines} lines; marked: {dict(counted)}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
