from __future__ import annotations

import pytest

from assistant.bench.ways import Watched
from assistant.knowledge import load


@pytest.fixture(scope="session")
def diagnoser() -> Watched:
    return Watched(load())
