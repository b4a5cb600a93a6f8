"""What is asked back: what the reader was not sure of, and when a repair was done of which that is not known."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from string import ascii_lowercase

from assistant.diagnosis.diagnose import Diagnosis
from assistant.facts import RawFact
from assistant.facts.model import Fact
from assistant.knowledge import Knowledge
from assistant.language import DONE, MISREAD, WHEN, Reading, Unclear
from assistant.session.line import Line
from assistant.session.names import Names
from assistant.session.offer import fact_data


def when_questions(
    diagnosis: Diagnosis, asked: Collection[str], knowledge: Knowledge, names: Names
) -> tuple[Unclear, ...]:
    """One question for each repair of which it is not known whether it was done just now, and that was not asked yet.

    Args:
        diagnosis: The case.
        asked: Ids of the repairs that were asked about.
        knowledge: The rule base.
        names: How things are called.
    """
    text, done = knowledge.replies["when_done"], knowledge.replies["asks_done"]
    return tuple(
        Unclear(
            words=f.words or names.fact(f), question=text.format(part=names.part(f.about), work=done[f.what]),
            kind=WHEN, fact=RawFact.model_validate(fact_data(f)),
        )
        for f in diagnosis.ask_when
        if f.id not in asked
    )  # fmt: skip


def which_was_misread(facts: Sequence[Fact], knowledge: Knowledge, names: Names) -> tuple[Unclear, ...]:
    """The facts of a line that was taken wrongly, each with a letter, to say which it is.

    Args:
        facts: What was taken from it.
        knowledge: The rule base.
        names: How things are called.
    """
    question = str(knowledge.replies["which_misread"])
    return tuple(
        Unclear(words=f"{letter}: {names.fact(f)}", question=question, kind=MISREAD, fact=_raw(f))
        for letter, f in zip(ascii_lowercase, facts, strict=False)
    )


def _raw(fact: Fact) -> RawFact:
    return RawFact(**fact_data(fact), certain=fact.certain, words=fact.words)


def stands_asked(before: Sequence[Unclear], reading: Reading, when: Sequence[Unclear]) -> tuple[Unclear, ...]:
    """What the next line may answer: what this one left open, or what it asked about in between.

    Args:
        before: What could be answered by this line.
        reading: How this line was read.
        when: The questions about repairs that it raises.
    """
    if not (reading.facts or reading.unclear or reading.cannot or reading.undo or reading.completes):
        # `why?`, `hang on`: what was asked back still stands, but a later yes is of no order
        return (*(b for b in before if b.kind != DONE), *when)
    return (*reading.unclear, *when)


def said_before(
    line: Line, reading: Reading, asked: str | None, before: tuple[str, str | None]
) -> tuple[str, str | None]:
    """What the next line may go on about: this one where it told something, else the one before it.

    Args:
        line: The line.
        reading: How it was read.
        asked: The test that it was said to.
        before: What this line could go on about.
    """
    if line.say is None or line.facts or line.answer_facts:
        return "", None
    return (line.say, asked) if reading.facts and not reading.completes else before
