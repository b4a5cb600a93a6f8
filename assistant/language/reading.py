"""What a reader hands back for one piece of free text."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict

from assistant.facts import RawFact

DONE = "done"
"""The question whether what was said like an order has been done."""
WHEN = "when"
"""The question when a part was replaced or repaired."""

MISREAD = "misread"
"""The question which of the facts of the line before was taken wrongly."""


class Unclear(BaseModel):
    """A piece of text that carried something but was not understood, with the question to ask back."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    words: str
    question: str
    hazard: str | None = None
    """A hazard of the rule base that this piece may point to; it is then raised as unconfirmed."""
    kind: str = ""
    """Which question of the word lists it is, `WHEN` or `MISREAD`."""
    line: str = ""
    """The whole text in which it stands; the next line may complete it."""
    at: int = 0
    """Where the words begin in that text, in characters."""
    asked: str | None = None
    """Test id of the question that was put when it was said."""
    fact: RawFact | None = None
    """For `WHEN` and `DONE`: the work or the deed that is asked about; for `MISREAD`: what may have been misread."""

    @property
    def end(self) -> int:
        """The place behind the last of the words."""
        return self.at + len(self.words)


class Naming(BaseModel):
    """A name that the person gives a part of their boat."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    about: str
    """The part; empty where the lists do not know which, and the name is refused."""
    name: str
    """In the person's own spelling."""
    words: str
    refused: str | None = None
    """Why it cannot be given: `taken`, `means_part`, `means_side`, `ordinary`, `too_long` or `unreadable`."""
    other: str | None = None
    """The part that has the name already, or that it means."""


class Reading(BaseModel):
    """Everything one text gave; all parts may be empty."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    facts: tuple[RawFact, ...] = ()
    """In the person's own order, each with `words`, in the vocabulary's units, `while` set."""
    unclear: tuple[Unclear, ...] = ()
    cannot: str | None = None
    """The reason, when the person says that the test just asked cannot be done."""
    withdraw: tuple[str, ...] = ()
    """Subjects about which the person takes back what was said ('forget what I said about the fuse')."""
    taken_back: tuple[RawFact, ...] = ()
    """Facts that the person describes and takes back ('forget the wet plug')."""
    corrects: bool = False
    """The line says again, and differently, what was told before: the older reading never was so."""
    undo: bool = False
    """The whole last line is to be taken back ('undo', 'scrap that')."""
    misread: bool = False
    """The line only says that the one before was taken wrongly (`that's not what I said`)."""
    named: tuple[Naming, ...] = ()
    """Names given to parts, in the person's own order."""
    unnamed: tuple[str, ...] = ()
    """Parts whose name is taken back."""
    ask: dict[str, object] | None = None
    """A question to the assistant, in the form of the protocol's `ask`, or `{"help": true}`."""
    unfed: bool = False
    """The line tells that nothing was fed or bridged although the test wants it: its readings are not of the test."""
    completes: bool = False
    """The line answers what was asked back, and its facts are of the test that was asked for before that."""
    asked: str | None = None
    """That test."""

    @property
    def unplaced(self) -> int:
        """Of how many figures it is asked where they were read."""
        return sum(u.kind == "place" for u in self.unclear)


class Heard(BaseModel):
    """What the reader may lean on besides the text itself."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    asked: str | None = None
    """Test id of the question just put."""
    set_up_for: str | None = None
    """Test id of the question just put, where a text is read as if nothing had been asked: its set-up is no finding."""
    answering: bool = True
    """Whether the text is known to answer that question; in a talk it may as well go on about something else."""
    answers: tuple[tuple[str, tuple[RawFact, ...]], ...] = ()
    """The pickable answers of that question: wording and facts."""
    pick: str = ""
    """`setup` or `scene` where it was asked how a reading was taken: yes, no or a circumstance then picks an answer."""
    recent: tuple[RawFact, ...] = ()
    """Facts of the last line that gave any, for 'same there' and corrections."""
    before: str = ""
    """The line before this one, where it told something: `port does`, behind it, is short for more."""
    before_asked: str | None = None
    """Test id of the question that was put when that was said."""
    back: tuple[Unclear, ...] = ()
    """What the line before left unclear, and was asked back."""
    standing: tuple[RawFact, ...] = ()
    """All facts that stand in the case, oldest first, for `forget that the fuse is blown`."""
    figures: tuple[RawFact, ...] = ()
    """All figures that stand in the case, oldest first, for `that 12.65 was at rest`."""
    names: tuple[tuple[str, str], ...] = ()
    """The person's own names of parts that stand: name and part."""
    faults: tuple[str, ...] = ()
    """Fault ids, most likely first, for 'why the panel?'."""
