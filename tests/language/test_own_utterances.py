"""Lines of our own, in several voices, with the facts a careful person would write down."""

from __future__ import annotations

from assistant.language import Words

from .corpus import OWN, core_score, lines_of, taken_wrongly


def test_the_lines_are_read_nearly_all(words: Words) -> None:
    lines = lines_of(OWN)
    known = {fact["what"] for line in lines for fact in line["facts"]}
    score, wrong = core_score(lines, words, known)
    assert score >= 0.97, wrong


def test_nothing_is_turned_round(words: Words) -> None:
    bad = {line["id"]: found for line in lines_of(OWN) if (found := taken_wrongly(line, words))}
    assert not bad
