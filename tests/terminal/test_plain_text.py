"""Nothing that a person types or pastes can be obeyed by the terminal or read as markup."""

from __future__ import annotations

import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from assistant.terminal.plain import one_line, shortened, visible


def test_control_characters_are_written_out() -> None:
    assert visible("a\x1b[31mred\x07") == "a\\x1b[31mred\\x07"
    assert visible("one\r\ntwo\rthree\u2028four") == "one\ntwo\nthree\nfour"
    assert visible("a\tb") == "a    b"


def test_text_that_turns_the_reading_direction_is_written_out() -> None:
    assert visible("12 \u202eV 4\u202c") == "12 \\u202eV 4\\u202c"


def test_half_of_a_surrogate_pair_is_written_out() -> None:
    visible("\ud800").encode("utf-8")


def test_plain_text_is_left_alone() -> None:
    assert visible("12,4 V — Bug, größer als 3 Ω [/red]") == "12,4 V — Bug, größer als 3 Ω [/red]"


@given(st.text())
def test_whatever_comes_in_only_prints(text: str) -> None:
    for char in visible(text):
        assert char == "\n" or char.isprintable() or unicodedata.category(char) in ("Zs", "Zl", "Zp")


@given(st.text(), st.integers(1, 60))
def test_cutting_keeps_to_the_width(text: str, width: int) -> None:
    assert len(shortened(text, width)) <= width
    assert "\n" not in one_line(text)
