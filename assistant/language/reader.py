"""Free text to facts: the one door of this room.

The reader takes a text apart into sentences and pieces, finds in each what is spoken of, what is said
of it, and in which circumstances, and keeps only what was stated. Where a negation, a side or a state
stays doubtful it hands back a question and no fact.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from assistant.facts.model import Value
from assistant.language.amending import amend
from assistant.language.answering import names_another, obeys, prefers_answer
from assistant.language.calling import call_as_asked
from assistant.language.in_order import place_in_order, place_in_states, place_in_turn
from assistant.language.items import Item, find_items, is_mark
from assistant.language.joining import join
from assistant.language.moods import MoodWords, begins_with_no, set_moods
from assistant.language.naming import Named, hear_names
from assistant.language.offered import nearly_worded
from assistant.language.pieces import Piece, Sentence, split
from assistant.language.reading import Heard, Reading
from assistant.language.replying import Replying, as_written
from assistant.language.statement import Talk
from assistant.language.two_states import States, name_both
from assistant.language.views import names_in
from assistant.language.words import Words

_VERDICTS = ("yes", "no", "not", "ok", "polite")
"""Marks that as a clause of their own tell of no thing."""
_LONGEST_TALK = 1_000
"""Characters of a text that may still be an answer to the test; what is longer tells of all and sundry."""
_LONGEST_ANSWER = 200
"""Characters of a line that may be no more than an answer, to what was asked back or in nearly the offered words."""


def read(text: str, heard: Heard, words: Words) -> Reading:
    """Read one text.

    Args:
        text: What the person typed, up to 20,000 characters; any longer text is read to that length.
        heard: The question just put, its answers, and what was said before.
        words: The word lists of the language, see `load_words`.

    Returns:
        Facts in the person's own order, with the vocabulary's units, and whatever else the text carried.
    """
    return _Line(text[:20_000], heard, words).reading()


class _Line:
    """One line, and the ways in which it may be meant; what they look at is cut only once."""

    def __init__(self, text: str, heard: Heard, words: Words) -> None:
        self.text, self.heard, self.words = text, heard, words

    @cached_property
    def sentences(self) -> list[Sentence]:
        """The line cut as an answer to what was asked; to look at, for a reading changes its own."""
        return _cut(self.text, self.heard, self.words)[1]

    @cached_property
    def pieces(self) -> list[Piece]:
        """Its clauses."""
        return [p for s in self.sentences for p in s.pieces]

    @cached_property
    def items(self) -> list[Item]:
        """What is in its clauses."""
        return [i for p in self.pieces for i in p.items]

    def reading(self) -> Reading:
        """What the line comes to."""
        if len(self.text) <= _LONGEST_ANSWER and self.heard.recent and self._protests():
            return Reading(misread=True)
        heard, alone = self.heard, self._as_meant()
        if len(self.text) > _LONGEST_ANSWER:
            return alone
        if heard.answers and not heard.pick and not (alone.cannot or alone.ask or alone.undo or alone.named):
            facts = nearly_worded(self.text, heard.answers, self.words, whole=bool(alone.facts))
            alone = Reading(facts=facts) if facts else alone
        if heard.before:
            alone = self._going_on(alone)
        if not heard.back:
            return alone

        def again(whole: str, before: Heard) -> Reading:
            return _read_alone(whole, before, self.words)

        def cut(whole: str, before: Heard) -> list[Sentence]:
            return _cut(whole, before, self.words)[1]

        return Replying(self.text, self.sentences, heard, self.words, again, cut).reading(alone)

    def _protests(self) -> bool:
        """`That's not what I said`: no more than that the line before was taken wrongly."""
        return self.words.misread.is_all(as_written(self.text, self.words))

    def _as_meant(self) -> Reading:
        """The line as it stands: as an answer to the test, unless it says by itself what the question would change."""
        heard, words = self.heard, self.words
        asked, unasked = heard.asked, heard.model_copy(update={"asked": None, "set_up_for": heard.asked})
        if heard.answering or asked is None or heard.pick:
            return _read_alone(self.text, heard, words)
        if len(self.text) > _LONGEST_TALK:
            return _read_alone(self.text, unasked, words)
        answer = _read_alone(self.text, heard, words)
        if answer == Reading():
            return answer
        free = _read_alone(self.text, unasked, words)
        order = words.answers.get(asked)
        if order is not None and order.confirm and not obeys(_beyond(answer, free), order):
            return free
        if not answer.facts:
            named = any(i.sort in ("part", "family") for i in self.items)
            return answer if (len(self.pieces) == 1 and not named) or not free.facts else free
        if free.facts:
            return answer if prefers_answer(answer, free, self.pieces, heard, words) else free
        first = max(i.end for i in self.sentences[0].pieces[-1].items)
        places = [self.text.find(f.words) for f in answer.facts]
        late = all(place > first for place in places)  # `He was to come on Tuesday. He didn't.`
        elsewhere = names_another(self._sentences_at(places), asked, words) and answer.unplaced >= free.unplaced
        return free if late or elsewhere else answer  # `the bank is its own affair, 12.6`

    def _sentences_at(self, places: Sequence[int]) -> list[Item]:
        """The items of the sentences in which these places of the text lie."""
        out: list[Item] = []
        for sentence in self.sentences:
            items = [i for p in sentence.pieces for i in p.items]
            if items and any(items[0].start <= place < items[-1].end for place in places):
                out += items
        return out

    def _is_short(self, alone: Reading) -> bool:
        """Whether the line told nothing by itself, or nothing sure: it may be short for more behind the one before."""
        if any(i.sort == "word" and i.text in names_in(self.words.settings, "the_other") for i in self.items):
            return True  # `nothing on the other`
        empty = alone.model_copy(update={"unclear": ()}) == Reading()
        sided = any(i.sort == "side" for i in self.items)
        tells = any(i.sort in ("side", "family", "part", "scene", "number") for i in self.items)
        return empty and tells and (sided or not alone.unclear) and alone.unplaced == len(alone.unclear)

    def _going_on(self, alone: Reading) -> Reading:
        """`Starboard doesn't click`, and then `port does`: what both lines tell as one, beyond what the first told."""
        if not self._is_short(alone):
            return alone
        heard = self.heard
        one = Heard(asked=heard.before_asked, names=heard.names)
        first = _read_alone(heard.before, one, self.words)
        both = _read_alone(f"{heard.before}, {self.text}", one, self.words)
        told = {(f.about, f.what, f.value, f.while_, f.certain) for f in first.facts}
        more = tuple(f for f in both.facts if (f.about, f.what, f.value, f.while_, f.certain) not in told)
        if both.unclear or not more or len(both.facts) != len(first.facts) + len(more):
            return alone
        said = tuple(f.model_copy(update={"words": self.text.strip()}) for f in more)
        return Reading(facts=said, completes=True, asked=heard.before_asked)


def _beyond(answer: Reading, free: Reading) -> list[tuple[str, str, Value]]:
    """What a line tells as an answer and does not tell by itself."""
    kept = {(f.about, f.what, f.value) for f in free.facts}
    return [(f.about, f.what, f.value) for f in answer.facts if (f.about, f.what, f.value) not in kept]


def _cut(text: str, heard: Heard, words: Words) -> tuple[Named, list[Sentence]]:
    """The sentences of a text, with their moods, and the names it gives to parts."""
    answer = words.answers.get(heard.asked or "")
    figures = answer is not None and answer.number is not None
    named = hear_names(text, heard.names, words)
    items = amend(join(find_items(named.text, words, figures, named.own), words.settings), words.negation)
    if answer is not None:
        items = call_as_asked(items, answer, words)
    if answer is not None and answer.in_order:
        zero = answer.number in names_in(words.settings, "nothing_is_zero") and not answer.yes
        items = place_in_order(items, answer.in_order, words.ordinals, answer.number is not None, zero)
    if answer is not None and answer.family is not None and answer.number is not None:
        items = place_in_turn(items)
    if answer is not None and answer.states and answer.number is not None:
        items = place_in_states(items, tuple(answer.states))
    sentences = split(items)
    if answer is not None and answer.states:
        name_both(sentences, answer.about, States.of(answer, words))
    set_moods(sentences, MoodWords.of(words.settings))
    return named, sentences


def _read_alone(text: str, heard: Heard, words: Words) -> Reading:
    """A text as it stands, whatever was asked back."""
    named, sentences = _cut(text, heard, words)
    talk = Talk(text, heard, words)
    talk.figures = sum(i.sort in ("number", "range") for s in sentences for p in s.pieces for i in p.items)
    telling = [p for s in sentences for p in s.pieces if not all(is_mark(i, *_VERDICTS) for i in p.items)]
    talk.sole = len(telling) < 2
    talk.begin(begins_with_no(sentences))
    for sentence in sentences:
        talk.sentence(sentence)
    reading = talk.reading()
    if not (named.given or named.gone or named.unclear):
        return reading
    unclear = (*named.unclear, *reading.unclear)
    return reading.model_copy(update={"named": tuple(named.given), "unnamed": tuple(named.gone), "unclear": unclear})
