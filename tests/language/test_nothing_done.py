"""What is planned, asked, imagined, refused or only possible has not been done, and what is asked about is not so."""

from __future__ import annotations

from itertools import product

import pytest

from assistant.language import Heard, Words, read

DEEDS = (
    "turn the isolator off",
    "unplug the panel",
    "bridge control plus to the port signal",
    "lift the sense lead",
    "change the fuse",
    "switch the power on",
    "pull the plug of the control unit",
    "clean the brushes",
    "tighten the positive lug",
    "replace the contactor",
)
NOT_DONE = (
    "I will {}",
    "I'll {} now",
    "I'm going to {}",
    "shall I {}?",
    "should I {}?",
    "do I have to {}?",
    "he wants to {}",
    "I could {}",
    "let me {} first",
    "if I {}",
    "I can't {}",
    "he refuses to {}",
    "tell me when to {}",
    "before I {}",
    "tomorrow I {}",
    "I have to {} next",
    "can you {}?",
    "I'd rather not {}",
    "must I {}",
    "I might {} later",
    "nobody has told me to {}",
    "the manual says to {}",
    "I was about to {}",
    "I would {} but it's raining",
    "remind me to {}",
    "is it safe to {}",
    "why should I {}",
    "how do I {}",
    "ready to {}",
    "he told me to {}",
    "what happens if I {}",
    "what if we {}?",
    "I can {}",
    "how to {}",
    "whether to {} or not",
)
STATES = (
    "the fuse is blown",
    "the isolator is off",
    "it runs to port",
    "the contactor clicks",
    "the panel is dark",
    "the motor is hot",
    "the positive lug is loose",
    "the studs show 12.4 V",
    "nobody is in the water",
    "the panel is unplugged",
    "the brushes are worn",
)
NOT_SO = (
    "is it possible that {}?",
    "I don't know whether {}",
    "I wonder if {}",
    "if {} I will call you",
    "let me know if {}",
    "it used to be that {}",
    "last year {}",
    "suppose {}",
    "could it be that {}?",
    "what if {}?",
    "I was asked whether {}",
    "check whether {}",
    "does it matter if {}?",
    "unless {}",
    "in case {}",
    "my neighbour says that on his boat {}",
    "imagine {}",
    "nobody knows if {}",
    "the book says that {} sometimes",
    "when {} you should stop",
    "how can I tell if {}?",
    "he asked me if {}",
    "I can't say whether {}",
    "it would be bad if {}",
    "I hope {}",
)


@pytest.mark.parametrize(("said", "wrapped"), [(DEEDS, NOT_DONE), (STATES, NOT_SO)], ids=["deeds", "states"])
def test_no_fact_comes_of_it(said: tuple[str, ...], wrapped: tuple[str, ...], words: Words) -> None:
    taken = []
    for text in (way.format(one) for one, way in product(said, wrapped)):
        facts = [(f.about, f.what, f.value) for f in read(text, Heard(), words).facts if f.certain]
        taken += [(text, facts)] if any(what != "intended" for _, what, _ in facts) else []
    assert taken == []
