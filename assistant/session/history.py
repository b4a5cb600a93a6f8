"""The lines of a case and what came back for each, packed: a long case is read seldom and must not fill the memory."""

from __future__ import annotations

import json
import zlib
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, overload

Exchange = tuple[Mapping[str, Any], Mapping[str, Any]]
"""A line in, and the object out."""

_LEVEL = 1
"""Of compression: the fastest already leaves a quarter."""


class History(Sequence[Exchange]):
    """All exchanges so far, in order; each is unpacked when it is looked at."""

    def __init__(self, exchanges: Iterable[Exchange] = ()) -> None:
        """Pack exchanges.

        Args:
            exchanges: what stands in it from the beginning.
        """
        self._packed = [_packed(one) for one in exchanges]

    def add(self, line: Mapping[str, Any], out: Mapping[str, Any]) -> None:
        """Add an exchange at the end."""
        self._packed.append(_packed((line, out)))

    def __len__(self) -> int:
        """Return how many there are."""
        return len(self._packed)

    @overload
    def __getitem__(self, place: int) -> Exchange: ...

    @overload
    def __getitem__(self, place: slice) -> Sequence[Exchange]: ...

    def __getitem__(self, place: int | slice) -> Exchange | Sequence[Exchange]:
        """Return one exchange, or some."""
        if isinstance(place, slice):
            return [_unpacked(one) for one in self._packed[place]]
        return _unpacked(self._packed[place])


def _packed(exchange: Exchange) -> bytes:
    return zlib.compress(json.dumps(exchange, ensure_ascii=False, separators=(",", ":")).encode(), _LEVEL)


def _unpacked(packed: bytes) -> Exchange:
    line, out = json.loads(zlib.decompress(packed))
    return line, out
