"""Free text to facts: the one door of this room.

The reader takes a text apart into sentences and pieces, finds in each what is spoken of, what is said
of it, and in which circumstances, and keeps only what was stated. Where a negation, a side or a state
stays doubtful it hands back a question and no fact.
"""

from __future__ import annotations

from assistant.language.items import find_items, is_mark
from assistant.language.joining import join
from assistant.language.moods import MoodWords, begins_with_no, set_moods
from assistant.language.naming import Named, hear_names
from assistant.language.offered import nearly_worded
from assistant.language.pieces import Sentence, split
from assistant.language.reading import Heard, Reading
from assistant.language.replying import Replying
from assistant.language.statement import Talk
from assistant.language.words import Words

_VERDICTS = ("yes", "no", "not", "ok", "polite")
"""Marks that as a clause of their own tell of no thing."""
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
    alone = _read_alone(text, heard, words)
    if len(text) > _LONGEST_ANSWER:
        return alone
    if heard.answers and not heard.pick and not (alone.cannot or alone.ask or alone.undo or alone.named):
        facts = nearly_worded(text, heard.answers, words, whole=bool(alone.facts))
        alone = Reading(facts=facts) if facts else alone
    if not heard.back:
        return alone

    def again(whole: str, before: Heard) -> Reading:
        return _read_alone(whole, before, words)

    def cut(whole: str, before: Heard) -> list[Sentence]:
        return _cut(whole, before, words)[1]

    return Replying(text, heard, words, again, cut).reading(alone)


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
