"""One byte form for one value: canonical JSON (RFC 8785), and plain data back out of it."""

from __future__ import annotations

import json
import math
import re
from typing import Any

import rfc8785

from assistant.errors import JournalError

_SAFE = 2**53 - 1
_REAL = re.compile(r"-?(?:0|[1-9]\d{0,14})\.\d*[1-9]")
_FOUR_BYTES = tuple(bytes([byte]) for byte in range(0xF0, 0xF5))
"""How characters begin that UTF-16, and so the canonical form, sorts otherwise than Python does."""
_WRITE = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"), sort_keys=True, allow_nan=False).encode
_DEEPEST = 64
"""Deeper nesting than this is no case record; it also keeps every reader clear of its stack limit."""


def canonical(value: Any) -> bytes:
    """The canonical JSON bytes of a value.

    Args:
        value: Plain data: None, flags, numbers, text, lists and mappings with text keys.

    Raises:
        JournalError: The value has no canonical form: not a number, an integer beyond 2**53, text that is
            not Unicode, nesting too deep, or a type that JSON does not have.
    """
    try:
        return rfc8785.dumps(value)
    except (rfc8785.CanonicalizationError, UnicodeError) as error:
        raise JournalError(f"this cannot be kept in a journal: {error}") from error
    except RecursionError as error:
        raise JournalError("this cannot be kept in a journal: it is nested too deep") from error


def plain(data: bytes) -> Any:
    """The plain data of JSON bytes, such that `canonical` takes it again.

    Whole numbers beyond 2**53 come back as floats, as every reader of JSON numbers takes them.

    Raises:
        JournalError: The bytes are not JSON, or not JSON that has a canonical form.
    """
    try:
        value = json.loads(data.decode("utf-8"), parse_int=_whole, parse_constant=_refuse)
    except (ValueError, RecursionError) as error:
        raise JournalError("this is not JSON") from error
    if _deeper_than(value, _DEEPEST):
        raise JournalError("this is nested too deep")
    return value


def canonical_value(data: bytes) -> Any:
    """The value of bytes that are canonical JSON, each byte of it.

    Most entries are settled by the fast encoder of Python, which writes the same bytes where keys and numbers
    are plain; the rest goes through `canonical`.

    Raises:
        JournalError: The bytes are not canonical JSON.
    """
    value, usual = _read_plainly(data)
    if _deeper_than(value, _DEEPEST):
        raise JournalError("this is nested too deep")
    if not (usual and _WRITE(value).encode("utf-8", "replace") == data) and canonical(plain(data)) != data:
        raise JournalError("this is not in its canonical form")
    return value


def _read_plainly(data: bytes) -> tuple[Any, bool]:
    """The value, and whether Python writes such numbers and sorts such keys as the canonical form does."""
    unusual: list[str] = []

    def real(text: str) -> float:
        number = float(text)
        if not _REAL.fullmatch(text) or repr(number) != text:
            unusual.append(text)
        return number

    def whole(text: str) -> int | float:
        if len(text) > 15:
            unusual.append(text)
        return _whole(text)

    try:
        value = json.loads(data.decode("utf-8"), parse_int=whole, parse_float=real, parse_constant=_refuse)
    except (ValueError, RecursionError) as error:
        raise JournalError("this is not JSON") from error
    beyond = any(byte in data for byte in _FOUR_BYTES)
    return value, not unusual and not beyond


def normalised(value: Any) -> Any:
    """The value as a reader of the journal will get it: 12.0 is 12, tuples are lists, huge integers floats.

    Conclusions are drawn from this form, so that a replay starts from the very same values.

    Raises:
        JournalError: The value has no canonical form.
    """
    try:
        return plain(canonical(value))
    except JournalError:
        pass
    try:
        return plain(canonical(_without_huge(value)))
    except RecursionError as error:
        raise JournalError("this cannot be kept in a journal: it is nested too deep") from error


def _without_huge(value: Any) -> Any:
    """The value with every integer beyond 2**53 as a float."""
    if isinstance(value, dict):
        return {key: _without_huge(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_without_huge(item) for item in value]
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) > _SAFE:
        return float(value) if abs(value) < 10**300 else value
    return value


def _whole(text: str) -> int | float:
    value = int(text) if len(text) < 20 else float(text)
    if math.isinf(value):
        raise ValueError("this number is too large")
    return value if abs(value) <= _SAFE else float(value)


def _refuse(text: str) -> Any:
    raise ValueError(f"{text} is no JSON number")


def _deeper_than(value: Any, levels: int) -> bool:
    layer = [value]
    for _ in range(levels):
        layer = [child for item in layer for child in _children(item)]
        if not layer:
            return False
    return True


def _children(item: Any) -> list[Any]:
    if isinstance(item, dict):
        return list(item.values())
    return item if isinstance(item, list) else []
