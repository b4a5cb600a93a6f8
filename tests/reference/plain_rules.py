"""The rule base read a second time, by nothing but a YAML parser: for the checks against other libraries.

Nothing here uses the program's own reader, so a slip in spelling out the short forms would show.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml

RULES = Path(__file__).resolve().parents[2] / "rules"


def _load(path: Path) -> Any:
    return yaml.safe_load(path.read_text(encoding="utf-8"))


def _fill(value: Any, words: dict[str, str]) -> Any:
    if isinstance(value, str):
        for name, word in words.items():
            value = value.replace("{" + name + "}", word)
        return value
    if isinstance(value, dict):
        return {_fill(k, words): _fill(v, words) for k, v in value.items()}
    if isinstance(value, list):
        return [_fill(v, words) for v in value]
    return value


def _spelt(entries: dict[str, Any]) -> dict[str, Any]:
    out: dict[str, Any] = {}
    for name, body in entries.items():
        each = body.get("for_each")
        if each is None:
            out[name] = body
            continue
        rest = {k: v for k, v in body.items() if k != "for_each"}
        for row in zip(*each.values(), strict=True):
            words = dict(zip(each, row, strict=True))
            out[_fill(name, words)] = _fill(rest, words)
    return out


def _section(folder: str, name: str) -> dict[str, Any]:
    out: dict[str, Any] = {}
    for path in sorted((RULES / folder).glob("*.yaml")):
        out |= _spelt((_load(path) or {}).get(name, {}))
    return out


def rules() -> dict[str, dict[str, Any]]:
    """Rule → {if: {question: [states]}, findings: [names], proves, finding}."""
    out = {}
    for name, body in _section("conclusions", "rules").items():
        wanted = {q: s if isinstance(s, list) else [s] for q, s in body["if"].items()}
        findings = wanted.pop("finding", [])
        out[name] = {
            "if": wanted,
            "findings": findings,
            "proves": body.get("proves"),
            "finding": body.get("finding"),
        }
    return out


def questions() -> dict[str, dict[str, Any]]:
    """Question → its entry, with `says` as state → {fault: [words]}, groups spelt out."""
    groups = _load(RULES / "groups.yaml")["groups"]

    def members(name: str) -> list[str]:
        return [name] if "." in name else [m for inner in groups[name] for m in members(inner)]

    out = {}
    for name, body in _section("evidence", "questions").items():
        says: dict[str, dict[str, list[str]]] = {}
        for state, table in body.get("says", {}).items():
            for word, named in table.items():
                for fault in dict.fromkeys(m for n in named for m in members(n)):
                    says.setdefault(str(state), {}).setdefault(fault, []).append(word)
        out[name] = {**body, "says": says, "states": {str(s): r for s, r in body["states"].items()}}
    return out


def scales() -> dict[str, Any]:
    """The figures of the diagnosis."""
    return _load(RULES / "scales.yaml")


def faults() -> dict[str, Any]:
    """The faults as written."""
    return _load(RULES / "faults.yaml")["faults"]
