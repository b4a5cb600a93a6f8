"""The chain: each entry is sealed by a hash that covers the entry and the seal before it.

A stored line is the canonical JSON of

    {"after": SEAL BEFORE, "entry": {...}, "seal": SEAL}

where the seal is the SHA-256, in hex, of the canonical JSON of the same object without "seal". The three
keys sort in this order, so the seal covers the line up to `,"seal":` and a closing brace: anybody can check
a line with a hash tool alone. The seal of the last entry is the head; whoever knows the head and the number
of entries knows that nothing was changed, left out, added or cut off.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from assistant.journal.canonical import canonical

START = "0" * 64
"""What stands for the seal before the first entry."""

_OPEN, _MIDDLE, _CLOSE = b'{"after":"', b'","entry":', b',"seal":"'
_HEX = 64
_BODY = len(_OPEN) + _HEX + len(_MIDDLE)
_TAIL = len(_CLOSE) + _HEX + 2


@dataclass(frozen=True)
class Sealed:
    """An entry with its seal, ready to be stored."""

    line: bytes
    """One line of the file, line end included."""
    seal: str


@dataclass(frozen=True)
class Parts:
    """A stored line taken apart, without a look into the entry."""

    after: str
    entry: bytes
    seal: str
    right: bool
    """The seal is the hash of the rest."""


def seal_entry(after: str, entry: Mapping[str, Any]) -> Sealed:
    """Seal an entry that follows the seal `after`.

    Raises:
        JournalError: The entry has no canonical form.
    """
    body = _OPEN + after.encode("ascii") + _MIDDLE + canonical(dict(entry)) + b"}"
    seal = hashlib.sha256(body).hexdigest()
    return Sealed(body[:-1] + _CLOSE + seal.encode("ascii") + b'"}\n', seal)


def take_apart(line: bytes) -> Parts | None:
    """The parts of a stored line without its line end; None when it has not the form of one."""
    after, entry, end = line[len(_OPEN) : len(_OPEN) + _HEX], line[_BODY:-_TAIL], line[-_TAIL:]
    formed = (
        len(line) >= _BODY + _TAIL + 2
        and line.startswith(_OPEN)
        and line[len(_OPEN) + _HEX : _BODY] == _MIDDLE
        and end.startswith(_CLOSE)
        and end.endswith(b'"}')
        and entry.startswith(b"{")
        and entry.endswith(b"}")
    )
    seal = end[len(_CLOSE) : -2]
    if not formed or not _is_hex(after) or not _is_hex(seal):
        return None
    right = hashlib.sha256(line[:-_TAIL] + b"}").hexdigest() == seal.decode("ascii")
    return Parts(after.decode("ascii"), entry, seal.decode("ascii"), right)


class Chain:
    """The chain of a case in memory: every session has one, whether or not a file keeps it."""

    def __init__(self, header: Mapping[str, Any]) -> None:
        """Start a chain with its header entry."""
        self.head = seal_entry(START, header).seal
        self.entries = 1

    @classmethod
    def after(cls, head: str) -> Chain:
        """A chain that goes on behind a known head."""
        chain = cls({})
        chain.head = head
        return chain

    def append(self, entry: Mapping[str, Any]) -> str:
        """As `add`: so that a chain can stand where a file would keep the entries."""
        return self.add(entry)

    def add(self, entry: Mapping[str, Any]) -> str:
        """Add an entry and return the new head.

        Raises:
            JournalError: The entry has no canonical form; the chain is as before.
        """
        self.head = seal_entry(self.head, entry).seal
        self.entries += 1
        return self.head


def _is_hex(text: bytes) -> bool:
    return not text.strip(b"0123456789abcdef")
