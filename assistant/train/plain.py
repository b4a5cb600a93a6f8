"""Training without a screen: plain lines, roles in words, no colour."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TextIO

from assistant.errors import JournalError, LineError
from assistant.train.data import say
from assistant.train.session import TrainingSession


def train_plain(session: TrainingSession, lines: TextIO, out: TextIO, *, prompt: bool) -> int:
    """Train on one case; ends with the input or a word for leaving.

    Args:
        session: Begun already.
        lines: What the trainee types.
        out: Where the trainer speaks.
        prompt: Whether somebody sits at a terminal.

    Returns:
        The exit status.
    """
    texts = session.knowledge.replies
    last = session.history[-1][1]
    _tell(out, last)
    while True:
        if prompt:
            print(f"{texts['prompt']} ", end="", file=out, flush=True)
        text = lines.readline()
        word = text.strip()
        if not text or word.lower() in texts["quit_words"]:
            return 0
        if not word:
            continue
        try:
            last = session.take(_line(word, last))
            _tell(out, last)
        except (LineError, JournalError) as error:
            print(f"{say('speaker')} {error}", file=out, flush=True)


def picks(out: Mapping[str, Any]) -> list[tuple[str, list[dict[str, Any]]]]:
    """What can be picked now, by number from 1: text and facts."""
    if out["stop"] is not None:
        return [(out["stop"]["text"], [dict(fact) for fact in out["stop"]["facts"]])]
    return [(answer["text"], answer["facts"]) for answer in (out["next"] or {"answers": ()})["answers"]]


def _line(word: str, last: Mapping[str, Any]) -> dict[str, Any]:
    choices = picks(last)
    if not (word.isdecimal() and word.isascii() and 1 <= int(word[:3]) <= len(choices)):
        return {"say": word}
    facts = choices[int(word) - 1][1]
    return {"facts": facts} if last["stop"] is not None else {"answer": {"test": last["next"]["test"], "facts": facts}}


def _tell(out: TextIO, shown: Mapping[str, Any]) -> None:
    step = shown["next"] or {"setup": ()}
    rows = [shown["reply"], *(f"   - {text}" for text in step["setup"])]
    rows += [f"{place}  {text}" for place, (text, _) in enumerate(picks(shown), 1)]
    text = "\n".join(rows)
    clean = "".join(c if c == "\n" or c.isprintable() else "\ufffd" for c in text)
    print(f"{say('speaker')} {clean}", file=out, flush=True)
