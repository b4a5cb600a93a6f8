"""Phrases of the word lists that cannot be what their writer meant are refused, with their place."""

from __future__ import annotations

import pytest

from assistant.errors import KnowledgeError
from assistant.language.phrases import Entry, PhraseNet
from assistant.language.ways import plainer_ways

ENTRY = Entry("mark", "anything")


def words_of(word: str) -> tuple[str, ...]:
    return () if word == "the" else (word,)


def found(phrase: str, *text: str) -> bool:
    net = PhraseNet()
    net.add(phrase, ENTRY, words_of)
    match = net.longest([[word] for word in text], [False] * len(text), 0)
    return match is not None and match.end == len(text)


@pytest.mark.parametrize("phrase", ["power (on|the)", "power (on|)", "(the|a [b]) power", "power ([now]|on)"])
def test_a_choice_that_need_not_be_made_is_refused(phrase: str) -> None:
    with pytest.raises(KnowledgeError, match=r"marks.yaml:7: .*square brackets"):
        PhraseNet().add(phrase, ENTRY, words_of, "marks.yaml:7")


@pytest.mark.parametrize("phrase", ["power (on", "power [on)", "power on)"])
def test_brackets_that_do_not_pair_are_refused(phrase: str) -> None:
    with pytest.raises(KnowledgeError, match=r"marks.yaml:7: .*brackets do not pair"):
        PhraseNet().add(phrase, ENTRY, words_of, "marks.yaml:7")


def test_a_word_that_no_text_can_hold_is_refused() -> None:
    with pytest.raises(KnowledgeError, match=r"marks.yaml:7: .*plus_"):
        PhraseNet().add("and | plus_", ENTRY, words_of, "marks.yaml:7")


def test_what_may_be_left_out_may_be_left_out() -> None:
    assert found("power [on|the]", "power") and found("power [on|the]", "power", "on")
    assert found("power (on|the rest)", "power", "rest") and not found("power (on|the rest)", "power")


def test_plainer_words_are_given_for_each_way_of_a_class_and_the_longest_way_first() -> None:
    spec = {"only <side>": "[nothing] but [to] <side>"}
    ways = plainer_ways(spec, {"its": "it is | dead"}, {"side": "port | the left"})
    assert ways["but"][("but", "to", "the", "left")] == ("only", "the", "left")
    assert next(iter(ways["nothing"])) == ("nothing", "but", "to", "the", "left")
    assert ways["but"][("but", "port")] == ("only", "port") and len(ways["but"]) == len(ways["nothing"]) == 4
    assert ways["its"] == {("its", "dead"): ("it", "is", "dead")}


@pytest.mark.parametrize("said", ["but (to port", "but to] port"])
def test_plainer_words_with_brackets_that_do_not_pair_are_refused(said: str) -> None:
    with pytest.raises(KnowledgeError, match="brackets do not pair"):
        plainer_ways({"only port": said}, {}, {})
