"""The conversation without a screen: JSON lines for programs, plain lines for people."""

from __future__ import annotations

import json
import select
import sys
from collections.abc import Iterable, Mapping
from typing import Any, TextIO

from assistant.errors import JournalError, LineError
from assistant.folding import place_of
from assistant.session import Session
from assistant.session.line import LONGEST

_PASTE_GAP = 0.03
"""Seconds within which the next line of a paste is there; nobody types one so fast."""


def talk_json(session: Session, lines: TextIO, out: TextIO) -> int:
    """One JSON object in, one out, flushed at once; ends with the input.

    Returns:
        The exit status.
    """
    for text in _lines(lines):
        if not text.strip():
            continue
        _write(out, _one(session, text))
    return 0


def _lines(lines: TextIO) -> Any:
    """Lines with undecodable bytes replaced, whatever the terminal's encoding."""
    buffer = getattr(lines, "buffer", None)
    if buffer is None:
        yield from lines
        return
    for raw in buffer:
        yield raw.decode("utf-8", "replace")


def _one(session: Session, text: str) -> dict[str, Any]:
    try:
        line = json.loads(text, parse_constant=_no_constant)
    except (ValueError, RecursionError):
        return error_object(LineError("not_json", session.knowledge.replies["error_not_json"]))
    try:
        return session.take(line)
    except LineError as error:
        return error_object(error)
    except JournalError as error:
        return {"error": {"code": "journal", "text": str(error)}}


def _no_constant(text: str) -> Any:
    raise ValueError(text)


def error_object(error: LineError) -> dict[str, Any]:
    """An error as the conversation writes it."""
    return {"error": {"code": error.code, "text": error.text}}


def _write(out: TextIO, data: Mapping[str, Any]) -> None:
    out.write(
        json.dumps(data, ensure_ascii=False, separators=(", ", ": "))
        .replace("\u2028", "\\u2028")
        .replace("\u2029", "\\u2029")
        + "\n"
    )
    out.flush()


def talk_plain(session: Session, lines: TextIO, out: TextIO, prompt: bool) -> int:
    """Plain text: what is typed is said; roles in words, no boxes, no colour.

    Args:
        session: The case.
        lines: What the person types.
        out: Where the replies go.
        prompt: Whether somebody sits at a terminal.
    """
    texts = session.knowledge.replies
    print(_spoken(texts["speaker"], texts["unknown_case"]), file=out, flush=True)
    while True:
        if prompt:
            print(f"{texts['prompt']} ", end="", file=out, flush=True)
        text = _pasted(lines) if prompt else lines.readline()
        if not text:
            return 0
        word = text.strip()
        if not word:
            continue
        if word.lower() in texts["quit_words"]:
            return 0
        print(_spoken(texts["speaker"], _reply(session, word)), file=out, flush=True)


def _pasted(lines: TextIO) -> str:
    """A typed line, with the lines that came in together with it: a paste of notes is one thing said.

    Read one by one, each would be taken as the answer to what the line before it made the assistant ask.
    """
    text = lines.readline()
    while text.endswith("\n") and len(text) <= LONGEST and _waits(lines):
        more = lines.readline()
        if not more:
            break
        text += more
    return text


def _waits(lines: TextIO) -> bool:
    """Whether more was typed than was read; a terminal hands over one line at a time."""
    return bool(select.select([lines], [], [], _PASTE_GAP)[0])


def play_plain(session: Session, lines: Iterable[Mapping[str, Any]], out: TextIO) -> int:
    """Play lines of a demo as plain text: what was typed, and what came of it."""
    texts = session.knowledge.replies
    for line in lines:
        print(f"{texts['prompt']} {line['say']}", file=out)
        print(_spoken(texts["speaker"], str(session.take(line)["reply"])), file=out, flush=True)
    return 0


def _reply(session: Session, word: str) -> str:
    step = session.case.offered
    line: dict[str, Any] = {"say": word}
    number = int(word) if word.isdigit() else place_of(word, (str(a["text"]) for a in step))
    if 1 <= number <= len(step) and session.case.pending:
        line = {
            "answer": {
                "test": session.case.pending.test,
                "facts": [dict(f) for f in step[number - 1]["facts"]],
            }
        }
    try:
        out = session.take(line)
    except (LineError, JournalError) as error:
        return str(error)
    picks = [f"{i}  {a['text']}" for i, a in enumerate(out["next"]["answers"], 1)] if out["next"] else []
    return "\n".join([str(out["reply"]), *picks])


def _spoken(speaker: str, text: str) -> str:
    clean = "".join(c if c == "\n" or c.isprintable() else "\ufffd" for c in text)
    return f"{speaker} {clean}"


def utf8(stream: TextIO) -> TextIO:
    """Make a standard stream write UTF-8 whatever the locale."""
    reconfigure = getattr(stream, "reconfigure", None)
    if reconfigure:
        reconfigure(encoding="utf-8", errors="replace", newline="\n")
    return stream


def main_streams() -> tuple[TextIO, TextIO]:
    """Standard input and output, ready for the conversation."""
    return sys.stdin, utf8(sys.stdout)
