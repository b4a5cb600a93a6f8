"""The strict YAML reader: plain data out, and every error with its file and line.

It refuses what YAML would quietly get wrong: duplicate keys, unquoted words that an older YAML turns
into true or false (`no`, `on`, `off`, `yes`), tags and merge keys. Aliases of whole values are allowed.
"""

from __future__ import annotations

import re
from importlib import resources
from importlib.resources.abc import Traversable
from typing import Any

import yaml

from assistant.errors import KnowledgeError

_Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_TRAP = re.compile(r"(?i:y|n|yes|no|on|off)\Z|(?:True|TRUE|False|FALSE)\Z")
_PLAIN = (None, "")
"""How the two loaders mark a scalar without quotes."""
_INT = re.compile(r"[-+]?[0-9]+\Z")
_FLOAT = re.compile(r"[-+]?[0-9]+\.[0-9]+(?:[eE][-+]?[0-9]+)?\Z")


class Mapping(dict[str, Any]):
    """A mapping that remembers where it and its keys stood."""

    place: str = ""
    places: dict[str, str]


def rules_folder() -> Traversable:
    """The folder that holds the knowledge."""
    return resources.files("rules")


def read_yaml(path: Traversable, name: str = "") -> Any:
    """Read one file of the rule base into plain data.

    Args:
        path: The file.
        name: What to call it in errors; its own name by default.

    Raises:
        KnowledgeError: The file is missing, is not UTF-8, or breaks one of the rules of the reader.
    """
    name = name or path.name
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise KnowledgeError(f"cannot be read ({error})", name) from error
    return read_text(text, name)


def read_text(text: str, name: str) -> Any:
    """Like `read_yaml`, from text already at hand."""
    try:
        node = yaml.compose(text, Loader=_Loader)
    except yaml.MarkedYAMLError as error:
        line = error.problem_mark.line + 1 if error.problem_mark else 0
        raise KnowledgeError(f"is not YAML: {error.problem}", f"{name}:{line}") from error
    except yaml.YAMLError as error:
        raise KnowledgeError(f"is not YAML: {error}", name) from error
    return None if node is None else _plain(node, name)


def _plain(node: yaml.Node, name: str) -> Any:
    place = f"{name}:{node.start_mark.line + 1}"
    if isinstance(node, yaml.MappingNode):
        return _mapping(node, name, place)
    if isinstance(node, yaml.SequenceNode):
        return [_plain(child, name) for child in node.value]
    return _scalar(node, place) if isinstance(node, yaml.ScalarNode) else None


def _mapping(node: yaml.MappingNode, name: str, place: str) -> Mapping:
    out = Mapping()
    out.place, out.places = place, {}
    for key_node, value_node in node.value:
        where = f"{name}:{key_node.start_mark.line + 1}"
        if not isinstance(key_node, yaml.ScalarNode):
            raise KnowledgeError("a key must be a plain word", where)
        key = key_node.value
        if key_node.style in _PLAIN and _TRAP.match(key):
            raise KnowledgeError(f"the key {key} must stand in quotes, or it means true or false", where)
        if key == "<<":
            raise KnowledgeError("merge keys are not allowed: write the values out", where)
        if key in out:
            raise KnowledgeError(f"the key {key} stands twice", where)
        out[key] = _plain(value_node, name)
        out.places[key] = where
    return out


def _scalar(node: yaml.ScalarNode, place: str) -> Any:
    text: str = node.value
    if node.style not in _PLAIN:
        return text
    if _TRAP.match(text):
        raise KnowledgeError(f"{text} must stand in quotes, or be written true or false", place)
    if text in ("true", "false"):
        return text == "true"
    if text in ("", "null", "~"):
        return None
    if _INT.match(text) and not re.match(r"[-+]?0[0-9]", text):
        return int(text)
    return float(text) if _FLOAT.match(text) else text
