"""On or off, plugged or not, blown or whole, which direction: never the opposite of what was said."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from assistant.language import Heard, Words, read

TABLE: dict[str, dict[str, Any]] = yaml.safe_load((Path(__file__).parent / "polarity.yaml").read_text("utf-8"))


@pytest.mark.parametrize("state", TABLE)
def test_a_state_is_read_as_it_was_said(state: str, words: Words) -> None:
    row = TABLE[state]
    turned, unread = [], []
    for said in row["said"].splitlines():
        for name, about in row["of"].items():
            text = said.replace("_", name)
            got = {f.value for f in read(text, Heard(), words).facts if (f.about, f.what) == (about, row["what"])}
            turned += [text] if got & set(row["never"]) else []
            unread += [] if got & set(row["is"]) else [text]
    assert turned == [] and unread == []
