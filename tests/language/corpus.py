"""Reading a corpus of annotated lines, and comparing what was read with what was annotated."""

from __future__ import annotations

import importlib.util
import json
import sys
from pathlib import Path
from types import ModuleType
from typing import Any

from assistant.language import Heard, Words, read

HERE = Path(__file__).resolve().parent
OWN = HERE / "own_utterances.jsonl"
OTHERS = tuple(
    HERE / f"corpus_{name}.jsonl"
    for name in [
        *"abcdefgklmnopqrstuwxy",
        *(f"a{x}" for x in "abcdefghijklmnstuvwxyz"),
        *(f"{k}{x}" for k in "cd" for x in "abcd"),
    ]
)
"""Lines by other writers, who did not know the word lists; looked at after they had been scored once."""
UNSEEN = tuple(HERE / f"corpus_{name}.jsonl" for name in "hi")
"""Lines by other writers that are only checked on: never read, so that they tell how unseen text is read."""
FRESH = tuple(HERE / f"corpus_{name}.jsonl" for name in ("v", "z", "ba", "bb", "cy", "cz"))
"""Lines of the newest writers, that nobody has read either: shown in the benchmark only."""
ANSWERS = tuple(HERE / f"corpus_{name}.jsonl" for name in ("ca", "cb", "cc", "cd", "cy", "cz"))
"""Of these, every line answers a test; they are read as told to the test, and as told in a talk while it is asked."""
SHARED = HERE.parents[2] / "shared"


def lines_of(path: Path) -> list[dict[str, Any]]:
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines() if line.strip()]


def understood(line: dict[str, Any], words: Words, answering: bool = True) -> list[dict[str, Any]]:
    heard = Heard(asked=(line.get("after") or {}).get("asked"), answering=answering)
    reading = read(line["say"], heard, words)
    return [fact.model_dump(by_alias=True, exclude_none=True) for fact in reading.facts]


def shared_scorer() -> ModuleType | None:
    """The scorer that lies beside the repository, if it does."""
    path = SHARED / "score_utterances.py"
    if not path.exists():
        return None
    spec = importlib.util.spec_from_file_location("score_utterances", path)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["score_utterances"] = module
    spec.loader.exec_module(module)
    return module


def core(fact: dict[str, Any]) -> tuple[str, str, Any]:
    value = fact["value"]
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        value = float(f"{value:.3g}")
    return fact["about"], fact["what"], value


def core_score(lines: list[dict[str, Any]], words: Words, known: set[str]) -> tuple[float, list[str]]:
    """F1 over subject, attribute and value, and the lines that are not exactly right."""
    right = extra = missing = 0
    wrong = []
    for line in lines:
        got = {core(f) for f in understood(line, words) if f["what"] in known}
        want = {core(f) for f in line["facts"]}
        right += len(got & want)
        extra += len(got - want)
        missing += len(want - got)
        if got != want:
            wrong.append(line["id"])
    return 2 * right / (2 * right + extra + missing), wrong


def taken_wrongly(line: dict[str, Any], words: Words) -> list[tuple[str, str, Any]]:
    """Certain facts that the line's `not` list forbids, or that turn an annotated flag round."""
    got = [f for f in understood(line, words) if f["certain"]]
    banned = {core(f) for f in line.get("not", []) if "while" not in f}
    turned = {(a, w, not v) for a, w, v in map(core, line["facts"]) if isinstance(v, bool)}
    said = {core(f) for f in line["facts"]}
    return [core(f) for f in got if core(f) in banned | (turned - said)]
