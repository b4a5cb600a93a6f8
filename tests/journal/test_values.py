"""What goes into a journal comes out the same, and the times in it are understood."""

from __future__ import annotations

import contextlib
import json
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.errors import JournalError
from assistant.journal import canonical, normalised, parse_time, plain, seconds_between, stamp
from assistant.journal.canonical import canonical_value

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


def by_the_slow_way(data: bytes) -> object:
    try:
        value = plain(data)
        return value if canonical(value) == data else "refused"
    except JournalError:
        return "refused"


def by_the_fast_way(data: bytes) -> object:
    try:
        return canonical_value(data)
    except JournalError:
        return "refused"


@given(VALUES, st.integers(0, 3))
def test_canonical_bytes_are_told_from_others_by_the_fast_way_as_by_the_slow(value: object, form: int) -> None:
    with contextlib.suppress(UnicodeEncodeError):
        data = (
            canonical(value),
            json.dumps(value).encode(),
            json.dumps(value, ensure_ascii=False, separators=(",", ":")).encode(),
            json.dumps(value, ensure_ascii=False, separators=(",", ":"), sort_keys=True).encode(),
        )[form]
        assert repr(by_the_fast_way(data)) == repr(by_the_slow_way(data))


@pytest.mark.parametrize(
    "text",
    [
        "12.0", "12", "-0", "-0.0", "0.10", "1e5", "100000.5", "0.00001", "0.000001", "1e-7", "1E5", "1e21", "1e+21",
        "007", "123456789012345678", "9007199254740993", "123456789012345.6", "1234567890123456.5", "0.1", "5e-324",
        '"\\ud800"', '"\\u00e9"', '"\u00e9"', '"\\u001f"', '"\\u001F"', '"\\b"', '"\\/"', '"\x7f"', '"\u2028"',
        '{"b":1,"a":2}', '{"a":1,"a":1}', '{"\U0001f600":1,"\uffee":2}', '{"\uffee":2,"\U0001f600":1}', "[1, 2]", " 1",
        "NaN", "[" * 70 + "]" * 70, '"\\udc00?"',
    ],
)  # fmt: skip
def test_numbers_escapes_and_keys_at_the_edge_are_told_alike(text: str) -> None:
    data = text.encode()
    assert repr(by_the_fast_way(data)) == repr(by_the_slow_way(data))


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
