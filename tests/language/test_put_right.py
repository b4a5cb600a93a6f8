"""What is put right within a line is told once, of the part and in the direction that was meant."""

from __future__ import annotations

import pytest

from assistant.language import Heard, Words, read

PAIRS = (
    ("12.6 at the studs", "12.1 at the studs"),
    ("12.6 at the battery", "12.6 at the studs"),
    ("runs to port", "runs to starboard"),
    ("clicks on port", "clicks on starboard"),
    ("fuse blown", "fuse ok"),
    ("isolator off", "isolator on"),
    ("panel dark", "panel lit"),
    ("port coil 28 ohm", "port coil 18 ohm"),
    ("port coil open", "starboard coil open"),
    ("minus lug loose", "plus lug loose"),
    ("panel unplugged", "control box unplugged"),
    ("prop fouled", "tunnel fouled"),
    ("motor hot", "contactor hot"),
)
FIXES = (
    ", no, {}", ", sorry, {}", ", I mean {}", " - no, {}", ". Correction: {}", ", correction, {}",
    ". No, {}", ", no wait, {}", ". Sorry, I meant {}", ", scrap that, {}", ", make that {}",
)  # fmt: skip
ADDS = (" and {} too", ", {} as well", ". {}")


def told(text: str, words: Words) -> set[tuple[object, ...]]:
    return {(f.about, f.what, f.value, f.while_) for f in read(text, Heard(), words).facts}


@pytest.mark.parametrize("fix", FIXES)
def test_only_what_was_meant_is_told(fix: str, words: Words) -> None:
    parted = [
        (first + fix.format(second), told(first + fix.format(second), words))
        for pair in PAIRS
        for first, second in (pair, pair[::-1])
        if told(first + fix.format(second), words) != told(second, words)
    ]
    assert parted == []


@pytest.mark.parametrize("add", ADDS)
def test_what_is_added_takes_nothing_back(add: str, words: Words) -> None:
    for first, second in PAIRS:
        one, other = told(first, words), told(second, words)
        if {fact[:2] for fact in one} & {fact[:2] for fact in other}:
            continue
        assert told(first + add.format(second), words) == one | other
