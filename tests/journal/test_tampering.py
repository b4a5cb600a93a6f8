"""Whatever is done to the bytes of a journal is found, and the entry is named."""

from __future__ import annotations

import hashlib
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.journal import START, Chain, canonical, check, check_seals
from assistant.journal.chain import seal_entry

HEADER = {"kind": "case", "format": 1, "program": "0.1.0", "rules": "ab" * 32, "role": "technician"}
SAYINGS = [
    "panel stays dark",
    "12,4 V at the studs",
    'he said "no"\n',
    "kølet er ødelagt ⚓",
    "\u2028 \x1b[31m",
    "",
]


def turn(number: int, words: str) -> dict[str, object]:
    at = f"2026-05-04T09:{number:02d}:00+02:00"
    fact = {"id": f"f{number}", "about": "supply", "what": "voltage", "value": 12.4, "while": ["at_rest"]}
    return {
        "kind": "turn",
        "turn": number,
        "at": at,
        "by": "user",
        "line": {"say": words, "at": at},
        "facts": [fact],
        "out": {"turn": number, "reply": "And now?", "suspects": [{"probability": 0.25}]},
    }


def journal(entries: list[dict[str, object]]) -> bytes:
    after, lines = START, []
    for entry in entries:
        sealed = seal_entry(after, entry)
        lines.append(sealed.line)
        after = sealed.seal
    return b"".join(lines)


CASE = [HEADER, *(turn(n, words) for n, words in enumerate(SAYINGS, 1))]
WHOLE = journal(CASE)
LINES = WHOLE.splitlines(keepends=True)
STARTS = [sum(len(line) for line in LINES[:n]) for n in range(len(LINES) + 1)]


def line_at(position: int) -> int:
    return next(n for n in range(1, len(STARTS)) if position < STARTS[n])


def first_problems(data: bytes) -> tuple[int, int]:
    """Line of the first problem, found in full and by the seals alone."""
    return check(data).problems[0].line, check_seals(data).problems[0].line


def test_a_journal_as_written_is_without_a_problem() -> None:
    checked = check(WHOLE)
    assert checked.problems == () and check_seals(WHOLE).problems == ()
    assert [entry.body for entry in checked.entries] == json.loads(json.dumps(CASE))
    assert checked.good_bytes == len(WHOLE)


def test_the_chain_in_memory_has_the_same_heads_as_the_file() -> None:
    chain = Chain(HEADER)
    heads = [chain.head, *(chain.add(entry) for entry in CASE[1:])]
    assert heads == [entry.seal for entry in check(WHOLE).entries]


def test_a_line_can_be_checked_by_hand_as_the_description_says() -> None:
    line = json.loads(LINES[3])
    seal = line.pop("seal")
    assert hashlib.sha256(canonical(line)).hexdigest() == seal
    assert line["after"] == json.loads(LINES[2])["seal"]


@pytest.mark.parametrize("flip", [0x01, 0x80])
def test_every_single_changed_byte_is_found_at_its_line(flip: int) -> None:
    for position in range(len(WHOLE)):
        changed = bytearray(WHOLE)
        changed[position] ^= flip
        expected = line_at(position)
        assert first_problems(bytes(changed)) == (expected, expected), position


@settings(max_examples=300, deadline=None)
@given(st.integers(0, len(WHOLE) - 1), st.integers(1, 255))
def test_any_change_of_a_byte_to_any_other_is_found_at_its_line(position: int, flip: int) -> None:
    changed = bytearray(WHOLE)
    changed[position] ^= flip
    assert first_problems(bytes(changed)) == (line_at(position),) * 2


def test_every_deleted_byte_is_found_at_its_line() -> None:
    for position in range(len(WHOLE)):
        expected = line_at(position)
        assert first_problems(WHOLE[:position] + WHOLE[position + 1 :]) == (expected, expected), position


@settings(max_examples=300, deadline=None)
@given(st.integers(0, len(WHOLE)), st.binary(min_size=1, max_size=3))
def test_any_inserted_bytes_are_found(position: int, more: bytes) -> None:
    changed = WHOLE[:position] + more + WHOLE[position:]
    expected = line_at(position) if position < len(WHOLE) else len(LINES) + 1
    at = first_problems(changed)
    assert at[0] == at[1]
    # the same byte put in just before its like belongs to the line before as well as to this one
    assert at[0] in (expected, expected - 1, expected + 1)


@pytest.mark.parametrize("gone", range(len(LINES)))
def test_every_deleted_entry_is_found_where_it_is_missing(gone: int) -> None:
    rest = LINES[:gone] + LINES[gone + 1 :]
    if gone == len(LINES) - 1:
        cut = b"".join(rest)
        assert check(cut).problems == ()
        known = check(cut, head=check(WHOLE).head)
        assert [problem.claim for problem in known.problems] == ["head"]
        return
    problem = check(b"".join(rest)).problems[0]
    assert (problem.claim, problem.line) == ("link", gone + 1)


@pytest.mark.parametrize("first", range(len(LINES)))
def test_every_swapped_pair_is_found_at_the_first_of_the_two(first: int) -> None:
    for second in range(first + 1, len(LINES)):
        lines = list(LINES)
        lines[first], lines[second] = lines[second], lines[first]
        assert first_problems(b"".join(lines)) == (first + 1, first + 1)


@pytest.mark.parametrize("place", range(len(LINES)))
def test_a_repeated_or_foreign_entry_is_found(place: int) -> None:
    again = LINES[: place + 1] + LINES[place:]
    assert first_problems(b"".join(again)) == (place + 2, place + 2)
    foreign = seal_entry("cd" * 32, turn(3, "not said here")).line
    assert first_problems(b"".join([*LINES[:place], foreign, *LINES[place:]])) == (place + 1, place + 1)


def test_truncation_within_an_entry_is_found_at_once_and_between_entries_by_the_head() -> None:
    head = check(WHOLE).head
    for length in range(len(WHOLE)):
        cut = WHOLE[:length]
        claims = {problem.claim for problem in check(cut).problems}
        if length in STARTS[1:]:
            assert claims == set()
            assert {problem.claim for problem in check(cut, head).problems} == {"head"}
        else:
            assert claims == ({"empty"} if length == 0 else {"unfinished"}), length


@pytest.mark.parametrize("place", range(1, len(LINES)))
def test_an_entry_changed_and_sealed_anew_breaks_the_next_link(place: int) -> None:
    lines = list(LINES)
    entry = json.loads(lines[place])["entry"]
    entry["by"] = "somebody else"
    lines[place] = seal_entry(json.loads(lines[place])["after"], entry).line
    data = b"".join(lines)
    if place == len(LINES) - 1:
        assert check(data).problems == ()
        assert [p.claim for p in check(data, check(WHOLE).head).problems] == ["head"]
    else:
        problem = check(data).problems[0]
        assert (problem.claim, problem.line) == ("link", place + 2)


def test_turns_out_of_order_under_good_seals_are_found() -> None:
    skipped = check(journal([CASE[0], CASE[1], CASE[3]]))
    assert [(p.claim, p.line) for p in skipped.problems] == [("order", 3)]
    two_headers = check(journal([CASE[0], CASE[1], CASE[0]]))
    assert [(p.claim, p.line) for p in two_headers.problems] == [("order", 3)]
    no_header = check(journal(CASE[1:]))
    assert ("order", 1) in [(p.claim, p.line) for p in no_header.problems]


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\n",
        b"{}\n",
        b"[]\n",
        b"\x00" * 5000,
        b"\xff\xfe\n",
        b"[" * 100_000 + b"\n",
        b"1" * 9000 + b"\n",
    ],
)
def test_anything_at_all_is_checked_without_a_crash(data: bytes) -> None:
    assert check(data).problems and check_seals(data).problems


@settings(max_examples=300, deadline=None)
@given(st.binary(max_size=400))
def test_random_bytes_are_never_a_journal(data: bytes) -> None:
    assert check(data).problems


def test_a_well_sealed_line_that_is_not_canonical_is_found() -> None:
    entry = b'{"kind":"case", "format":1}'
    body = b'{"after":"' + START.encode() + b'","entry":' + entry + b"}"
    line = body[:-1] + b',"seal":"' + hashlib.sha256(body).hexdigest().encode() + b'"}\n'
    assert [problem.claim for problem in check(line).problems] == ["form"]
    deep = entry.replace(b"1}", b"[" * 5000 + b"]" * 5000 + b"}")
    body = body.replace(entry, deep)
    line = body[:-1] + b',"seal":"' + hashlib.sha256(body).hexdigest().encode() + b'"}\n'
    assert [problem.claim for problem in check(line).problems] == ["form"]
