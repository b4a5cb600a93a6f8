"""Facts as the person states them and as the case keeps them."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

Value = bool | int | float | str
"""A flag, a number in the attribute's own unit, or one of the attribute's choices."""

Bound = Literal["at_least", "at_most"]


JUST_DONE = "just_done"
"""The circumstance of what somebody has made so now: a step taken, and no finding."""


class RawFact(BaseModel):
    """A fact in the words of the vocabulary, before it has a place in a case."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)

    about: str
    """Subject: a part of the boat, or a place where a meter is put."""
    what: str
    """Attribute."""
    value: Value
    """In the attribute's own unit once it has passed the intake."""
    unit: str | None = None
    while_: tuple[str, ...] = Field(default=(), alias="while")
    """Circumstances, in the order of the vocabulary; empty means 'as found'."""
    certain: bool = True
    """False when the *speaker* doubts it; never the reader's own doubt."""
    bound: Bound | None = None
    words: str = ""
    """The words of the person it came from, or empty when it came in structured form."""


class Fact(RawFact):
    """A fact with its place in a case."""

    id: str
    """`f1`, `f2` …, counted over the case."""
    turn: int
    """Turn in which it was told."""
    index: int
    """Place within that turn."""
    by: str = "user"
    asked: str | None = None
    """Test in whose answer it was told."""
    regards: int | None = None
    """Turn of the reading whose set-up this fact reports, when it was asked for afterwards."""
    as_setup: bool = False
    """True when the pending step had asked for just this state: set-up, not a finding."""

    @property
    def order(self) -> tuple[int, int]:
        """Sort key: newest last."""
        return (self.turn, self.index)
