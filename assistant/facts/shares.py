"""How a share is written for a person to read."""

from __future__ import annotations


def percent(share: float) -> str:
    """Return a share as whole percent, never 0 or 100 for something that is neither."""
    if 0 < share < 0.005:
        return "<1 %"
    if 0.995 <= share < 1:
        return ">99 %"
    return f"{share * 100:.0f} %"
