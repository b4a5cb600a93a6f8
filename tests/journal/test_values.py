"""What goes into a journal comes out the same, and the times in it are understood."""

from __future__ import annotations

import contextlib
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.errors import JournalError
from assistant.journal import canonical, normalised, parse_time, plain, seconds_between, stamp

VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53) + 1, 2**53 - 1)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4),
    max_leaves=20,
)


@given(VALUES)
def test_canonical_form_survives_reading_and_writing(value: object) -> None:
    once = canonical(value)
    assert canonical(plain(once)) == once
    assert canonical(normalised(value)) == once


def test_whole_floats_become_whole_numbers_and_tuples_lists() -> None:
    assert repr(normalised({"v": 12.0, "w": (1, 2.5)})) == "{'v': 12, 'w': [1, 2.5]}"
    assert canonical(normalised({"v": 10**20})) == b'{"v":100000000000000000000}'
    assert canonical(normalised(1e20)) == b"100000000000000000000"


@pytest.mark.parametrize(
    "text", [b"NaN", b"Infinity", b"{", b"\xff", b'"\xed\xa0\x80"', b"1" * 5000 + b"x", b"1" * 400]
)
def test_what_is_no_json_is_refused(text: bytes) -> None:
    with pytest.raises(JournalError, match="not JSON"):
        plain(text)


@pytest.mark.parametrize("value", ["\ud800", float("nan"), 10**400, b"x", {1: 2}, object()])
def test_what_has_no_form_cannot_be_normalised(value: object) -> None:
    with pytest.raises(JournalError):
        canonical(normalised(value))


def test_nesting_has_a_bound() -> None:
    assert plain(b"[" * 60 + b"]" * 60)
    for depth in (70, 100_000):
        with pytest.raises(JournalError):
            plain(b"[" * depth + b"]" * depth)


@given(st.datetimes(datetime(1970, 1, 2), datetime(2200, 1, 1)), st.integers(-1439, 1439))
def test_a_stamp_is_read_back_to_the_second(moment: datetime, minutes: int) -> None:
    aware = moment.replace(tzinfo=timezone(timedelta(minutes=minutes)))
    back = parse_time(stamp(aware))
    assert back == aware.replace(microsecond=0) and back.utcoffset() == aware.utcoffset()


def test_a_stamp_of_now_has_an_offset() -> None:
    assert abs((parse_time(stamp()) - datetime.now(UTC)).total_seconds()) < 5


@given(st.text(max_size=40))
def test_no_text_crashes_the_reader_of_times(text: str) -> None:
    with contextlib.suppress(JournalError):
        parse_time(text)


def test_seconds_between_heeds_the_offset_and_the_direction() -> None:
    assert seconds_between("2026-05-04T09:00:00+02:00", "2026-05-04T07:01:00Z") == 60
    assert seconds_between("2026-05-04T09:00:00Z", "2026-05-04T09:00:00+02:00") == -7200
