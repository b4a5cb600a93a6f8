"""A switch read both ways in one answer: `on 12.6, off 0` says in which state each was read, and not how it stands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from assistant.language.items import Item, is_mark
from assistant.language.meanings import Answer, Claim, PartName, Scene
from assistant.language.pieces import Piece, Sentence
from assistant.language.words import Words

_BESIDE = ("pronoun", "auxiliary", "when", "with", "now", "then", "at", "takes")
"""Marks that may stand between the name of a state and what was read in it."""
_PAIR = 2
"""A reading in each of two states."""
_READINGS = ("number", "range", "change", "state", "part")
"""What may have been read."""


@dataclass(frozen=True, slots=True)
class States:
    """The two states of a switch, of a test that asks for a reading in both."""

    names: Mapping[str, Claim]
    """Circumstance → what the switch is told to be in it."""
    read: frozenset[str]
    """Attributes that the test reads; what tells of one of these (`open`) is a reading, and no state's name."""

    switch: str
    """The switch, where the reading is told of another thing (`isolator on 12.4, off 0` at the panel's plug)."""

    asked: bool
    """Whether the test asks in which of them the switch is."""

    @staticmethod
    def of(answer: Answer, words: Words) -> States:
        """What one test asks for."""
        topics = {t.partition(".")[2] for t in words.topics.get(answer.test, frozenset())}
        read = frozenset(topics - {what for what, _ in answer.states.values()} - {""})
        switches = {about for (about, _, _), scene in words.trial.reports.items() if scene in answer.states}
        switch = next(iter(switches - set(answer.about)), "") if len(switches) == 1 else ""
        return States(answer.states, read, switch, bool(answer.scene_says))

    def named(self, item: Item) -> str | None:
        """The circumstance that an item names as a state."""
        meant = {claim for s in item.data for claim in s.tells} if item.sort == "state" else set()
        if {what for what, _ in meant} & self.read:
            return None
        return next((c for c, claim in self.names.items() if claim in meant), None)


def name_both(sentences: Sequence[Sentence], about: Sequence[str], states: States) -> None:
    """Where readings are told of two states of a switch, make their names the circumstances of these readings.

    Args:
        sentences: An answer; changed in place.
        about: The switch.
        states: What the test asks for.
    """
    spots, named = [], set()
    for sentence in sentences:
        for at, piece in enumerate(sentence.pieces):
            if _tells_how_found(piece, sentence.pieces[at + 1 : at + 2], about):
                continue
            here = [(piece, n, c) for n, i in enumerate(piece.items) if (c := states.named(i))]
            named |= {c for p, n, c in here if _is_over(p, n, sentence.pieces[at + 1 : at + 2], states)}
            named |= {c for i in piece.items if i.sort == "scene" for c in i.data.while_ if c in states.names}
            spots += here
    if len(named) == 1:
        _other_figure(sentences, states, next(iter(named)))
    if len(named) < len(states.names):  # `off it's still 12.6`
        spots = [(p, n, c) for p, n, c in spots if states.asked and _leads(p, n, states)]
    if not spots:
        return
    for piece, n, circumstance in reversed(spots):
        before = piece.items[n - 1] if n else None
        piece.items[n] = replace(piece.items[n], sort="scene", data=Scene((circumstance,)), scene=None)
        if before is not None and before.sort == "part" and states.switch in before.data.about:
            del piece.items[n - 1]
        piece.label = False
    for sentence in sentences:
        sentence.pieces[:] = [_placed(cut, about) for p in sentence.pieces for cut in _apart(p, states)]


def _other_figure(sentences: Sequence[Sentence], states: States, named: str) -> None:
    """`12.6 on its load side, 0 when off`: of two readings the one that names no state was taken in the other."""
    others = [c for c in states.names if c != named]
    read = [p for s in sentences for p in s.pieces if p.has("number") or any(_dead(i) for i in p.items)]
    free = [p for p in read if not any(i.sort == "scene" or states.named(i) for i in p.items)]
    if len(others) != 1 or len(read) != _PAIR or len(free) != 1 or not free[0].has("number"):
        return
    end = free[0].items[-1].end
    free[0].items.append(Item("scene", Scene((others[0],)), end, end))


def _tells_how_found(piece: Piece, following: Sequence[Piece], about: Sequence[str]) -> bool:
    """`Found it on. 12.6 when on, 0 when off`: a sentence of its own that tells how the switch stood."""
    others = [i for i in piece.items if i.sort == "part" and not set(i.data.about) <= set(about)]
    read = bool(others) or piece.has("number", "range", "change", "family") or any(_dead(i) for i in piece.items)
    verb = any(is_mark(i, "auxiliary") or i.sort == "word" for i in piece.items)
    return not following and verb and not read


def _leads(piece: Piece, at: int, states: States) -> bool:
    """Whether the name of a state begins a piece with a figure."""
    first = all(is_mark(i, *_BESIDE) for i in piece.items[:at])
    return first and piece.has("number") and _is_over(piece, at, [], states)


def _is_over(piece: Piece, at: int, following: Sequence[Piece], states: States) -> bool:
    """Whether the name of a state stands over a reading, or right behind one."""
    if any(i.sort in ("word", "part", "family") for i in piece.items[at + 1 : at + 2]):
        return False  # `12.6 on the bolts`
    plain = [n for n, i in enumerate(piece.items) if not is_mark(i, *_BESIDE) and i.sort != "word"]
    where = plain.index(at)
    near = [piece.items[n] for n in (*plain[max(0, where - 1) : where], *plain[where + 1 : where + 2])]
    read = any(i.sort in _READINGS and not states.named(i) for i in near)
    if read or len(plain) > 1:
        return read
    after = [i for p in following for i in p.items if not is_mark(i, *_BESIDE)][:1]
    return any(i.sort in (*_READINGS, "word") and not states.named(i) for i in after)


def _apart(piece: Piece, states: States) -> list[Piece]:
    """`On 12.6 off 0`: a piece for each of two states named in one."""
    at = [n for n, i in enumerate(piece.items) if i.sort == "scene" and set(i.data.while_) & set(states.names)]
    if len(at) < 2:
        return [piece]
    leads = not any(i.sort in _READINGS for i in piece.items[: at[0]])
    cuts = [0, *(at[1:] if leads else [n + 1 for n in at[:-1]]), len(piece.items)]
    rows = [piece.items[a:b] for a, b in pairwise(cuts)]
    return [replace(piece, items=row, opener=piece.opener if not n else "comma") for n, row in enumerate(rows)]


def _placed(piece: Piece, about: Sequence[str]) -> Piece:
    """A reading that names no place is read on the far side of the switch."""
    read = [n for n, i in enumerate(piece.items) if i.sort == "number" or _dead(i)]
    if read and not piece.has("part", "family"):
        start = piece.items[read[0]].start
        piece.items.insert(read[0], Item("part", PartName(tuple(about), place=True), start, start))
    return piece


def _dead(item: Item) -> bool:
    """Whether it says that there is nothing at a place."""
    return item.sort == "state" and any(s.at_place for s in item.data)
