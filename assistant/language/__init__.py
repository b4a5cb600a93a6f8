"""Text to facts: deterministic, from word lists that anybody can extend; no facts from nothing."""

from assistant.language.reader import read
from assistant.language.reading import DONE, MISREAD, WHEN, Heard, Reading, Unclear
from assistant.language.words import Words, load_words

__all__ = ["DONE", "MISREAD", "WHEN", "Heard", "Reading", "Unclear", "Words", "load_words", "read"]
