"""Free text to facts: the one door of this room.

The reader takes a text apart into sentences and pieces, finds in each what is spoken of, what is said
of it, and in which circumstances, and keeps only what was stated. Where a negation, a side or a state
stays doubtful it hands back a question and no fact.
"""

from __future__ import annotations

from assistant.language.items import find_items
from assistant.language.joining import join
from assistant.language.moods import MoodWords, begins_with_no, set_moods
from assistant.language.naming import hear_names
from assistant.language.pieces import split
from assistant.language.reading import Heard, Reading
from assistant.language.statement import Talk
from assistant.language.words import Words


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
    answer = words.answers.get(heard.asked or "")
    figures = answer is not None and answer.number is not None
    named = hear_names(text, heard.names, words)
    items = find_items(named.text, words, figures, named.own)
    sentences = split(join(items, words.settings))
    set_moods(sentences, MoodWords.of(words.settings))
    talk = Talk(text, heard, words)
    talk.figures = sum(i.sort in ("number", "range") for s in sentences for p in s.pieces for i in p.items)
    talk.begin(begins_with_no(sentences))
    for sentence in sentences:
        talk.sentence(sentence)
    reading = talk.reading()
    if not (named.given or named.gone or named.unclear):
        return reading
    unclear = (*named.unclear, *reading.unclear)
    return reading.model_copy(update={"named": tuple(named.given), "unnamed": tuple(named.gone), "unclear": unclear})
