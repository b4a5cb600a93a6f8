from __future__ import annotations

import pytest

from assistant.language import Words, load_words


@pytest.fixture(scope="session")
def words() -> Words:
    return load_words("en")
