"""Lines out of made-up calls that were once read wrongly: what was said before them, and what they come to."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from assistant.facts import RawFact
from assistant.language import Heard, Reading, Unclear, Words, load_words, read

TALKS: list[dict[str, Any]] = yaml.safe_load(Path(__file__).with_name("said_in_talks.yaml").read_text(encoding="utf-8"))


def shown(fact: RawFact) -> str:
    """`supply.voltage=12.4 [at_rest]`, with a question mark where it is doubtful."""
    value = str(fact.value).lower() if isinstance(fact.value, bool) else fact.value
    scene = f" [{','.join(fact.while_)}]" if fact.while_ else ""
    return f"{fact.about}.{fact.what}={value}{'' if fact.certain else '?'}{scene}"


def told(talk: list[str], asked: str | None, words: Words) -> Reading:
    """The last line of a talk as it is read behind those before it, one test being asked for throughout."""
    reading, recent, figures = Reading(), (), ()
    before, back = "", tuple[Unclear, ...]()
    for line in talk:
        heard = Heard(
            asked=asked, answering=False, recent=recent, figures=figures, before=before, before_asked=asked, back=back
        )
        reading = read(line, heard, words)
        recent = reading.facts or recent
        figures = (*figures, *(f for f in reading.facts if not isinstance(f.value, bool | str)))
        before = line if reading.facts and not reading.completes else before
        back = reading.unclear
    return reading


@pytest.mark.parametrize("talk", TALKS, ids=[" / ".join(t["talk"])[-60:] for t in TALKS])
def test_the_last_line_is_read_as_it_was_meant(talk: dict[str, Any], words: Words) -> None:
    lists = words if talk.get("language", "en") == "en" else load_words(talk["language"])
    reading = told(talk["talk"], talk.get("asked"), lists)
    assert sorted(map(shown, reading.facts)) == sorted(talk["facts"])
    assert [u.question for u in reading.unclear if u.kind == "part"] == [] or talk.get("asks")
    gone = sorted(f"{f.about}.{f.what}={f.value}" for f in reading.taken_back)
    assert gone == sorted(talk.get("gone", []))
