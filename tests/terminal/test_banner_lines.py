"""The banner tells every hazard, most severe first, in words, whatever room there is."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.terminal.banner import banner_lines

from .stage import ALL_HAZARDS, BRIDGE, MAY_START, MOVES, NOTE, UNCONFIRMED_HOT


def told(hazards: list[dict[str, object]], width: int = 100, height: int = 20) -> str:
    return "\n".join(line.plain for line in banner_lines(hazards, width, height))


def test_one_hazard_has_word_mark_text_turn_and_cure() -> None:
    text = told([MAY_START])
    assert "!!! DANGER" in text
    assert "it can start without warning" in text
    assert "since turn 1" in text
    assert "clear it: isolator off, locked, and dead at the studs" in text


def test_the_most_severe_comes_first() -> None:
    text = told([NOTE, MOVES, BRIDGE, MAY_START])
    places = [text.index(word) for word in ("DANGER", "WARNING", "CAUTION", "NOTICE")]
    assert places == sorted(places)


def test_every_level_has_a_mark_of_its_own() -> None:
    marks = [told([hazard]).split("DANGER")[0] for hazard in (MAY_START,)]
    marks += [
        told([BRIDGE]).split("WARNING")[0],
        told([MOVES]).split("CAUTION")[0],
        told([NOTE]).split("NOTICE")[0],
    ]
    assert len({mark.strip() for mark in marks}) == 4


def test_what_is_only_suspected_says_so() -> None:
    assert "(not confirmed)" in told([UNCONFIRMED_HOT])


def test_a_hazard_of_the_next_step_says_so() -> None:
    assert "for the next step" in told([MOVES])


@pytest.mark.parametrize("height", [3, 5, 6, 9, 14])
def test_what_does_not_fit_is_counted(height: int) -> None:
    lines = banner_lines(ALL_HAZARDS, 76, height)
    text = "\n".join(line.plain for line in lines)
    assert len(lines) <= height
    for word in ("DANGER", "WARNING", "CAUTION", "NOTICE"):
        assert word in text
    full = sum(text.count(hazard["text"][:20]) for hazard in ALL_HAZARDS)
    counted = sum(int(piece.split("×")[1].split(":")[0]) for piece in text.split(",") if "×" in piece)
    assert full + counted == len(ALL_HAZARDS)


@given(st.lists(st.sampled_from(ALL_HAZARDS), min_size=1, max_size=12), st.integers(24, 200), st.integers(3, 20))
def test_it_never_outgrows_its_room(hazards: list[dict[str, object]], width: int, height: int) -> None:
    lines = banner_lines(hazards, width, height)
    assert 1 <= len(lines) <= height
    assert all(line.cell_length <= width for line in lines)


def test_markup_in_a_hazard_is_text() -> None:
    assert "[bold red]x[/]" in told([MAY_START | {"text": "[bold red]x[/]"}])
