"""The hash of the chain and the times of the record against their standards."""

from __future__ import annotations

import hashlib
from datetime import UTC, datetime

import pytest

from assistant.errors import JournalError
from assistant.journal import START, canonical, parse_time
from assistant.journal.chain import seal_entry

# source: FIPS 180-4 example messages (published by NIST with the standard) and the digest of no bytes
DIGESTS = [
    (b"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
    (b"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
    (
        b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
    ),
    (b"a" * 1_000_000, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"),
]

# source: RFC 3339 section 5.8, and the moments it says they name; seconds since 1970-01-01T00:00:00Z
MOMENTS = [
    ("1985-04-12T23:20:50.52Z", 482196050.52),
    ("1996-12-19T16:39:57-08:00", 851042397.0),
    ("1996-12-20T00:39:57Z", 851042397.0),
    ("1990-12-31T23:59:60Z", 662687999.0),
    ("1990-12-31T15:59:60-08:00", 662687999.0),
    ("1937-01-01T12:00:27.87+00:20", -1041337172.13),
    ("1937-01-01T11:40:27.87Z", -1041337172.13),
]

# source: RFC 3339 section 5.6 (the grammar) and 5.7 (days of the month, leap years, leap seconds)
REFUSED = [
    "1985-04-31T00:00:00Z",
    "2100-02-29T00:00:00Z",
    "2023-02-29T00:00:00Z",
    "2024-13-01T00:00:00Z",
    "2024-00-01T00:00:00Z",
    "2024-01-01T24:00:00Z",
    "2024-01-01T00:60:00Z",
    "2024-01-01T00:00:61Z",
    "2024-06-15T23:59:60Z",
    "2024-01-01T12:00:60Z",
    "2024-01-01T00:00:00",
    "2024-01-01 00:00:00Z",
    "2024-01-01T00:00Z",
    "2024-01-01T00:00:00+0200",
    "2024-01-01T00:00:00+24:00",
    "2024-01-01T00:00:00+02:60",
    "20240101T000000Z",
    "2024-W01-1T00:00:00Z",
    "2024-01-01T00:00:00,5Z",
    "2024-01-01T00:00:00.Z",
    "２024-01-01T00:00:00Z",
    "2024-01-01T00:00:00Z\n",
]


@pytest.mark.parametrize(("message", "digest"), DIGESTS)
def test_sha_256_of_the_published_messages(message: bytes, digest: str) -> None:
    assert hashlib.sha256(message).hexdigest() == digest


def test_the_seal_is_that_hash_over_the_canonical_form() -> None:
    entry = {"kind": "case", "role": "desk"}
    expected = hashlib.sha256(canonical({"after": START, "entry": entry})).hexdigest()
    sealed = seal_entry(START, entry)
    assert sealed.seal == expected
    assert sealed.line == canonical({"after": START, "entry": entry, "seal": expected}) + b"\n"


@pytest.mark.parametrize(("text", "unix"), MOMENTS)
def test_the_examples_of_rfc_3339(text: str, unix: float) -> None:
    moment = parse_time(text)
    assert (moment - datetime(1970, 1, 1, tzinfo=UTC)).total_seconds() == pytest.approx(unix, abs=1e-6)


def test_lower_case_letters_and_an_unknown_offset_are_allowed() -> None:
    # source: RFC 3339 sections 5.6 (the note on t and z) and 4.3 (-00:00, offset to local time unknown)
    assert parse_time("2024-05-01t10:00:00z") == parse_time("2024-05-01T10:00:00-00:00")


@pytest.mark.parametrize("text", REFUSED)
def test_what_the_grammar_or_the_calendar_refuses(text: str) -> None:
    with pytest.raises(JournalError):
        parse_time(text)
