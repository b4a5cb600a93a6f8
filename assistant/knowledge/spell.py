"""Short forms of the YAML spelt out: one entry for each side, groups of faults, `part.attribute: value`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from assistant.errors import KnowledgeError
from assistant.knowledge.reader import Mapping as Placed

_FACT_KEYS = frozenset(
    {"facts", "put_right_by", "clear_facts", "stop_facts", "safe_state", "run_state", "opened_facts", "put_back_facts"}
)
_WHEN_KEYS = frozenset({"raised_when", "cleared_when", "step_when", "step_unless"})


def expand_each(entries: Mapping[str, Any]) -> Placed:
    """Write out entries that carry `for_each: {word: [values], …}`: one entry for each place of the lists."""
    out = Placed()
    for key, value in entries.items():
        if not isinstance(value, Mapping) or "for_each" not in value:
            out[key] = value
            continue
        names = value["for_each"]
        rest = Placed({k: v for k, v in value.items() if k != "for_each"})
        rest.place = getattr(value, "place", "")
        for i in range(len(next(iter(names.values())))):
            chosen = {name: values[i] for name, values in names.items()}
            filled = _fill(rest, chosen)
            filled.place = rest.place
            out[_fill(key, chosen)] = filled
    return out


def _fill(value: Any, chosen: Mapping[str, str]) -> Any:
    if isinstance(value, str):
        for name, word in chosen.items():
            value = value.replace("{" + name + "}", word)
        return value
    if isinstance(value, Mapping):
        return Placed({_fill(k, chosen): _fill(v, chosen) for k, v in value.items()})
    return [_fill(v, chosen) for v in value] if isinstance(value, list) else value


def fact_form(text: Any) -> Mapping[str, Any]:
    """`{part.attribute: value, while: […]}` → a fact."""
    if not isinstance(text, Mapping):
        raise KnowledgeError(f"a fact is written {{part.attribute: value}}, not {text!r}")
    out: dict[str, Any] = {}
    for key, value in text.items():
        if "." in key:
            out["about"], _, out["what"] = key.partition(".")
            out["value"] = value
        else:
            out[key] = value
    if "about" not in out:
        raise KnowledgeError(f"a fact needs part.attribute, found {sorted(text)}")
    return out


def fact_forms(value: Any) -> Any:
    """Spell out every list of facts inside one entry."""
    if isinstance(value, Mapping):
        out: dict[str, Any] = {}
        for key, inner in value.items():
            if key in _FACT_KEYS:
                out[key] = [fact_form(f) for f in inner]
            elif key in _WHEN_KEYS:
                out[key] = [[fact_form(f) for f in option] for option in inner]
            else:
                out[key] = fact_forms(inner)
        return out
    return [fact_forms(v) for v in value] if isinstance(value, list) else value


def spell_question(data: Mapping[str, Any], groups: Mapping[str, list[str]]) -> Mapping[str, Any]:
    """A question as written → the fields of `Question`."""
    out = dict(data)
    out["about"], _, out["what"] = str(out.pop("reads", "")).partition(".")
    if not out["what"]:
        raise KnowledgeError("reads: must be part.attribute")
    if "while" in out:
        out["scene"] = out.pop("while")
    for key in ("needs", "when_setup", "unless_setup"):
        if key in out:
            out[key] = [_state(k, v) for k, v in out[key].items()]
    out["states"] = {k: _state_rule(v) for k, v in out["states"].items()}
    if "acquits_unless" in out:
        out["acquits_unless"] = _states_of(out["acquits_unless"])
    out["says"] = {
        state: {word: _named(faults, groups) for word, faults in table.items()}
        for state, table in out.get("says", {}).items()
    }
    return out


def _state(key: str, value: Any) -> tuple[str, str, Any]:
    about, _, what = key.partition(".")
    return about, what, value


def _state_rule(data: Mapping[str, Any]) -> Mapping[str, Any]:
    out = dict(data)
    if "is" in out:
        values = out.pop("is")
        out["values"] = values if isinstance(values, list) else [values]
    return out


def _named(faults: list[str], groups: Mapping[str, list[str]]) -> list[str]:
    out: list[str] = []
    for name in faults:
        if "." in name:
            out.append(name)
        elif name in groups:
            out += [f for f in _named(groups[name], groups) if f not in out]
        else:
            raise KnowledgeError(f"unknown group {name}")
    return out


def spell_conditions(data: Mapping[str, Any]) -> Mapping[str, Any]:
    """`if` and `unless: {question: state or [states]}` → conditions."""
    out = dict(data)
    conditions = out.pop("if", {})
    if not isinstance(conditions, Mapping) or not conditions:
        raise KnowledgeError("if: must name at least one question and its state")
    out["conditions"] = _states_of(conditions)
    if "unless" in out:
        out["unless"] = _states_of(out["unless"])
    return out


def _states_of(conditions: Mapping[str, Any]) -> dict[str, list[Any]]:
    return {k: v if isinstance(v, list) else [v] for k, v in conditions.items()}
