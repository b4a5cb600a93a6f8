"""What clears a danger is taken from nobody who only looked like saying so."""

from __future__ import annotations

from typing import Any

import pytest

from assistant.language import Heard, Words, read

CLEARS: set[tuple[str, Any]] = {
    ("people_clear", True), ("proved_dead", True), ("ventilated", True), ("vapour_free", True), ("fuel_vapour", False),
    ("locked", True), ("position", "off"),
}  # fmt: skip
ASKED = (None, "isolator_check", "space_check", "panel_wake_up", "motor_temperature")

NOT_SO = (
    "nobody checked the water", "nobody has looked in the water", "the water will be clear in a minute",
    "make sure nobody's in the water", "I'll check nobody is in the water", "nobody in the boat", "nobody on deck",
    "hopefully nobody in the water", "no swimmers allowed here", "no swimming sign up", "swimming is forbidden here",
    "one bloke still in the water", "nobody but the diver in the water", "everyone's ashore", "stand clear",
    "is the water clear?", "the tunnel is clear of weed", "clear water, lovely", "coast is clear", "diver's booked",
    "isolator will be off", "I was going to turn the isolator off", "isolator nearly off", "isolator off?",
    "turn the isolator off", "open the isolator", "can't turn the isolator off", "isolator won't go off",
    "couldn't lock it off", "no lock on the isolator", "locked the boat", "locker is locked", "the hatch is locked",
    "I locked myself out", "lock is in the drawer", "tagged but not locked", "the padlock is in the van",
    "proved dead? not yet", "didn't prove dead", "can't prove it dead", "it's dead, Jim", "no gas alarm fitted",
    "no gas detector on board", "aired? not yet", "not aired", "needs airing", "bilge blower doesn't work",
    "sniffer broken", "can't smell anything, got a cold",
)  # fmt: skip
DOUBTFUL = (
    "the water was clear this morning", "nobody was in the water yesterday", "proved it dead yesterday",
    "hatches were open yesterday", "I think nobody's in the water", "should be clear of people",
    "isolator should be off", "locked it off last week",
)  # fmt: skip
SO = (
    ("nobody in the water", "people_clear"), ("tunnel and water clear", "people_clear"), ("isolator off", "position"),
    ("I turned the isolator off", "position"), ("turned the isolator off and locked it", "locked"),
    ("proved dead at the studs", "proved_dead"), ("locker aired for half an hour", "ventilated"),
    ("everyone is out of the water", "people_clear"), ("I made sure nobody's in the water", "people_clear"),
)  # fmt: skip


@pytest.mark.parametrize("asked", ASKED)
@pytest.mark.parametrize("said", NOT_SO)
def test_nothing_is_cleared(said: str, asked: str | None, words: Words) -> None:
    told = read(said, Heard(asked=asked), words).facts
    assert [f for f in told if (f.what, f.value) in CLEARS] == []


@pytest.mark.parametrize("said", DOUBTFUL)
def test_what_is_not_sure_now_stays_doubtful(said: str, words: Words) -> None:
    told = [f for f in read(said, Heard(), words).facts if (f.what, f.value) in CLEARS]
    assert not any(f.certain for f in told)


@pytest.mark.parametrize(("said", "what"), SO)
def test_who_says_so_is_believed(said: str, what: str, words: Words) -> None:
    assert any(f.what == what and f.certain for f in read(said, Heard(), words).facts)


@pytest.mark.parametrize(
    ("answer", "taken"),
    [("yes", True), ("done", True), ("it's done", True), ("just now", True), ("no", False), ("not yet", False)],
)
def test_an_order_counts_once_it_was_carried_out(answer: str, taken: bool, words: Words) -> None:
    first = read("turn the isolator off", Heard(asked="motor_temperature"), words)
    assert not first.facts and [u.kind for u in first.unclear] == ["done"]
    told = read(answer, Heard(asked="motor_temperature", back=first.unclear), words).facts
    assert [(f.about, f.what, f.value) for f in told] == ([("isolator", "position", "off")] if taken else [])
