"""Free text to facts: the one door of this room.

The reader takes a text apart into sentences and pieces, finds in each what is spoken of, what is said
of it, and in which circumstances, and keeps only what was stated. Where a negation, a side or a state
stays doubtful it hands back a question and no fact.
"""

from __future__ import annotations

from collections.abc import Sequence

from assistant.language.items import Item, find_items, is_mark
from assistant.language.joining import join
from assistant.language.moods import MoodWords, begins_with_no, set_moods
from assistant.language.naming import Named, hear_names
from assistant.language.offered import nearly_worded
from assistant.language.pieces import Sentence, split
from assistant.language.reading import Heard, Reading
from assistant.language.replying import Replying
from assistant.language.statement import Talk
from assistant.language.topics import names_another, prefers_answer
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
    text = text[:20_000]
    alone = _as_meant(text, heard, words)
    if len(text) > _LONGEST_ANSWER:
        return alone
    if heard.answers and not heard.pick and not (alone.cannot or alone.ask or alone.undo or alone.named):
        facts = nearly_worded(text, heard.answers, words, whole=bool(alone.facts))
        alone = Reading(facts=facts) if facts else alone
    if heard.before:
        alone = _going_on(text, alone, heard, words)
    if not heard.back:
        return alone

    def again(whole: str, before: Heard) -> Reading:
        return _read_alone(whole, before, words)

    def cut(whole: str, before: Heard) -> list[Sentence]:
        return _cut(whole, before, words)[1]

    return Replying(text, heard, words, again, cut).reading(alone)


def _as_meant(text: str, heard: Heard, words: Words) -> Reading:
    """A text as it stands: as an answer to what was asked, unless it says by itself what the question would change."""
    asked, unasked = heard.asked, heard.model_copy(update={"asked": None})
    if heard.answering or asked is None or heard.pick:
        return _read_alone(text, heard, words)
    if len(text) > _LONGEST_TALK:
        return _read_alone(text, unasked, words)
    answer = _read_alone(text, heard, words)
    if answer == Reading():
        return answer
    free = _read_alone(text, unasked, words)
    sentences = _cut(text, heard, words)[1]
    pieces = [p for s in sentences for p in s.pieces]
    if not answer.facts:
        named = any(i.sort in ("part", "family") for p in pieces for i in p.items)
        return answer if (len(pieces) == 1 and not named) or not free.facts else free
    if free.facts:
        return answer if prefers_answer(answer, free, pieces, asked, words) else free
    first = max(i.end for i in sentences[0].pieces[-1].items)
    late = all(text.find(f.words) > first for f in answer.facts)  # `He was to come on Tuesday. He didn't.`
    elsewhere = names_another([i for p in pieces for i in p.items], asked, words)
    return free if late or elsewhere else answer  # `the bank is its own affair, 12.6`


def _is_short(items: Sequence[Item], alone: Reading, other: frozenset[str]) -> bool:
    """Whether a line told nothing by itself, or nothing sure: it may be short for more behind the line before it."""
    if any(i.sort == "word" and i.text in other for i in items):
        return True  # `nothing on the other`
    empty = alone.model_copy(update={"unclear": ()}) == Reading()
    sided = any(i.sort == "side" for i in items)
    tells = any(i.sort in ("side", "family", "part", "scene", "number") for i in items)
    return empty and tells and (sided or not alone.unclear) and all(u.kind == "place" for u in alone.unclear)


def _going_on(text: str, alone: Reading, heard: Heard, words: Words) -> Reading:
    """`Starboard doesn't click`, and then `port does`: what both lines tell as one, beyond what the first told."""
    items = [i for s in _cut(text, heard, words)[1] for p in s.pieces for i in p.items]
    if not _is_short(items, alone, names_in(words.settings, "the_other")):
        return alone
    one = Heard(asked=heard.before_asked, names=heard.names)
    first = _read_alone(heard.before, one, words)
    both = _read_alone(f"{heard.before}, {text}", one, words)
    told = {(f.about, f.what, f.value, f.while_, f.certain) for f in first.facts}
    more = tuple(f for f in both.facts if (f.about, f.what, f.value, f.while_, f.certain) not in told)
    if both.unclear or not more or len(both.facts) != len(first.facts) + len(more):
        return alone
    said = tuple(f.model_copy(update={"words": text.strip()}) for f in more)
    return Reading(facts=said, completes=True, asked=heard.before_asked)


def _cut(text: str, heard: Heard, words: Words) -> tuple[Named, list[Sentence]]:
    """The sentences of a text, with their moods, and the names it gives to parts."""
    answer = words.answers.get(heard.asked or "")
    figures = answer is not None and answer.number is not None
    named = hear_names(text, heard.names, words)
    sentences = split(join(find_items(named.text, words, figures, named.own), words.settings))
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
