"""The corpus of annotated utterances, where it lies beside the repository."""

from __future__ import annotations

import pytest

from assistant.language import Words

from .corpus import SHARED, shared_scorer, understood

scorer = shared_scorer()
pytestmark = pytest.mark.skipif(scorer is None, reason="the shared corpus is not beside the repository")


@pytest.fixture(scope="module")
def total(words: Words) -> dict[str, object]:
    assert scorer is not None
    vocabulary = scorer.load_vocabulary(SHARED / "vocabulary.yaml")
    lines = scorer.load_corpus(SHARED / "utterances.jsonl", None)
    results = [scorer.judge(line, {"understood": understood(line, words)}, vocabulary) for line in lines]
    return dict(scorer.total(results))


def test_core_and_circumstances(total: dict[str, dict[str, float]]) -> None:
    assert total["core"]["f1"] >= CORE
    assert total["with_while"]["f1"] >= CIRCUMSTANCES


def test_nothing_dangerous(total: dict[str, int]) -> None:
    assert total["dangerous"] == 0


def test_doubt_is_kept(total: dict[str, float]) -> None:
    assert total["timid"] + total["overconfident"] <= 0.02 * total["lines"]
    assert total["exact"] >= EXACT


CORE, CIRCUMSTANCES, EXACT = 0.97, 0.94, 0.85
