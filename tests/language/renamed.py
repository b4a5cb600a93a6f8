"""A language that nobody speaks: English with every letter of the alphabet put in another's place.

Whoever reads or replies by the word lists and the texts alone does not notice; code that knows an English word does.
"""

from __future__ import annotations

import codecs
import json
import re
from pathlib import Path
from typing import Any

from assistant.electrics.path import path_data
from assistant.knowledge import load
from assistant.knowledge.base import rule_files
from assistant.knowledge.reader import read_yaml
from assistant.knowledge.tongue import texts_in

_LEFT = re.compile(r"<[a-z]+>|\{[a-z_:.0-9]+\}")
"""Names of classes of words, and what is filled in."""

_SAID = ("say", "plural", "exact", "ending", "instead", "not_after", "not_before", "chat_before", "chat_then", "nouns")
_NUMBERS_KEPT = ("article_units", "decimal", "comes_in")
_SECTIONS = ("hazards", "faults", "tests", "repairs", "questions", "rules", "contradictions")


def renamed(text: str) -> str:
    """A text with its letters renamed; done twice it is the text again."""
    out, at = "", 0
    for kept in _LEFT.finditer(text):
        out += codecs.encode(text[at : kept.start()], "rot13") + kept[0]
        at = kept.end()
    return out + codecs.encode(text[at:], "rot13")


def all_renamed(value: Any, keys: bool = False) -> Any:
    """Every text in a value renamed, and every key when asked for."""
    if isinstance(value, str):
        return renamed(value)
    if isinstance(value, list):
        return [all_renamed(v, keys) for v in value]
    if isinstance(value, dict):
        return {renamed(k) if keys else k: all_renamed(v, keys) for k, v in value.items()}
    return value


def renamed_lists(lists: dict[str, Any]) -> dict[str, Any]:
    """Word lists of English in the other language; ids stay."""
    out: dict[str, Any] = {}
    for key, value in lists.items():
        if isinstance(value, str) or key in ("names", "sides", "elsewhere", "classes", "plainer_classes", "questions"):
            out[key] = all_renamed(value)
        elif key in (
            "forms",
            "typos",
            "also",
            "final",
            "plainer",
            "plainer_before",
            "spoken_signs",
            "label_letters",
            "bounds",
        ):
            out[key] = all_renamed(value, keys=True)
        elif key == "settings":  # words, or ids by phrase
            out[key] = {k: _by_phrase(v) if isinstance(v, dict) else all_renamed(v) for k, v in value.items()}
        elif key == "numbers":
            out[key] = {k: v if k in _NUMBERS_KEPT else all_renamed(v) for k, v in value.items()}
        elif key == "ordinals":
            out[key] = {n: renamed(str(said)) for n, said in value.items()}
        elif isinstance(value, list):
            out[key] = [_row(row) for row in value]
        else:
            out[key] = {k: _row(v) if isinstance(v, dict) else v for k, v in value.items()}
    return out


def _by_phrase(table: dict[str, Any]) -> dict[str, Any]:
    return {renamed(phrase): ids for phrase, ids in table.items()}


def _row(row: dict[str, Any]) -> dict[str, Any]:
    return {k: all_renamed(v) if k in _SAID else v for k, v in row.items()}


def renamed_rules(folder: Path) -> Path:
    """The rule base with the other language as `xx` in it, in a folder of its own."""
    for name, source in rule_files():
        target = folder / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(source.read_bytes())
    place = folder / "words" / "xx" / "texts"
    place.mkdir(parents=True)
    for name, source in rule_files():
        if name.startswith("words/en/") and name.count("/") == 2:
            _write(place.parent / source.name, renamed_lists(read_yaml(source)))
    english = load()
    _write(place / "replies.yaml", {k: v if k == "decimal" else all_renamed(v) for k, v in english.replies.items()})
    told = {t for s in _SECTIONS for e in getattr(english, s).values() for t in texts_in(e.model_dump())}
    path = path_data()
    told |= {str(text) for text in path["words"].values()}
    for one in (*path["parts"].values(), *path["legs"].values(), path["path"]):
        told |= {str(one[k]) for k in ("name", "where", "rest") if k in one}
    _write(place / "sentences.yaml", {"sentences": {text: renamed(text) for text in sorted(told)}})
    _write(place / "names.yaml", _names())
    return folder


def _names() -> dict[str, Any]:
    words = load().words
    values = {v for a in words.attributes.values() for v in a.choices}
    units = {a.unit for a in words.attributes.values() if a.unit}
    return {
        "parts": {k: {n: renamed(v[n]) for n in ("name", "plain")} for k, v in words.parts.items()},
        "attributes": {k: {"name": renamed(a.name), "no": renamed(a.negative)} for k, a in words.attributes.items()},
        "circumstances": {k: {"name": renamed(v["name"])} for k, v in words.circumstances.items()},
        "values": {v: renamed(v.replace("_", " ")) for v in sorted(values)},
        "tests": {t: renamed(t.replace("_", " ")) for t in load().tests},
        "units": {u: renamed(u) for u in sorted(units)},
    }


def _write(path: Path, data: Any) -> None:
    """JSON is YAML with every text in quotes."""
    path.write_text(json.dumps(data, ensure_ascii=False), encoding="utf-8")
