"""How an open point is written for a person to read."""

from __future__ import annotations

import re
from collections.abc import Iterable

_LEADING_ID = re.compile(r"^[a-z][a-z0-9_]*: (?=\S)")


def without_id(point: str) -> str:
    """Return an open point without the id that it begins with."""
    return _LEADING_ID.sub("", point)


def listed(points: Iterable[str]) -> str:
    """Return open points one behind the other, without their ids."""
    return " ".join(without_id(point) for point in points)
