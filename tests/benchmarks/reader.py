"""How well and how fast text is read: the shared corpus, our own lines, and lines by other writers.

Lines by other writers: most were scored unseen once and then looked at; H, I, V, Z, BA, BB, CY and CZ are only checked
on, and nobody reads them, so that their rows tell how unseen text is read. The first scores stand in the README.

Run from the repository: `python tests/benchmarks/reader.py`.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from assistant.language import Heard, Words, load_words, read  # noqa: E402
from tests.language.corpus import ANSWERS, FRESH, HERE, OTHERS, OWN, SHARED, UNSEEN, lines_of, shared_scorer, understood  # noqa: E402


def figures(scorer: Any, lines: list[dict[str, Any]], words: Words, answering: bool = True) -> dict[str, Any]:
    vocabulary = scorer.load_vocabulary(SHARED / "vocabulary.yaml")
    read_as = [{"understood": understood(line, words, answering)} for line in lines]
    total = scorer.total([scorer.judge(line, got, vocabulary) for line, got in zip(lines, read_as, strict=True)])
    return {
        "lines": total["lines"], "core F1": total["core"]["f1"], "with while": total["with_while"]["f1"],
        "exact": total["exact"], "dangerous": total["dangerous"], "overconfident": total["overconfident"],
        "timid": total["timid"], "foreign": total["foreign"],
    }  # fmt: skip


def timing(lines: list[dict[str, Any]], words: Words) -> tuple[float, float]:
    spent = []
    for line in lines:
        start = time.perf_counter()
        read(line["say"], Heard(), words)
        spent.append(1000 * (time.perf_counter() - start))
    return sorted(spent)[len(spent) // 2], max(spent)


BREATHLESS = ("port clicks starboard doesn't ", "its wire is open ", "fuse ok isolator on ", "the dog is dead ")
"""What is said again and again without a comma."""


def growth(words: Words) -> tuple[float, float]:
    """Seconds for the slowest text of 20,000 characters without a comma, and how many times that of 5,000."""
    worst = ratio = 0.0
    for clause in BREATHLESS:
        took = []
        for size in (5_000, 20_000):
            text = (clause * (size // len(clause) + 1))[:size]
            start = time.perf_counter()
            read(text, Heard(), words)
            took.append(time.perf_counter() - start)
        worst, ratio = max(worst, took[1]), max(ratio, took[1] / took[0])
    return worst, ratio


def bent(lines: list[dict[str, Any]], words: Words) -> int:
    """How many lines, told while some test is asked for, are read otherwise than they are alone."""
    tests, changed = sorted(name for name, answer in words.answers.items() if not answer.confirm), 0
    for n, line in enumerate(lines):
        heard = (Heard(), Heard(asked=tests[n % len(tests)], answering=False))
        alone, meant = (read(line["say"], h, words).facts for h in heard)
        changed += {(f.about, f.what, f.value) for f in alone} != {(f.about, f.what, f.value) for f in meant}
    return changed


def name_of(path: Path) -> str:
    """The letters by which a corpus goes."""
    return path.stem.removeprefix("corpus_").upper()


def main() -> int:
    start = time.perf_counter()
    words = load_words("en")
    print(f"word lists loaded in {1000 * (time.perf_counter() - start):.0f} ms")
    own = lines_of(OWN)
    print("line: median {:.2f} ms, longest {:.2f} ms".format(*timing(own, words)))
    print("20,000 characters without a comma: {:.2f} s, {:.1f} times 5,000 of them".format(*growth(words)))
    told = [line for path in OTHERS for line in lines_of(path) if not (line.get("after") or {}).get("asked")]
    print(f"told while a test is asked for, read otherwise than alone: {bent(told, words)} of {len(told)} lines")
    scorer = shared_scorer()
    if scorer is None:
        print("the shared corpus is not beside the repository")
        return 0
    shared = scorer.load_corpus(SHARED / "utterances.jsonl", None)
    columns = {"shared odd": shared[::2], "shared even": shared[1::2], "own lines": own}
    for path in OTHERS:
        if path.exists():
            columns[f"{name_of(path)} seen"] = lines_of(path)
    for path in (*UNSEEN, *FRESH):
        if path.exists():
            columns[f"{name_of(path)} unseen"] = lines_of(path)
    table = {name: figures(scorer, lines, words) for name, lines in columns.items()}
    for path in ANSWERS:
        table[f"{name_of(path)} in a talk"] = figures(scorer, lines_of(path), words, answering=False)
    german, answers = load_words("de"), lines_of(HERE / "german_answers.jsonl")
    table["German answers"] = figures(scorer, answers, german)
    table["… in a talk"] = figures(scorer, answers, german, answering=False)
    heads = list(next(iter(table.values())))
    print(f"{'':<14}" + "".join(f"{head:>15}" for head in heads))
    for name, row in table.items():
        print(f"{name:<14}" + "".join(f"{row[head]:>15}" for head in heads))
    return 0


if __name__ == "__main__":
    sys.exit(main())
