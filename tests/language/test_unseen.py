"""Lines by other writers that nobody here has read: only their summary is looked at, and must not fall.

What the summary lacks is to be found in other lines than these; who reads them takes away what they tell.
"""

from __future__ import annotations

import pytest

from assistant.language import Words

from .corpus import SHARED, UNSEEN, lines_of, shared_scorer, understood

scorer = shared_scorer()
pytestmark = pytest.mark.skipif(scorer is None, reason="the scorer is not beside the repository")

CORE, CIRCUMSTANCES, EXACT, DANGEROUS = 0.85, 0.82, 0.73, 12
"""A little below what was measured."""


def test_unseen_lines_are_read_as_well_as_they_were(words: Words) -> None:
    assert scorer is not None
    vocabulary = scorer.load_vocabulary(SHARED / "vocabulary.yaml")
    lines = [line for path in UNSEEN for line in lines_of(path)]
    results = [scorer.judge(line, {"understood": understood(line, words)}, vocabulary) for line in lines]
    total = scorer.total(results)
    figures = (total["core"]["f1"], total["with_while"]["f1"], total["exact"], total["dangerous"])
    assert len(lines) == 240
    assert figures[0] >= CORE and figures[1] >= CIRCUMSTANCES and figures[2] >= EXACT, figures
    assert figures[3] <= DANGEROUS, figures
