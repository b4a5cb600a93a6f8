"""No code of the reader and the replies knows English: in a language of other letters all comes out the same."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from assistant.demos import demo_files, read_typed
from assistant.knowledge import Knowledge, load
from assistant.knowledge.base import load_from
from assistant.language import Heard, Words, load_words, read
from assistant.session import Session

from .corpus import OTHERS, OWN, lines_of
from .renamed import renamed, renamed_rules


@pytest.fixture(scope="module")
def rules(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return renamed_rules(tmp_path_factory.mktemp("rules"))


@pytest.fixture(scope="module")
def other_words(rules: Path) -> Words:
    return load_words("xx", rules)


@pytest.fixture(scope="module")
def other(rules: Path) -> Knowledge:
    return load_from(rules, "xx")


def shown(reading: Any) -> dict[str, Any]:
    data: dict[str, Any] = reading.model_dump()
    for fact in (*data["facts"], *data["taken_back"]):
        fact["words"] = ""
    for one in data["unclear"]:
        one["words"] = ""
        one["question"] = one["line"] = ""
        if one["fact"] is not None:
            one["fact"]["words"] = ""
    data["cannot"] = data["cannot"] is not None
    return data


def test_every_line_is_read_the_same_in_other_letters(words: Words, other_words: Words) -> None:
    lines = [line for path in (OWN, *OTHERS) for line in lines_of(path)][::4]
    assert len(lines) > 1000
    parted = []
    for line in lines:
        heard = Heard(asked=(line.get("after") or {}).get("asked"))
        if shown(read(line["say"], heard, words)) != shown(read(renamed(line["say"]), heard, other_words)):
            parted.append(line["say"])
    assert parted == []


@pytest.mark.parametrize("path", demo_files(), ids=lambda p: p.name)
def test_every_reply_is_the_same_in_other_letters(path: Path, other: Knowledge, other_words: Words) -> None:
    typed = read_typed(path)
    english, session = Session(load(), typed.role), Session(other, typed.role, words=other_words)
    for line in typed.lines:
        expected = english.take(line)["reply"]
        assert renamed(session.take({**line, "say": renamed(line["say"])})["reply"]) == expected
