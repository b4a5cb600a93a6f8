"""Verbs whose particle stands apart, at the end of the clause: `zieht den Stecker ab` is read as `abzieht`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import takewhile

from assistant.language.quantities import Quantity
from assistant.language.words import Words


@dataclass(frozen=True, slots=True)
class Written:
    """One word after folding: what it stands for, its classes and its place."""

    text: str
    names: tuple[str, ...]
    start: int
    end: int
    quantity: Quantity | None = None
    sign: bool = False
    finite: bool = False
    """True for a verb of the third person, to judge by its ending (`it runs`, `it does`)."""
    own: str = ""
    """The part, where it is a person's own word for one."""


def joined(written: Sequence[Written], words: Words) -> list[Written]:
    """The words with each verb joined to its particle, in the particle's place, so that a negation precedes it."""
    out = list(written)
    for at in range(len(written) - 1, -1, -1) if words.separable else ():
        clause = list(takewhile(lambda w: not _ends(w, words), out[at + 1 :]))
        last = clause[-1] if clause else None
        if last is not None and out[at].text in words.separable.get(last.text, ()):
            names = tuple(n for w in words.canonical(last.text + out[at].text) for n in (w, *words.classes.get(w, ())))
            out[at + len(clause)] = Written(names[0], names, last.start, last.end, finite=out[at].finite)
            del out[at]
    return out


def _ends(word: Written, words: Words) -> bool:
    return word.sign or word.text in words.joints
