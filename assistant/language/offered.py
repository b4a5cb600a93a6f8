"""An offered answer in nearly its own words: `it has full voltage`, where `Full voltage` is offered."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from functools import lru_cache

from assistant.facts import RawFact
from assistant.language.items import write_words
from assistant.language.views import names_in
from assistant.language.words import Words

Answers = Sequence[tuple[str, tuple[RawFact, ...]]]
"""The offered answers: wording and facts."""
_ENOUGH = 2 / 3
"""How much of an answer's wording has to be said."""


def nearly_worded(text: str, answers: Answers, words: Words, whole: bool = False) -> tuple[RawFact, ...]:
    """The facts of the one offered answer that a text says, with nothing added and nothing of weight left out.

    Args:
        text: What the person typed.
        answers: What was offered.
        words: The word lists of the language.
        whole: Whether nothing at all may be left out of its wording but small words.

    Returns:
        Its facts, in the person's words; none where the text is none of the answers, or may be several.
    """
    said = _content(text, words)
    weighty = names_in(words.settings, "weighty_words") | names_in(words.settings, "negators")
    offered = [(_offered(wording, words), facts) for wording, facts in answers]
    same = [facts for content, facts in offered if said and content == said]
    holding = [(content, facts) for content, facts in offered if said and said <= content]
    if len(same) != 1 and len(holding) == 1 and not whole:
        content, facts = holding[0]
        enough = said.total() >= _ENOUGH * content.total() and not set(content - said) & weighty
        same = [facts] if enough else []
    if len(same) != 1:
        return ()
    return tuple(f.model_copy(update={"words": text.strip()}) for f in same[0])


@lru_cache(maxsize=1024)
def _offered(wording: str, words: Words) -> Counter[str]:
    """The words of an offered answer, which stays on offer line after line."""
    return _content(wording, words)


def _content(text: str, words: Words) -> Counter[str]:
    """The words of a text that say something, each as often as it stands there (`no command, no click`)."""
    small = names_in(words.settings, "beside_offered")
    return Counter(w.text for w in write_words(text, words) if not w.sign and w.text not in small)
