"""Answers to what was asked back: `Which side?`, and the next line says no more than `port`.

Such a line is put where the words before lacked it, and the whole is read again. What comes of that counts only
where nothing is left to ask; otherwise the line is read as it stands.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Container, Iterator, Sequence

from assistant.facts import RawFact
from assistant.knowledge.model import OTHER_SIDE
from assistant.language.items import Item, is_mark, is_particle, is_side
from assistant.language.pieces import Sentence
from assistant.language.reading import DONE, MISREAD, Heard, Reading, Unclear
from assistant.language.tokens import tokenise
from assistant.language.views import is_cue, names_in, plain_sides
from assistant.language.words import Words

ReadText = Callable[[str, Heard], Reading]
"""Reads a text as it stands."""
CutText = Callable[[str, Heard], Sequence[Sentence]]
"""Cuts a text into its sentences."""

_BESIDE = (
    "polite", "yes", "no", "ok", "pronoun", "auxiliary", "correction", "at", "also", "sure", "hedge", "now", "to",
    "about", "over", "between", "merely",
)  # fmt: skip
"""Marks that may stand beside an answer and add no finding."""
_EITHER = ("negation", "on_off", "plugged", "bridged")
"""Questions which of two it is."""
_THING = ("part", "family", "side")
_STOP = re.compile(r"[.;!?](?=\s|$)|\n")


class Replying:
    """Reads one line as an answer to what the line before left open."""

    def __init__(
        self, text: str, sentences: Sequence[Sentence], heard: Heard, words: Words, read: ReadText, cut: CutText
    ) -> None:
        """Take the line, as it is cut, and what was heard before it."""
        self.text, self.heard, self.words = text, heard, words
        self._read, self._cut = read, cut
        self.items = [i for s in sentences for p in s.pieces for i in p.items]
        self.plain = len(sentences) < 2 and not any(s.question for s in sentences)

    def reading(self, alone: Reading) -> Reading:
        """What the line comes to.

        Args:
            alone: The line read as it stands.
        """
        if alone.ask is not None or alone.undo or not self.plain:
            return alone
        if (picked := self._misread()) is not None:
            return picked
        answered = [r for back in self.heard.back if (r := self._answers(back)) is not None]
        if answered:
            return answered[0].model_copy(update={"facts": tuple(dict.fromkeys(f for r in answered for f in r.facts))})
        polar = names_in(self.words.settings, "polar_questions")
        said = any(is_mark(i, "yes", "no", "not") or is_side(i, "neither") for i in self.items)
        verdict = said and self._only("not", "side")
        again = [b for b in self.heard.back if (verdict and b.kind in polar) or any(True for _ in self._composed(b))]
        # it was meant for what was asked back, and does not fit: of anything else it says nothing sure
        return Reading(unclear=tuple(again)) if again else alone

    def _misread(self) -> Reading | None:
        """`B`, `a and c`, `all`, where it was asked which of the facts was taken wrongly."""
        doubtful = {b.words[0]: b.fact for b in self.heard.back if b.kind == MISREAD and b.fact is not None}
        said = self._written()
        every = any(self.words.ordinals.get(w) == -1 for w in said)
        letters = [w for w in dict.fromkeys(said) if w in doubtful]
        more = [i for i in self.items if not (self._small(i) or is_mark(i, "and") or _is_pick(i, doubtful, self.words))]
        if not doubtful or more or not (every or letters):
            return None
        gone = doubtful.values() if every else [doubtful[w] for w in letters]
        return Reading(taken_back=tuple(gone), completes=True)

    def _answers(self, back: Unclear) -> Reading | None:
        """The line as an answer to one question; None where it is none."""
        if back.kind == MISREAD:
            return None
        if back.fact is not None:
            return self._done(back.fact) if back.kind == DONE else self._when(back.fact)
        asked = self.heard.model_copy(update={"asked": back.asked, "back": (), "pick": "", "answers": ()})
        for whole in self._composed(back):
            found = self._read(whole, asked)
            facts = tuple(f for f in found.facts if not _told(f, self.heard.recent))
            if facts and not found.unclear and self._of_that_side(facts, back):
                return Reading(facts=tuple(self._said(f) for f in facts), completes=True, asked=back.asked)
        return None

    def _said(self, fact: RawFact) -> RawFact:
        """The fact with the words of this line, and with its doubt."""
        doubted = any(is_mark(i, "hedge") for i in self.items)
        return fact.model_copy(update={"words": self.text.strip(), "certain": fact.certain and not doubted})

    def _composed(self, back: Unclear) -> Iterator[str]:
        """The words before with the answer in its place, in the ways in which it may stand there."""
        line, at, end = back.line, back.at, back.end
        start, stop = _sentence(line, at)
        things = self._has("part", "family")
        if back.kind == "side" and self._only(*_THING) and sum(i.sort == "side" for i in self.items) == 1:
            side = self._slice("side")
            yield f"{line[start:at]}{side} {line[at:stop]}"
            yield f"{line[start:end]}, {side}{line[end:stop]}"
        elif back.kind in ("part", "place") and things and self._only(*_THING) and not self._has("state"):
            yield f"{self._slice(*_THING)}: {line[start:stop]}"
            yield f"{self._slice(*_THING)}: {line[at:end]}"
        elif back.kind == "place" and self._only("scene", *_THING) and things:
            yield f"{line[start:stop]}, {self.text.strip()}"
        elif back.kind == "range" and self._has("number") and self._only("number"):
            yield f"{line[start:at]}{self._slice('number')}{line[end:stop]}"
        elif back.kind in _EITHER and self._has("state") and self._only("state", "not", *_THING):
            yield from self._said_of(self._named(line[start:stop], end - start))

    def _said_of(self, named: str) -> Iterator[str]:
        """The line as said of a part."""
        if named:
            yield f"{named}: {self.text.strip()}"
            yield f"{named}: {self._slice('state', 'not')}"

    def _named(self, sentence: str, end: int) -> str:
        """The name of the part that the doubtful words were said of."""
        items = [i for s in self._cut(sentence, self.heard) for p in s.pieces for i in p.items if i.start < end]
        things = [n for n, i in enumerate(items) if i.sort in ("part", "family")]
        if not things:
            return ""
        first = items[things[-1] - 1] if things[-1] and items[things[-1] - 1].sort == "side" else items[things[-1]]
        return sentence[first.start : items[things[-1]].end]

    def _done(self, fact: RawFact) -> Reading | None:
        """`Yes`, `done`, where it was asked whether something was done; a no tells nothing."""
        said = self._written()
        yes = any(is_mark(i, "yes") for i in self.items) and self._only("yes")
        if yes or self.words.done.is_all(said) or self.words.done_now.is_all(said):
            return Reading(facts=(fact.model_copy(update={"words": self.text.strip()}),), completes=True)
        no = any(is_mark(i, "no", "not") for i in self.items) and self._only("no", "not")
        return Reading(completes=True) if no else None

    def _when(self, fact: RawFact) -> Reading | None:
        """`Just now`, `years ago`, where it was asked when a part was replaced."""
        said = self._written()
        told = fact.model_copy(update={"words": self.text.strip()})
        if self.words.done_now.is_all(said):
            return Reading(facts=(told,), completes=True)
        if self.words.done_before.is_all(said):
            before = tuple(names_in(self.words.settings, "done_before"))
            return Reading(facts=(told.model_copy(update={"while_": before}),), completes=True, corrects=True)
        return None

    def _written(self) -> list[str]:
        """The words and figures of the line as they were typed."""
        return as_written(self.text, self.words)

    def _of_that_side(self, facts: Sequence[RawFact], back: Unclear) -> bool:
        """Whether nothing is told of the other side, where one was named."""
        sides = {s for i in self.items if i.sort == "side" for s in plain_sides([i.data.name])}
        if back.kind != "side" or len(sides) != 1:
            return True
        other = OTHER_SIDE[next(iter(sides))]
        return not any(other in name.split("_") for f in facts for name in (f.about, *f.while_))

    def _slice(self, *sorts: str) -> str:
        """The words of the line from the first item of these sorts to the last."""
        items = [i for i in self.items if i.sort in sorts or is_mark(i, *sorts)]
        return self.text[items[0].start : items[-1].end]

    def _has(self, *sorts: str) -> bool:
        return any(i.sort in sorts for i in self.items)

    def _only(self, *sorts: str) -> bool:
        """Whether the line has nothing but items of these sorts, and small words."""
        return all(i.sort in sorts or is_mark(i, *sorts) or self._small(i) for i in self.items)

    def _small(self, item: Item) -> bool:
        if item.sort == "word":
            return item.text in self.words.light or item.text in names_in(self.words.settings, "beside_answers")
        return is_mark(item, *_BESIDE) or is_cue(item) or is_particle(item)


def _is_pick(item: Item, letters: Container[str], words: Words) -> bool:
    """Whether an item only names what was listed, or all of it."""
    return item.sort == "word" and (item.text in letters or words.ordinals.get(item.text) == -1)


def as_written(text: str, words: Words) -> list[str]:
    """The words and figures of a text as they were typed."""
    return [t.text.translate(words.letters) for t in tokenise(text) if t.sort in ("word", "number")]


def _told(fact: RawFact, recent: Sequence[RawFact]) -> bool:
    """Whether the line before told it already."""
    return any((f.about, f.what, f.value, f.while_) == (fact.about, fact.what, fact.value, fact.while_) for f in recent)


def _sentence(line: str, at: int) -> tuple[int, int]:
    """Where the sentence begins and ends in which something stands."""
    stops = list(_STOP.finditer(line))
    start = max((m.end() for m in stops if m.end() <= at), default=0)
    return start, min((m.start() for m in stops if m.start() >= at), default=len(line))
