"""One line in: checked for form before anything is done with it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from assistant.errors import JournalError, LineError
from assistant.journal.times import parse_time
from assistant.knowledge import Knowledge
from assistant.language import Reading

KEYS = ("take_back", "facts", "answer", "say", "ask", "asked", "by", "at")
ASKS = (
    "why",
    "why_not",
    "why_ask",
    "what_if",
    "close",
    "report",
    "help",
    "how_sure",
    "safe",
    "told",
    "who",
    "may_close",
)
LONGEST = 20_000
_ANSWER_KEYS = {"test", "facts", "cannot"}


@dataclass(frozen=True)
class Line:
    """A line that may be taken."""

    take_back: tuple[str, ...] = ()
    facts: tuple[Any, ...] = ()
    answer_test: str | None = None
    answer_facts: tuple[Any, ...] = ()
    cannot: str | None = None
    say: str | None = None
    asked: str | None = None
    ask: Mapping[str, Any] | None = None
    by: str = "user"
    at: str | None = None
    raw: Mapping[str, Any] = field(default_factory=dict)


def check_line(raw: Any, knowledge: Knowledge) -> Line:
    """Check the form of one line.

    Args:
        raw: The decoded line.
        knowledge: The rule base, for test and fault ids and the wording of errors.

    Raises:
        LineError: The line is malformed; the text says what would be right.
    """
    texts = knowledge.replies
    if not isinstance(raw, Mapping):
        raise LineError("not_an_object", texts["error_not_an_object"].format(found=_kind(raw)))
    for key in raw:
        if key not in KEYS:
            raise LineError("unknown_key", texts["error_unknown_key"].format(key=_shown(key), known=", ".join(KEYS)))
    if not set(raw) & {"take_back", "facts", "answer", "say", "ask"}:
        raise LineError("empty_line", texts["error_empty_line"])
    say = _text(raw, "say", texts)
    if say is not None and len(say) > LONGEST:
        raise LineError("too_long", texts["error_too_long"].format(found=len(say)))
    asked = _test(_text(raw, "asked", texts), knowledge)
    test, facts, cannot = _answer(raw.get("answer"), knowledge) if "answer" in raw else (None, (), None)
    by = _text(raw, "by", texts)
    return Line(
        take_back=_list_of_text(raw, "take_back", texts),
        facts=_list(raw, "facts", texts),
        answer_test=test,
        answer_facts=facts,
        cannot=cannot,
        say=say,
        asked=asked,
        ask=_ask(raw["ask"], knowledge) if "ask" in raw else None,
        by="user" if by is None else by,
        at=_time(_text(raw, "at", texts), texts),
        raw=raw,
    )


def _answer(raw: Any, knowledge: Knowledge) -> tuple[str, tuple[Any, ...], str | None]:
    texts = knowledge.replies
    if not isinstance(raw, Mapping) or not isinstance(raw.get("test"), str):
        raise _wrong(texts, "answer", "an object with test and facts, or test and cannot")
    unknown = sorted(str(k) for k in raw if k not in _ANSWER_KEYS)
    if unknown:
        known = ", ".join(sorted(_ANSWER_KEYS))
        raise LineError("unknown_key", texts["error_unknown_key"].format(key=_shown(unknown[0]), known=known))
    if ("facts" in raw) == ("cannot" in raw):
        raise _wrong(texts, "answer", "either facts or cannot, and not both")
    test = _test(raw["test"], knowledge)
    return str(test), _list(raw, "facts", texts), _text(raw, "cannot", texts)


def _ask(raw: Any, knowledge: Knowledge) -> Mapping[str, Any]:
    texts = knowledge.replies
    if not isinstance(raw, Mapping) or len(raw) != 1:
        raise _wrong(texts, "ask", "an object with one question")
    key, value = next(iter(raw.items()))
    if key not in ASKS:
        raise LineError("unknown_ask", texts["error_unknown_ask"].format(known=", ".join(ASKS)))
    known = isinstance(value, str) and (
        _knows_fault(value, knowledge) or (key == "why" and _has_reasons(value, knowledge))
    )
    if key in ("why", "why_not", "how_sure") and not known:
        raise LineError("unknown_fault", texts["error_unknown_fault"].format(id=_shown(value)))
    if key == "why_ask":
        _test(value if isinstance(value, str) else _shown(value), knowledge)
    if key == "what_if" and not isinstance(value, list):
        raise _wrong(texts, "what_if", "a list of facts")
    if key == "close":
        _check_close(value, texts)
    if key == "report" and value not in ("markdown", "text"):
        raise _wrong(texts, "report", "markdown")
    return {key: value}


def _check_close(value: Any, texts: Mapping[str, Any]) -> None:
    if value is True:
        return
    wanted = "true, or an object with hand_over_to and note"
    if not isinstance(value, Mapping) or set(value) - {"hand_over_to", "note"}:
        raise _wrong(texts, "close", wanted)
    role = value.get("hand_over_to")
    if not isinstance(role, str) or not role.strip() or not isinstance(value.get("note", ""), str):
        raise _wrong(texts, "close", wanted)


def _knows_fault(value: str, knowledge: Knowledge) -> bool:
    return value in knowledge.faults or value in ("other", "nothing_more")


def _has_reasons(value: str, knowledge: Knowledge) -> bool:
    """Facts and hazards can be asked for their reasons as well."""
    return value in knowledge.hazards or bool(re.fullmatch(r"f[1-9]\d*", value))


def _test(value: str | None, knowledge: Knowledge) -> str | None:
    if value is not None and value not in knowledge.tests:
        raise LineError("unknown_test", knowledge.replies["error_unknown_test"].format(id=_shown(value)))
    return value


def _text(raw: Mapping[str, Any], key: str, texts: Mapping[str, Any]) -> str | None:
    value = raw.get(key)
    if key in raw and not isinstance(value, str):
        raise _wrong(texts, key, "a text")
    return value


def _list(raw: Mapping[str, Any], key: str, texts: Mapping[str, Any]) -> tuple[Any, ...]:
    value = raw.get(key, [])
    if not isinstance(value, list):
        raise _wrong(texts, key, "a list")
    return tuple(value)


def _list_of_text(raw: Mapping[str, Any], key: str, texts: Mapping[str, Any]) -> tuple[str, ...]:
    values = _list(raw, key, texts)
    if not all(isinstance(v, str) for v in values):
        raise _wrong(texts, key, "a list of fact ids")
    return values


def _time(value: str | None, texts: Mapping[str, Any]) -> str | None:
    if value is not None:
        try:
            parse_time(value)
        except (ValueError, JournalError) as error:
            raise LineError("bad_time", texts["error_bad_time"].format(found=_shown(value))) from error
    return value


def _wrong(texts: Mapping[str, Any], key: str, wanted: str) -> LineError:
    return LineError("wrong_type", texts["error_wrong_type"].format(key=key, wanted=wanted))


def _kind(value: Any) -> str:
    names = {bool: "true or false", int: "a number", float: "a number", str: "a text", list: "a list"}
    return "nothing" if value is None else names.get(type(value), "something else")


def _shown(value: Any) -> str:
    text = "".join(c if c.isprintable() else "�" for c in str(value))
    return text if len(text) <= 60 else f"{text[:57]}…"


def command_in(say: str, knowledge: Knowledge) -> Reading | None:
    """What a line orders that is nothing but a command; None for any other line."""
    word = say.strip().lower()
    asks: Mapping[str, object] = {"close": True, "help": True, "report": "markdown"}
    return next(
        (Reading(ask={n: asks[n]}) for n, words in knowledge.replies["commands"].items() if word in words), None
    )
